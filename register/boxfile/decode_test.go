package boxfile

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"fairhand/block"
	"fairhand/block/rulebook"

	"go.yaml.in/yaml/v3"
)

// thrackley is the example of the design, section 3: an invented railway.
const thrackley = `railway: Thrackley Vale Railway          # invented, for the demo
box: Ennerholme
timezone: Europe/London
rules: british-later                     # built-in rule set, may be extended below
rounding: nearest-minute                 # nearest-minute | half-minute | up | down
clock-check: "09:00"
sections:
  - neighbour: Coldbeck
    method: token                        # absolute | token | staff-and-ticket | one-train | tokenless
    lines: [{name: Single}]
    towards: up                          # direction of a train going to this neighbour
    tokens: {charge: "1-12", here: "1-6", low-stock: 3}
    running-minutes: {passenger: 9, freight: 14}
  - neighbour: Saltgarth
    method: absolute
    lines: [{name: Up Main, way: out}, {name: Down Main, way: in}]
    clearing-point: 440                  # yards beyond the home signal; metres with "400 m"
    allow: [restricted-acceptance]       # what this box's instructions authorise
    needs: [forward-section-clear]       # box conditions on acceptance (double block, foot of gradient ...)
    running-minutes: {passenger: 4, freight: 7}
places:
  - {name: Platform 1, holds: 1, beyond-home: {Saltgarth: 460}}
  - {name: Down Main at home, holds: 1, fouls: [Saltgarth]}
  - {name: Yard, holds: 6}
people: [{name: A. Fell, role: signaller}, {name: R. Garth, role: inspector}]
codes: [{beats: 3-1-2, means: railcar, class: passenger, source: local instruction 4}]   # additions to the rule set
timetable: weekday.csv
`

// decoded reads a file that must be without fault.
func decoded(t *testing.T, text string) *File {
	t.Helper()
	f, err := Decode(strings.NewReader(text), "box.yaml")
	if err != nil {
		t.Fatalf("Decode: %v\n%s", err, text)
	}
	return f
}

// same compares boxes with all they have prepared.
func same(t *testing.T, got, want *block.Box) {
	t.Helper()
	if !reflect.DeepEqual(got, want) {
		t.Errorf("box differs\n got %+v\nwant %+v", got, want)
	}
}

func TestDesignExample(t *testing.T) {
	f := decoded(t, thrackley)
	rules := rulebook.RuleSetNamed("british-later")
	want := &block.Box{
		Railway: "Thrackley Vale Railway", Name: "Ennerholme", Rules: rules, Limits: rules.Limits,
		Rounding: "nearest-minute", ClockCheck: 9 * 3600,
		Sections: []block.Section{
			{
				Neighbour: "Coldbeck", Method: rulebook.Token, Lines: []block.Line{{Name: "Single"}}, Towards: "up",
				Tokens: block.Tokens{
					Charge: []int{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12}, Here: []int{1, 2, 3, 4, 5, 6}, LowStock: 3,
				},
			},
			{
				Neighbour: "Saltgarth", Method: rulebook.Absolute,
				Lines:         []block.Line{{Name: "Up Main", Way: block.Out}, {Name: "Down Main", Way: block.In}},
				ClearingPoint: 402_336, // 440 yards of 914.4 mm
				Allow:         []string{"restricted-acceptance"}, Needs: []string{"forward-section-clear"},
			},
		},
		Places: []block.Place{
			{Name: "Platform 1", Holds: 1, BeyondHome: []block.BeyondHome{{Section: "Saltgarth", Distance: 420_624}}},
			{Name: "Down Main at home", Holds: 1, Fouls: []block.Foul{{Section: "Saltgarth"}}},
			{Name: "Yard", Holds: 6},
		},
		People: []block.Person{{Name: "A. Fell", Role: "signaller"}, {Name: "R. Garth", Role: "inspector"}},
		Codes: []rulebook.CodeRow{{
			Code: "3-1-2", Means: rulebook.Offer, Words: "railcar", Class: rulebook.Passenger, Source: "local instruction 4",
		}},
	}
	want.Civil = civil(f.Location) // checked against the zone itself in civil_test.go
	want.Sections[0].Running[rulebook.Passenger] = 9 * 60
	want.Sections[0].Running[rulebook.Freight] = 14 * 60
	want.Sections[1].Running[rulebook.Passenger] = 4 * 60
	want.Sections[1].Running[rulebook.Freight] = 7 * 60
	if err := want.Prepare(); err != nil {
		t.Fatal(err)
	}
	same(t, f.Box, want)
	if f.Location.String() != "Europe/London" || f.Timetable != "weekday.csv" || f.Path != "box.yaml" {
		t.Errorf("location %s, timetable %q, path %q", f.Location, f.Timetable, f.Path)
	}
}

// small is the least a box file can be, with room to add to.
func small(more string) string {
	return "box: A\nrules: british-later\nsections:\n  - neighbour: B\n    method: one-train\n    lines: [{name: Single}]\n" + more
}

func TestDefaults(t *testing.T) {
	f := decoded(t, small(""))
	b := f.Box
	if f.Location.String() != "UTC" || b.ClockCheck != -1 || b.Booking != block.BookExchanges || f.Timetable != "" {
		t.Errorf("zone %s, clock check %d, booking %d, timetable %q", f.Location, b.ClockCheck, b.Booking, f.Timetable)
	}
	if b.Limits != b.Rules.Limits {
		t.Error("limits are not those of the rule set")
	}
	for _, name := range rulebook.RuleSetNames() {
		b := decoded(t, strings.Replace(small(""), "british-later", name, 1)).Box
		want := map[bool]string{false: "nearest-minute", true: "up"}[b.Rules.RoundUp]
		if b.Rounding != want {
			t.Errorf("%s: rounding %q, want %q", name, b.Rounding, want)
		}
	}
}

// Plain texts that some version of YAML takes for something else than text:
// floats, integers in several bases, base 60, truth values, null, dates. The
// list is from memory (YAML 1.1 types, YAML 1.2 core schema); that the library
// used here would turn the first of them into numbers is checked below.
var misread = []string{
	"1E45", "2E10", "0012", "0x1F", "0b11", "0o17", "1_000", "12:30:45", "190:20:30", "+1", "-0", ".5", "5.", "1.10", ".inf", ".NaN",
	"yes", "no", "on", "off", "y", "n", "true", "False", "null", "Null", "~", "2001-12-14", "<<", "=",
}

func TestNamesStayText(t *testing.T) {
	for _, name := range misread[:3] {
		var v any
		if err := yaml.Unmarshal([]byte(name), &v); err != nil {
			t.Fatal(err)
		}
		if s, ok := v.(string); ok {
			t.Errorf("the YAML library reads %s as the text %q; nothing is tested here", name, s)
		}
	}
	for _, name := range misread {
		text := "railway: " + name + "\nbox: " + name + "x\nrules: british-later\nsections:\n" +
			"  - {neighbour: " + name + ", method: absolute, lines: [{name: " + name + ", way: in}]}\n" +
			"places:\n  - {name: " + name + ", beyond-home: {" + name + ": 10}, fouls: [" + name + "]}\n" +
			"signals: [{name: " + name + ", section: " + name + ", line: " + name + ", kind: home}]\n" +
			"people: [{name: " + name + ", role: other}]\ntimetable: " + name + "\n"
		f := decoded(t, text)
		b := f.Box
		got := []string{
			b.Railway, b.Sections[0].Neighbour, b.Sections[0].Lines[0].Name, b.Places[0].Name, b.Places[0].BeyondHome[0].Section,
			b.Places[0].Fouls[0].Section, b.Signals[0].Name, b.Signals[0].Line, b.People[0].Name, f.Timetable,
		}
		for i, g := range got {
			if g != name {
				t.Errorf("name %s, use %d: read as %q", name, i, g)
			}
		}
	}
}

func TestForms(t *testing.T) {
	section := func(more string) block.Section {
		return decoded(t, small(more)).Box.Sections[0]
	}
	for text, want := range map[string]rulebook.Distance{
		"440": 402_336, `"440 yd"`: 402_336, "440yd": 402_336, "400 m": 400_000, "400m": 400_000, "0.5 m": 500, "12.5": 11_430,
	} {
		if got := section("    clearing-point: " + text + "\n").ClearingPoint; got != want {
			t.Errorf("distance %s is %d mm, want %d", text, got, want)
		}
	}
	for text, want := range map[string][]int{
		`"1-4"`: {1, 2, 3, 4}, `"1-3,9"`: {1, 2, 3, 9}, "[1, 2, 5]": {1, 2, 5}, "[1-3, 9]": {1, 2, 3, 9}, "[7]": {7}, "7-7": {7}, `"1 - 2 , 5"`: {1, 2, 5},
	} {
		if got := section("    tokens: {charge: " + text + ", here: none}\n").Tokens.Charge; !reflect.DeepEqual(got, want) {
			t.Errorf("tokens %s are %v, want %v", text, got, want)
		}
	}
	run := section("    running-minutes: {passenger: 4.5, light-engine: 3, empty-stock: 0.25, trolley: 20, any: 1440}\n").Running
	for c, want := range map[rulebook.Class]block.Time{
		rulebook.Passenger: 270, rulebook.LightEngine: 180, rulebook.EmptyStock: 15, rulebook.Trolley: 1200, rulebook.AnyClass: 86400, rulebook.Freight: 0,
	} {
		if run[c] != want {
			t.Errorf("running time of %s is %d s, want %d", c, run[c], want)
		}
	}
}

func TestCodes(t *testing.T) {
	b := decoded(t, small(`codes:
  - {beats: 3-1-2, means: railcar, class: passenger}
  - {beats: 16-1, means: tea is up, from: rear, no-call-attention: true, source: instruction 9}
  - {beats: 7-7, signal: obstruction-danger, methods: [absolute, token]}
  - {beats: 7-7, means: stop the lot, signal: obstruction-danger, methods: [one-train]}
  - {beats: 9, means: any train, signal: offer}
`)).Box
	want := []rulebook.CodeRow{
		{Code: "3-1-2", Means: rulebook.Offer, Words: "railcar", Class: rulebook.Passenger, Source: "box.yaml"},
		{Code: "16-1", Means: rulebook.LocalSignal, Words: "tea is up", From: rulebook.Rear, NoAttention: true, Source: "instruction 9"},
		{Code: "7-7", Means: rulebook.ObstructionDanger, Words: "obstruction danger", Methods: []rulebook.Method{rulebook.Absolute, rulebook.Token}, Source: "box.yaml"},
		{Code: "7-7", Means: rulebook.ObstructionDanger, Words: "stop the lot", Methods: []rulebook.Method{rulebook.OneTrain}, Source: "box.yaml"},
		{Code: "9", Means: rulebook.Offer, Words: "any train", Source: "box.yaml"},
	}
	if !reflect.DeepEqual(b.Codes, want) {
		t.Errorf("codes\n got %+v\nwant %+v", b.Codes, want)
	}
}

func TestLimits(t *testing.T) {
	b := decoded(t, small("limits: {detained: 2.5, ticket-interval: 10}\n")).Box
	want := b.Rules.Limits
	want[rulebook.Detained] = rulebook.Limit{Value: 150, Source: "box.yaml"}
	want[rulebook.TicketInterval] = rulebook.Limit{Value: 600, Source: "box.yaml"}
	if b.Limits != want {
		t.Errorf("limits\n got %+v\nwant %+v", b.Limits, want)
	}
}

// Every meaning must have a word, or `signal` could not name it, and no word
// may stand for two.
func TestMeaningWords(t *testing.T) {
	seen := map[string]bool{}
	for m := rulebook.CallAttention; m <= rulebook.LocalSignal; m++ {
		w := meaningWords[m]
		if w == "" || seen[w] {
			t.Errorf("meaning %d has the word %q", m, w)
		}
		seen[w] = true
	}
	for _, c := range classes {
		if w := classWord(c); seen[w] {
			t.Errorf("class %s has the word of another", c)
		} else {
			seen[w] = true
		}
	}
}

func TestLoad(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "box.yaml")
	if _, err := Load(path); !errors.Is(err, fs.ErrNotExist) || !strings.Contains(err.Error(), "fairhand init") {
		t.Errorf("missing file: %v", err)
	}
	if err := os.WriteFile(path, []byte(thrackley), 0o600); err != nil {
		t.Fatal(err)
	}
	f, err := Load(path)
	if err != nil || f.Path != path {
		t.Errorf("Load: %v, path %q", err, f.Path)
	}
	if _, err := Load(dir); err == nil {
		t.Error("a directory was read as a box file")
	}
}

// The keys that the other examples have not.
func TestRarerKeys(t *testing.T) {
	b := decoded(t, fullMore).Box
	salt := b.Sections[b.SectionIndex("Saltgarth")]
	if !slices.Equal(salt.Converges, []string{"Saltgarth"}) || !slices.Equal(salt.Shares, []string{"Coldbeck"}) || !slices.Equal(salt.LongSection, []string{"Netherfield", "1E45"}) ||
		salt.LongRunning[rulebook.Passenger] != 11*block.Minute || salt.LongClearing != rulebook.Yards(200) {
		t.Errorf("section %+v", salt)
	}
	if goods := b.Sections[b.SectionIndex("Goods Yard")]; goods.Method != rulebook.Permissive || goods.Trains != 3 || goods.Source != "instruction 7" {
		t.Errorf("section %+v", goods)
	}
	want := block.Place{
		Name: "Yard", Holds: 6, Siding: true, AtSignal: true, StarterFor: "Coldbeck", InSection: "Saltgarth",
		BeyondHome: []block.BeyondHome{{Section: "Coldbeck", Distance: rulebook.Yards(12.5)}, {Section: "Saltgarth"}},
		Fouls:      []block.Foul{{Section: "Saltgarth", Line: "Up Main"}, {Section: "Coldbeck"}},
	}
	i := slices.IndexFunc(b.Places, func(p block.Place) bool { return p.Name == "Yard" })
	if i < 0 || !reflect.DeepEqual(b.Places[i], want) {
		t.Errorf("places %+v, want %+v among them", b.Places, want)
	}
	if !b.PINs || b.LockAfter != 10*block.Minute || !slices.Equal(b.Second, block.Seconds) {
		t.Errorf("pins %v, lock-after %d, countersign %v", b.PINs, b.LockAfter, b.Second)
	}
	if b.Booking != block.BookSignals || !slices.Contains(b.Signals, block.Signal{Name: "Down Home", Section: "Saltgarth", Line: "Down Main", Kind: "home"}) ||
		!slices.Equal(b.Gear, []block.Gear{{Name: "Lever 5", Kind: "lever", Section: "Saltgarth", Place: "Yard"}, {Name: "Clock", Kind: "instrument"}, {Name: "Mill Lane phone", Kind: "crossing-telephone", Crossing: "Mill Lane"}}) {
		t.Errorf("booking %v, signals %+v, gear %+v", b.Booking, b.Signals, b.Gear)
	}
	for _, c := range b.Codes {
		if c.Code == "9" && c.Means != rulebook.Police {
			t.Errorf("code %+v", c)
		}
	}
}
