package boxfile

import (
	"errors"
	"fmt"
	"reflect"
	"regexp"
	"strings"
	"testing"
	"time"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// full uses every key.
var full = thrackley + `booking: signals
signals:
  - {name: Up Starting, section: Coldbeck, kind: section}
  - {name: Down Home, section: Saltgarth, line: Down Main, kind: home}
gear:
  - {name: Lever 5, kind: lever, section: Saltgarth, place: Yard}
  - {name: Clock, kind: instrument}
limits: {` + allLimits() + "}\n"

// allLimits sets every limit there is, one of them with half a minute.
func allLimits() string {
	var pairs []string
	for i, w := range rulebook.LimitWords {
		pairs = append(pairs, fmt.Sprintf("%s: %d", w.Key, i+1))
	}
	return strings.Join(pairs, ", ") + ".5"
}

var fullMore = strings.NewReplacer(
	"running-minutes: {passenger: 4, freight: 7}", "running-minutes: {passenger: 4.1, freight: 7, light-engine: 1.6667, empty-stock: 3, trolley: 20, any: 9}\n    converges: [Saltgarth]\n    shares: [Coldbeck]\n    long-section: [Netherfield, 1E45]",
	"{name: Yard, holds: 6}", "{name: Yard, holds: 6, siding: true, at-signal: true, starter-for: Coldbeck, in-section: Saltgarth, beyond-home: {Coldbeck: 12.5, Saltgarth: 0}, fouls: [{section: Saltgarth, line: Up Main}, Coldbeck]}",
	"class: passenger, source", "class: passenger, methods: [token, absolute], from: rear, no-call-attention: true, source",
	"codes: [", "codes: [{beats: 16-2, means: tea, signal: local}, {beats: 9, signal: police}, ",
	"{name: A. Fell", "{name: yes, role: other}, {name: A. Fell",
).Replace(full)

func TestWriteComesBack(t *testing.T) {
	for _, text := range []string{thrackley, full, fullMore, small("")} {
		f := decoded(t, text)
		var out strings.Builder
		if err := Write(&out, describe(f)); err != nil {
			t.Fatal(err)
		}
		g := decoded(t, out.String())
		same(t, g.Box, f.Box)
		if g.Location.String() != f.Location.String() || g.Timetable != f.Timetable {
			t.Errorf("zone %s, timetable %q", g.Location, g.Timetable)
		}
	}
}

// Plain answers, as `fairhand init` has them, against the box they mean.
func TestWriteAnswers(t *testing.T) {
	desc := Description{
		Railway: "Thrackley Vale Railway", Box: "Ennerholme", Rules: "british-early",
		Sections: []SectionDescription{
			{Neighbour: "1E45", Method: "absolute", ClearingPoint: "400 m", Lines: []LineDescription{{"0012", "in"}, {"no", "out"}}},
			{
				Neighbour: "Coldbeck", Method: "token", Lines: []LineDescription{{Name: "Single"}},
				Tokens: &TokensDescription{Charge: "1-3,7", Here: "none"}, RunningMinutes: Pairs{{"passenger", "4.5"}},
			},
		},
		Places: []PlaceDescription{{Name: "Platform #1: \"east\"", BeyondHome: Pairs{{"1E45", "50"}}}},
	}
	var out strings.Builder
	if err := Write(&out, desc); err != nil {
		t.Fatal(err)
	}
	want := &block.Box{
		Railway: "Thrackley Vale Railway", Name: "Ennerholme", Rules: rulebook.RuleSetNamed("british-early"), Rounding: "nearest-minute", ClockCheck: -1,
		Sections: []block.Section{
			{Neighbour: "1E45", ClearingPoint: 400_000, Lines: []block.Line{{Name: "0012", Way: block.In}, {Name: "no", Way: block.Out}}},
			{
				Neighbour: "Coldbeck", Method: rulebook.Token, Lines: []block.Line{{Name: "Single"}}, Tokens: block.Tokens{Charge: []int{1, 2, 3, 7}},
			},
		},
		Places: []block.Place{{Name: "Platform #1: \"east\"", BeyondHome: []block.BeyondHome{{Section: "1E45", Distance: 45_720}}}},
	}
	want.Civil = civil(time.UTC) // checked against the zone itself in civil_test.go
	want.Sections[1].Running[rulebook.Passenger] = 270
	if err := want.Prepare(); err != nil {
		t.Fatal(err)
	}
	same(t, decoded(t, out.String()).Box, want)

	out.Reset()
	desc.Sections[0].Method = "absolut"
	var faults *Faults
	if err := Write(&out, desc); !errors.As(err, &faults) || out.Len() > 0 {
		t.Errorf("answers that make no box: error %v, %d bytes written", err, out.Len())
	}
}

// Every key must be explained once, above its first use.
func TestWriteComments(t *testing.T) {
	var out strings.Builder
	if err := Write(&out, describe(decoded(t, fullMore))); err != nil {
		t.Fatal(err)
	}
	for _, k := range Keys() {
		line := regexp.MustCompile(`(?m)^[- ]*# ` + regexp.QuoteMeta(k.Says) + `\n[- ]*` + regexp.QuoteMeta(k.Name()) + `:`)
		if n := len(line.FindAllString(out.String(), -1)); n == 0 {
			t.Errorf("%s is not explained above its first use", k.Path)
		}
	}
	if t.Failed() {
		t.Log(out.String())
	}
}

// The answers must have a place for every key, and no other: one list of keys.
func TestDescriptionHasEveryKey(t *testing.T) {
	have := map[string]bool{}
	var walk func(reflect.Type, string)
	walk = func(ty reflect.Type, path string) {
		for ty.Kind() == reflect.Slice || ty.Kind() == reflect.Pointer {
			ty = ty.Elem()
		}
		if ty.Kind() != reflect.Struct || ty == reflect.TypeOf(Pair{}) {
			return
		}
		for i := range ty.NumField() {
			name, _, _ := strings.Cut(ty.Field(i).Tag.Get("yaml"), ",")
			have[path+name] = true
			walk(ty.Field(i).Type, path+name+".")
		}
	}
	walk(reflect.TypeOf(Description{}), "")
	for _, k := range Keys() {
		// Pairs take the keys of these two as names.
		if g := k.Group(); !have[k.Path] && g != "limits" && g != "sections.running-minutes" {
			t.Errorf("Description has no place for %s", k.Path)
		}
		delete(have, k.Path)
	}
	for path := range have {
		t.Errorf("Description has %s, which is no key", path)
	}
}
