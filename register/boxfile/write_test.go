package boxfile

import (
	"errors"
	"fmt"
	"reflect"
	"regexp"
	"slices"
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
  - {name: Mill Lane phone, kind: crossing-telephone, crossing: Mill Lane}
crossings:
  - {name: Mill Lane, kind: user-worked, section: Coldbeck, minutes-from: {here: 2, Coldbeck: 3.5}, protected-by: [Up Starting], large-after: 4, report-clear: always}
  - {name: LC 21, kind: keeper, place: Yard, told-before: signals, private-numbers: true, protected-by: [Down Home], beyond-home: {Saltgarth: 200}}
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
	"running-minutes: {passenger: 4, freight: 7}", "running-minutes: {passenger: 4.1, freight: 7, light-engine: 1.6667, empty-stock: 3, trolley: 20, any: 9}\n    converges: [Saltgarth]\n    shares: [Coldbeck]\n    offer: true\n    long-section: [Netherfield, 1E45]\n    long-running-minutes: {passenger: 11}\n    long-clearing-point: 200\n  - {neighbour: Goods Yard, method: permissive, trains: 3, source: instruction 7, lines: [{name: Goods, way: out}]}\n  - {neighbour: Quarry, method: one-train, staff: away, lines: [{name: Branch}]}",
	"{name: Yard, holds: 6}", "{name: Yard, holds: 6, siding: true, at-signal: true, starter-for: Coldbeck, in-section: Saltgarth, beyond-home: {Coldbeck: 12.5, Saltgarth: 0}, fouls: [{section: Saltgarth, line: Up Main}, Coldbeck]}",
	"class: passenger, source", "class: passenger, methods: [token, absolute], from: rear, no-call-attention: true, source",
	"codes: [", "pins: true\nlock-after: 10\ncountersign: [transfers, corrections]\ncodes: [{beats: 16-2, means: tea, signal: local}, {beats: 9, signal: police}, ",
	"{name: A. Fell", "{name: yes, role: other}, {name: A. Fell",
).Replace(full)

// answers use everything that there is to answer.
var answers = Description{
	Railway: "Thrackley Vale Railway", Box: "Ennerholme", Timezone: "UTC", Rules: "british-early", ClockCheck: "09:30",
	Sections: []SectionDescription{
		{Neighbour: "1E45", Method: "absolute", Towards: "down", ClearingPoint: "400 m", Allow: []string{"restricted-acceptance"}, Lines: []LineDescription{{"0012", "in"}, {"no", "out"}}},
		{
			Neighbour: "Coldbeck", Method: "token", Lines: []LineDescription{{Name: "Single"}},
			Tokens: &TokensDescription{Charge: "1-3,7", Here: "none", LowStock: 2}, RunningMinutes: Pairs{{"passenger", "4.5"}}, Offer: new(true),
		},
		{Neighbour: "Quarry", Method: "one-train", Lines: []LineDescription{{Name: "Branch"}}, Staff: "here"},
		{Neighbour: "Goods Yard", Method: "permissive", Lines: []LineDescription{{Name: "Goods", Way: "out"}}, Trains: "3", Source: "instruction 7"},
	},
	Places:    []PlaceDescription{{Name: "Platform #1: \"east\"", Holds: 2, BeyondHome: Pairs{{"1E45", "50"}}}, {Name: "0x1F", Siding: true}},
	Signals:   []SignalDescription{{Name: "1E5", Kind: "section", Section: "1E45", Line: "no"}, {Name: "Branch Home", Kind: "home", Section: "Quarry"}},
	Gear:      []GearDescription{{Name: "1E6", Kind: "points", Section: "1E45"}, {Name: "0x3", Kind: "lever"}, {Name: "3e2", Kind: "crossing-telephone", Crossing: "0x2"}},
	Timetable: "1E4.csv",
	Crossings: []CrossingDescription{
		{Name: "0x2", Kind: "user-worked", Section: "1E45", MinutesFrom: Pairs{{"here", "2"}, {"1E45", "3.5"}}, ProtectedBy: []string{"1E5"}, ReportClear: "always"},
		{Name: "Mill Lane", Kind: "worked", Place: "0x1F"},
		{Name: "null", Kind: "keeper", Section: "Quarry", ToldBefore: "line-clear", PrivateNumbers: true},
	},
	People: []PersonDescription{{"yes", "other"}},
	PINs:   true,
}

// Plain answers, as `fairhand init` has them, against the box they mean.
func TestWriteAnswers(t *testing.T) {
	desc := answers
	desc.Sections = slices.Clone(desc.Sections)
	var out strings.Builder
	if err := Write(&out, desc); err != nil {
		t.Fatal(err)
	}
	want := &block.Box{
		Railway: "Thrackley Vale Railway", Name: "Ennerholme", Rules: rulebook.RuleSetNamed("british-early"), Rounding: "nearest-minute", ClockCheck: 9*3600 + 30*60,
		Sections: []block.Section{
			{Neighbour: "1E45", Towards: "down", ClearingPoint: 400_000, Allow: []string{"restricted-acceptance"}, Lines: []block.Line{{Name: "0012", Way: block.In}, {Name: "no", Way: block.Out}}},
			{
				Neighbour: "Coldbeck", Method: rulebook.Token, Lines: []block.Line{{Name: "Single"}}, Tokens: block.Tokens{Charge: []int{1, 2, 3, 7}, LowStock: 2},
			},
			{Neighbour: "Quarry", Method: rulebook.OneTrain, Lines: []block.Line{{Name: "Branch"}}, Staff: block.StaffIsHere},
			{Neighbour: "Goods Yard", Method: rulebook.Permissive, Lines: []block.Line{{Name: "Goods", Way: block.Out}}, Trains: 3, Source: "instruction 7"},
		},
		Places:  []block.Place{{Name: "Platform #1: \"east\"", Holds: 2, BeyondHome: []block.BeyondHome{{Section: "1E45", Distance: 45_720}}}, {Name: "0x1F", Siding: true}},
		Signals: []block.Signal{{Name: "1E5", Kind: "section", Section: "1E45", Line: "no"}, {Name: "Branch Home", Kind: "home", Section: "Quarry", Line: "Branch"}},
		Gear:    []block.Gear{{Name: "1E6", Kind: "points", Section: "1E45"}, {Name: "0x3", Kind: "lever"}, {Name: "3e2", Kind: "crossing-telephone", Crossing: "0x2"}},
		Crossings: []block.Crossing{
			{Name: "0x2", Kind: "user-worked", Section: "1E45", From: []block.MinutesFrom{{Box: "here", Time: 120}, {Box: "1E45", Time: 210}}, ProtectedBy: []string{"1E5"}, ReportClear: "always"},
			{Name: "Mill Lane", Kind: "worked", Place: "0x1F"},
			{Name: "null", Kind: "keeper", Section: "Quarry", ToldBefore: "line-clear", PrivateNumbers: true},
		},
		People: []block.Person{{Name: "yes", Role: "other"}},
		PINs:   true,
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

// Every key that is written must be explained once, above its first use.
func TestWriteComments(t *testing.T) {
	var out strings.Builder
	if err := Write(&out, answers); err != nil {
		t.Fatal(err)
	}
	have := map[string]bool{"sections.running-minutes.passenger": true} // Pairs take keys as names
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
	walk(reflect.TypeOf(answers), "")
	for _, k := range Keys() {
		if !have[k.Path] {
			continue
		}
		delete(have, k.Path)
		line := regexp.MustCompile(`(?m)^[- ]*# ` + regexp.QuoteMeta(k.Says) + `\n[- ]*` + regexp.QuoteMeta(k.Name()) + `:`)
		if n := len(line.FindAllString(out.String(), -1)); n != 1 {
			t.Errorf("%s is explained %d times above its uses", k.Path, n)
		}
	}
	for path := range have {
		t.Errorf("Description has %s, which is no key", path)
	}
	if t.Failed() {
		t.Log(out.String())
	}
}
