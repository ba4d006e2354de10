package boxfile

import (
	"errors"
	"fmt"
	"regexp"
	"strings"
	"testing"
)

// swap is the design's example with one text exchanged for another.
func swap(t *testing.T, old, with string) string {
	t.Helper()
	if strings.Count(thrackley, old) != 1 {
		t.Fatalf("%q is not once in the example", old)
	}
	return strings.Replace(thrackley, old, with, 1)
}

// Each row changes one thing of the design's example and has all that is then
// said, line by line.
var badFiles = []struct{ old, with, want string }{
	// Keys.
	{"clearing-point: 440", "clearing-pont: 440", `line 17: unknown key "clearing-pont" in sections; did you mean "clearing-point"?`},
	{"timezone:", "time_zone:", `line 3: unknown key "time_zone" at the top level; did you mean "timezone"?`},
	{"low-stock: 3", "lowstock: 3", `line 12: unknown key "lowstock" in tokens; did you mean "low-stock"?`},
	{"freight: 14", "frieght: 14", `line 13: unknown key "frieght" in running-minutes; did you mean "freight"?`},
	{"clock-check:", "clearing-point:", `line 6: unknown key "clearing-point" at the top level; it belongs under sections`},
	{"towards: up ", "timetable: x ", `line 11: unknown key "timetable" in sections; it belongs at the top level`},
	{"timetable: weekday.csv", "colour: red", `line 27: unknown key "colour" at the top level; known are railway, box, timezone, rules, rounding, clock-check, booking, sections, places, signals, gear, crossings, people, pins, lock-after, countersign, codes, limits, timetable`},
	{"timetable: weekday.csv", "box: Other", `line 27: key "box" is given twice at the top level, first on line 2; keep one`},
	{"box: Ennerholme\n", "\n", `line 1: key "box" is missing at the top level: name of this signal box`},
	{"name: Yard, ", "", `line 24: key "name" is missing in places: name of the place`},
	{", here: \"1-6\"", "", `line 12: key "here" is missing in tokens: tokens in our instrument when the book begins, written as charge, or none`},

	// Words.
	{"method: token ", "method: tokn ", `line 9: method has no word "tokn"; did you mean "token"?`},
	{"method: token ", "method: Absolut ", `line 9: method has no word "Absolut"; did you mean "absolute"?`},
	{"way: out", "way: our", `line 16: way has no word "our"; did you mean "out"?`},
	{"[restricted-acceptance]", "[restricted-acceptence]", `line 18: allow has no word "restricted-acceptence"; did you mean "restricted-acceptance"?`},
	{"[forward-section-clear]", "[forward section clear]", `line 19: needs has no word "forward section clear"; did you mean "forward-section-clear"?`},
	{"rounding: nearest-minute", "rounding: nearest", `line 5: rounding has no word "nearest"; did you mean "nearest-minute"?`},
	{"rules: british-later", "rules: british-latter", `line 4: rules has no word "british-latter"; did you mean "british-later"?`},
	{"role: inspector", "role: inspecter", `line 25: role has no word "inspecter"; did you mean "inspector"?`},
	{"role: inspector", "role: guard", `line 25: role has no word "guard"; known are signaller, relief, trainee, inspector, manager, technician, pilot, handsignaller, other`},
	{"class: passenger", "class: pasenger", `line 26: class has no word "pasenger"; did you mean "passenger"?`},
	{"class: passenger", "signal: ofer", `line 26: signal has no word "ofer"; did you mean "offer"?`},
	{"class: passenger", "from: front", `line 26: from has no word "front"; known are either, rear, advance`},
	{"towards: up ", "towards: north ", `line 11: towards has no word "north"; known are up, down`},
	{"timetable: weekday.csv", "booking: exchange", `line 27: booking has no word "exchange"; did you mean "exchanges"?`},
	{"timezone: Europe/London", "timezone: Europe/Ennerholme", `line 3: timezone "Europe/Ennerholme" is not known; write a name of the time zone database such as Europe/London, or UTC`},
	{"timezone: Europe/London", "timezone: Local", `line 3: timezone "Local" is not known; write a name of the time zone database such as Europe/London, or UTC`},

	// Values.
	{"clearing-point: 440 ", "clearing-point: 4E2 ", `line 17: clearing-point "4E2" is no distance; write yards as 440 or "440 yd", metres as "400 m"`},
	{"clearing-point: 440 ", "clearing-point: 440 ft ", `line 17: clearing-point "440 ft" is no distance; write yards as 440 or "440 yd", metres as "400 m"`},
	{"clearing-point: 440 ", "clearing-point: 0 ", `line 17: clearing-point must be more than 0; leave the key out to take the rule set's`},
	{"clearing-point: 440 ", "clearing-point: 200000 ", `line 17: clearing-point "200000" is more than 100 km; check the number and its unit`},
	{"passenger: 9", "passenger: -9", `line 13: passenger must be minutes, more than 0 and at most 1440, such as 4 or 4.5, not "-9"`},
	{"holds: 6", "holds: six", `line 24: holds must be a whole number from 0 to 9999, not "six"`},
	{"holds: 6", "at-signal: yes", `line 24: at-signal must be true or false, not "yes"`},
	{`"09:00"`, "9 am", `line 6: clock-check must be a time of day such as "09:00", not "9 am"`},
	{`charge: "1-12"`, "charge: 12", `line 12: charge: 12 alone may be a number or how many; write "1-12", or [12] for the one token`},
	{`here: "1-6"`, `here: "1-6,13"`, `line 12: here: token 13 is not on the charge list`},
	{`here: "1-6"`, `here: "1-6,4"`, `line 12: here: token 4 is given twice`},
	{`here: "1-6"`, `here: "6-1"`, `line 12: here: "6-1" is no token number or range; tokens are numbered from 1, the smaller number first`},
	{`here: "1-6"`, `here: A-F`, `line 12: here: "A-F" is no token number; write "1-12", "1-6,9" or a list`},
	{`charge: "1-12"`, `charge: "1-9999"`, `line 12: charge: more than 500 tokens; check the numbers`},
	{"beats: 3-1-2", "beats: 3-x", `line 26: beats: bell code "3-x": "x" is not a number of beats`},
	{"box: Ennerholme", "box:", `line 2: box: nothing is given; write a value or leave the key out`},
	{"box: Ennerholme", `box: "Enner\nholme"`, `line 2: box "Enner\nholme" must be one line of printable text`},
	{"box: Ennerholme", `box: " Ennerholme"`, `line 2: box " Ennerholme" begins or ends with a space; take it away`},
	{"box: Ennerholme", "box: [Ennerholme]", `line 2: box must be one value, not a list or further keys`},
	{"lines: [{name: Single}]", "lines: Single", `line 10: lines must be a list; begin each item with "- name:"`},
	{"lines: [{name: Single}]", "lines: [Single]", `line 10: lines: write keys with values here, such as "name: ..."`},
	{"allow: [restricted-acceptance]", "allow: restricted-acceptance", `line 18: allow must be a list, such as [restricted-acceptance, shunt-ahead]`},
	{"fouls: [Saltgarth]", "fouls: Saltgarth", `line 23: fouls must be a list of neighbours' names, such as [Name]`},
	{"beyond-home: {Saltgarth: 460}", "beyond-home: 460", `line 22: beyond-home must give a distance by neighbour, such as {Name: 440}`},

	// What refers to what.
	{"neighbour: Saltgarth", "neighbour: coldbeck", "line 14: neighbour \"coldbeck\" is given twice, first on line 8\n" +
		"line 22: beyond-home: \"Saltgarth\" is no neighbour of this box; known are Coldbeck, coldbeck\n" +
		"line 23: fouls: \"Saltgarth\" is no neighbour of this box; known are Coldbeck, coldbeck"},
	{"neighbour: Coldbeck", "neighbour: Ennerholme", `line 8: neighbour "Ennerholme" is this box itself; name the box at the other end`},
	{"name: Yard", "name: Platform 1", `line 24: place "Platform 1" is given twice, first on line 22`},
	{"name: R. Garth", "name: A. Fell", `line 25: person "A. Fell" is given twice, first on line 25`},
	{"name: Down Main,", "name: Up Main,", `line 16: line "Up Main" is given twice, first on line 16`},
	{"fouls: [Saltgarth]", "fouls: [Saltgrath]", `line 23: fouls: "Saltgrath" is no neighbour of this box; did you mean "Saltgarth"?`},
	{"fouls: [Saltgarth]", "fouls: [{section: Saltgarth, line: Up Mane}]", `line 23: fouls: "Up Mane" is no line of the section to Saltgarth; did you mean "Up Main"?`},
	{"beyond-home: {Saltgarth: 460}", "beyond-home: {Salt: 460}", `line 22: beyond-home: "Salt" is no neighbour of this box; did you mean "Saltgarth"?`},
	{", way: out", "", `line 16: line "Up Main" to Saltgarth: way is missing; write out (away from this box) or in (towards it)`},
	{"way: out", "way: both", `line 16: line "Up Main" to Saltgarth: under method absolute way is out (away from this box) or in (towards it)`},
	{"{name: Single}", "{name: Single, way: in}", `line 10: line "Single" to Coldbeck: trains of both ways use a line worked by token; leave way out`},
	{"method: token ", "method: tokenless ", `line 12: tokens: not used under method tokenless; leave them out`},
	{"lines: [{name: Single}]", "lines: []", `line 10: lines: a section has at least one line`},
	{"means: railcar, ", "", `line 26: code 3-1-2: say in words what it means with the key "means"`},
	{"class: passenger", "class: passenger, signal: police", `line 26: class belongs to a code that offers a train; leave it out, or signal out`},
	{"codes: [", "codes: [{beats: 3-1-2, means: motor train, class: any}, ", `line 26: code 3-1-2 is given twice with the same effect, first on line 26`},
	{"timetable: weekday.csv", "signals: [{name: S1, section: Saltgarth, kind: home}]", `line 27: signal "S1": line is missing; the section to Saltgarth has several: Up Main, Down Main`},
	{"timetable: weekday.csv", "gear: [{name: Points 7, kind: points, place: Yrad}]", `line 27: gear: "Yrad" is no place of this box; did you mean "Yard"?`},
	{"timetable: weekday.csv", "gear: [{name: Phone, kind: crossing-telephone}]", `line 27: gear "Phone": name the crossing whose telephone it is with the key "crossing"`},
	{"timetable: weekday.csv", "gear: [{name: Phone, kind: crossing-telephone, crossing: Mill Lane}]", `line 27: gear: "Mill Lane" is no crossing of this box; the file has none`},

	// Level crossings.
	{"timetable: weekday.csv", "crossings: [{name: Mill Lane, kind: user worked, section: Coldbeck}]", `line 27: kind has no word "user worked"; did you mean "user-worked"?`},
	{"timetable: weekday.csv", "crossings: [{name: Mill Lane, kind: user-worked}]", `line 27: crossing "Mill Lane": say where it lies with section (a neighbour) or place (a place of this box)`},
	{"timetable: weekday.csv", "crossings: [{name: Mill Lane, kind: user-worked, section: Coldbeck, place: Yard}]", `line 27: crossing "Mill Lane" lies in a section or at a place of the box; keep one of section and place`},
	{"timetable: weekday.csv", "crossings: [{name: Mill Lane, kind: user-worked, section: Coldbek}]", `line 27: crossings: "Coldbek" is no neighbour of this box; did you mean "Coldbeck"?`},
	{"timetable: weekday.csv", "crossings: [{name: Mill Lane, kind: user-worked, place: Yrad}]", `line 27: crossings: "Yrad" is no place of this box; did you mean "Yard"?`},
	{"timetable: weekday.csv", "crossings: [{name: Mill Lane, kind: worked, place: Yard, minutes-from: {Salt: 2}}]", `line 27: minutes-from: "Salt" is no neighbour of this box; did you mean "Saltgarth"?`},
	{"timetable: weekday.csv", "crossings: [{name: Mill Lane, kind: worked, section: Coldbeck, minutes-from: {Saltgarth: 2}}]", `line 27: minutes-from: trains reach a crossing in the section to Coldbeck from there or from here, not from "Saltgarth"`},
	{"timetable: weekday.csv", "crossings: [{name: Mill Lane, kind: worked, place: Yard, minutes-from: {here: 0}}]", `line 27: minutes-from must be minutes, more than 0 and at most 1440, such as 4 or 4.5, not "0"`},
	{"timetable: weekday.csv", "crossings: [{name: Mill Lane, kind: worked, place: Yard, minutes-from: 2}]", `line 27: minutes-from must give minutes by box, such as {here: 2, Name: 3}`},
	{"timetable: weekday.csv", "crossings: [{name: Mill Lane, kind: worked, place: Yard, protected-by: [Up Starting]}]", `line 27: protected-by: "Up Starting" is no signal of this box; the file has none`},
	{"timetable: weekday.csv", "crossings: [{name: Mill Lane, kind: worked, place: Yard, told-before: signals}]", `line 27: told-before belongs to a crossing with a keeper; leave it out, or write kind: keeper`},
	{"timetable: weekday.csv", "crossings: [{name: Mill Lane, kind: worked, place: Yard}, {name: mill lane, kind: worked, place: Yard}]", `line 27: crossing "mill lane" is given twice, first on line 27`},

	// YAML itself.
	{"box: Ennerholme", "box: &b Ennerholme", `line 2: &b: anchors are not used in a box file; take it away`},
	{"box: Ennerholme", "box: !!str Ennerholme", `line 2: !!str: tags are not used in a box file; take it away`},
	{"timetable: weekday.csv", "--- \nbox: Other", `line 27: a second document begins here; a file describes one box`},
	{"box: Ennerholme", "box: Enner: holme", `line 2: not well-formed YAML: mapping values are not allowed in this context; check the indentation, and quote a text that contains a colon or begins with a sign`},
	{"lines: [{name: Single}]", "lines: [{name: Single}", "line 10: not well-formed YAML here or further down: did not find expected ',' or ']'; check the indentation, and quote a text that contains a colon or begins with a sign"},
	{"    towards: up ", "  towards: up ", "line 8: not well-formed YAML here or further down: did not find expected '-' indicator; check the indentation, and quote a text that contains a colon or begins with a sign"},
	{"towards: up ", "towards up ", "line 11: not well-formed YAML: could not find expected ':'; check the indentation, and quote a text that contains a colon or begins with a sign"},
	{"    method: token ", "\tmethod: token ", `line 9: not well-formed YAML: found a tab character that violates indentation; indent with spaces, never tabs`},
}

func TestBadFiles(t *testing.T) {
	for _, c := range badFiles {
		_, err := Decode(strings.NewReader(swap(t, c.old, c.with)), "")
		var faults *Faults
		if !errors.As(err, &faults) {
			t.Errorf("%q: error %v, want faults", c.with, err)
		} else if err.Error() != c.want {
			t.Errorf("%q for %q\n got %s\nwant %s", c.with, c.old, err, c.want)
		}
	}
}

func TestFaultsTogether(t *testing.T) {
	text := strings.NewReplacer("clearing-point", "clearing-pont", "way: in", "way: inn", "role: inspector", "rule: inspector", "timezone", "zone").Replace(thrackley)
	_, err := Decode(strings.NewReader(text), "box.yaml")
	want := `box.yaml: line 3: unknown key "zone" at the top level; known are railway, box, timezone, rules, rounding, clock-check, booking, sections, places, signals, gear, crossings, people, pins, lock-after, countersign, codes, limits, timetable
box.yaml: line 16: way has no word "inn"; did you mean "in"?
box.yaml: line 17: unknown key "clearing-pont" in sections; did you mean "clearing-point"?
box.yaml: line 25: unknown key "rule" in people; did you mean "role"?
box.yaml: line 25: key "role" is missing in people: what they are: signaller, relief, trainee, inspector, manager, technician, pilot, handsignaller, other`
	if err == nil || err.Error() != want {
		t.Errorf("got\n%v\nwant\n%s", err, want)
	}
}

func TestOddFiles(t *testing.T) {
	for text, want := range map[string]string{
		"":                             "the file is empty; `fairhand init DIR` makes one to start from",
		"# only a comment\n":           "the file is empty; `fairhand init DIR` makes one to start from",
		"- box\n":                      `line 1: at the top level: write keys with values here, such as "railway: ..."`,
		strings.Repeat("#\n", maxSize): "the file is larger than 256 KB, which no box description is; check that it is the right file",
		"a: &a [x]\nb: *a\n":           "line 1: &a: anchors are not used in a box file; take it away\nline 2: *a: references are not used in a box file; write the value out",
	} {
		if _, err := Decode(strings.NewReader(text), ""); err == nil || err.Error() != want {
			t.Errorf("%.40q\n got %v\nwant %s", text, err, want)
		}
	}
	broken := errors.New("disk gone")
	if _, err := Decode(failing{broken}, "box.yaml"); !errors.Is(err, broken) {
		t.Errorf("reading that fails: %v", err)
	}
}

type failing struct{ err error }

func (f failing) Read([]byte) (int, error) { return 0, f.err }

// Keys and the decoder must know the same keys: each key of Keys is accepted in
// its group by a file with only that key, and the file that uses every key uses
// no other. A key misspelt is refused with the key as the suggestion.
func TestKeysAndDecoderAgree(t *testing.T) {
	listItems := map[string]bool{"sections": true, "sections.lines": true, "places": true, "places.fouls": true, "signals": true, "gear": true, "crossings": true, "people": true, "codes": true}
	file := func(k Key, name string) string {
		text := "{" + name + ": x}"
		for g := k.Group(); g != ""; g = (Key{Path: g}).Group() {
			if listItems[g] {
				text = "[" + text + "]"
			}
			text = "{" + (Key{Path: g}).Name() + ": " + text + "}"
		}
		return text
	}
	for _, k := range Keys() {
		if strings.TrimSpace(k.Says) == "" || strings.Contains(k.Says, "\n") {
			t.Errorf("%s is not explained in one line", k.Path)
		}
		_, err := Decode(strings.NewReader(file(k, k.Name())), "")
		if err == nil || strings.Contains(err.Error(), "unknown key") {
			t.Errorf("%s is in Keys but not accepted: %v", k.Path, err)
		}
		_, err = Decode(strings.NewReader(file(k, k.Name()+"q")), "")
		if want := fmt.Sprintf("unknown key %q", k.Name()+"q"); err == nil || !strings.Contains(err.Error(), want) || !strings.Contains(err.Error(), fmt.Sprintf("did you mean %q?", k.Name())) {
			t.Errorf("%sq: %v", k.Path, err)
		}
	}
	decoded(t, fullMore)
	for _, k := range Keys() {
		if !regexp.MustCompile(`\b` + k.Name() + `: `).MatchString(fullMore + "sections: places: signals: gear: crossings: limits: ") {
			t.Errorf("the file that should use every key lacks %s", k.Path)
		}
	}
	ref := Reference()
	if n := strings.Count(ref, "\n"); n != len(Keys()) || !strings.Contains(ref, "    name:                name of the line (required)\n") {
		t.Errorf("reference of %d lines for %d keys:\n%s", n, len(Keys()), ref)
	}
}

// FuzzDecode: whatever the text, a fault or a box that is prepared.
func FuzzDecode(f *testing.F) {
	f.Add(thrackley)
	f.Add(full)
	f.Add(fullMore)
	for _, c := range badFiles {
		f.Add(strings.Replace(thrackley, c.old, c.with, 1))
	}
	f.Add("a: &a [*a]\n? {b: c}\n: d\n<<: *a\n")
	f.Fuzz(func(t *testing.T, text string) {
		file, err := Decode(strings.NewReader(text), "box.yaml")
		if err != nil {
			if file != nil || err.Error() == "" {
				t.Errorf("file %v with error %v", file, err)
			}
			return
		}
		if err := file.Box.Prepare(); err != nil {
			t.Errorf("a decoded box does not prepare: %v", err)
		}
	})
}
