package tui

import (
	"slices"
	"strings"
	"testing"
)

// A name nobody here knows is asked about once; Enter again writes it as typed.
func TestNamesAreAsked(t *testing.T) {
	for _, c := range []struct{ line, asks string }{
		{"Larkrigg <1 >1", `no neighbour "Larkrigg"`},
		{"Coldbek <1 >1", `Did you mean "Coldbeck"?`},
		{"Coldbeck >2 <2 train 1M45", `no train "1M45" here. Did you mean "1M44"?`},
		{"train 9Z99 arrived at \"Platform 1\" complete", `no train "9Z99"`},
		{"train 1M44 arrived at \"Platfrom 1\" complete", `Did you mean "Platform 1"?`},
		{`reminder off "Lever 9"`, `no reminder "Lever 9"`},
		{`restored "Points 8"`, `no gear out of use "Points 8"`},
		{`duty on "A. Fel"`, `Did you mean "A. Fell"?`},
		{`duty off "R. Howe"`, `no person on duty "R. Howe"`},
		{"Coldbeck counter reset", "There is no axle counter in the section to Coldbeck."},
		{"Saltgarth token 3 out", "There is no token in the section to Saltgarth."},
		{"train 9Z99 joined to 1M44", `no train "9Z99"`},
		{`blockage "Up Mian" towards Saltgarth "x"`, `Did you mean "Up Main"?`},
	} {
		r := newRig(t, "box.yaml", 80, 24, Options{})
		r.log(twoComing...).at("10:02").press("e", c.line, "Enter").want(c.asks).wrote(4)
		if r.desk.model.mode == modeStop { // danger stops the hand before the name does
			r.press("w").wrote(5)
			continue
		}
		r.want("Nothing is written yet").press("Backspace", "Backspace").wrote(4)
		if r.desk.model.doubted != "" {
			t.Errorf("%s: a changed line is taken as asked about", c.line)
		}
		r.press("Ctrl-U", c.line, "Enter").want("Nothing is written yet").press("Enter").wrote(5)
	}
}

// Tab takes the name meant, wherever it stands in the line; pressed again it adds the one
// typed to the box, and what was typed is there again after.
func TestTabTakesTheNameMeant(t *testing.T) {
	for _, c := range []struct{ typed, takes, last string }{
		{"Coldbek <1 >1", "Coldbeck <1 >1", "10:02 Coldbeck <1 >1"},
		{"Saltgarth <2 >2 train 1M45", "Saltgarth <2 >2 train 1M44", "10:02 Saltgarth <2 >2 train 1M44"},
		{`blockage "Up Mian" towards Saltgarth "x"`, `blockage "Up Main" towards Saltgarth "x"`, `10:02 blockage "Up Main" towards Saltgarth "x"`},
	} {
		r := newRig(t, "box.yaml", 80, 24, Options{})
		r.log(twoComing...).at("10:02").press("e", c.typed, "Enter").want("Tab takes it").want("Tab take the name meant").wrote(4)
		if got := r.press("Tab").wrote(4).desk.model.edit.String(); got != c.takes {
			t.Errorf("%s became %s, want %s", c.typed, got, c.takes)
		}
		r.press("Enter")
		if r.desk.model.mode == modeStop {
			r.press("w")
		}
		if !slices.Contains(r.lines(), c.last) {
			t.Errorf("%s wrote %q\n%s", c.typed, r.lines(), r.text())
		}
	}
	r := newRig(t, "box.yaml", 80, 24, Options{})
	if r.at("10:02").press("u", "R. Howes", "Enter", "Tab", "Enter").last() != `10:02 duty on "R. Howe"` {
		t.Error(r.text())
	}
	r = newRig(t, "box.yaml", 80, 24, Options{})
	r.log(twoComing...).at("10:02").press("e", `train 1M44 arrived at "Platform 3" complete`, "Enter", "Tab").want("again adds what was typed").
		press("Tab").want(`new place "Platform 3"`).press("Enter").want(`arrived at "Platform 3" complete`)
}

// What is known, and what brings a new name, is not asked about.
func TestKnownNamesAreNotAsked(t *testing.T) {
	for _, line := range []string{"Saltgarth <2 >2 train 1M44",
		`reminder on "Lever 9" "x"`, `failure "Points 8" "x"`, `note "Larkrigg"`, `duty on "R. Howe"`, "Saltgarth >1 <1"} {
		r := newRig(t, "box.yaml", 80, 24, Options{})
		r.log(twoComing...).at("10:02").press("e", line, "Enter").wrote(5)
	}
}

// A correction, and a name typed at a prompt, are asked about in the same way.
func TestNamesOfCorrectionsAndPrompts(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(twoComing...).at("10:02").press("r", "c", "Ctrl-U", "10:01 Coldbek <1 >1 <3-1 >3-1 train 2A12", "Enter").want(`Did you mean "Coldbeck"?`).wrote(4)
	r.press("Enter").wrote(5)
	r = newRig(t, "box.yaml", 80, 24, Options{})
	r.log(twoComing...).at("10:02").press("a").pick("1M44 entering").press("1M54", "Enter").want(`Did you mean "1M44"?`).wrote(4).press("Enter").wrote(5)
}

// Keys meant for the desk and typed into the prompt of a name make no train of several words
// unasked; in quotes, or asked about, a name is what it is.
func TestNameOfSeveralWordsIsAsked(t *testing.T) {
	for typed, asked := range map[string]bool{"z1ktoken fails": true, `"10:40 Up"`: false, "31 2P07": false} {
		r := newRig(t, "absolute.yaml", 80, 24, Options{})
		r.log(duty...).at("10:00").pick("from Saltgarth").press(typed, "Enter")
		if got := len(r.lines()) == 2; got != asked {
			t.Errorf("%q: asked is %v, want %v:\n%s", typed, got, asked, r.text())
		}
		if asked {
			r.want("the name of one train?").press("Enter").wrote(3)
		}
	}
}

// A train offered under a name near to one that is booked and not yet heard of is asked about,
// wherever it is typed; one that is booked, or far from all, is not.
func TestATrainLikeOneBookedIsAsked(t *testing.T) {
	const asks = `2A91 is not booked here, 2A19 is. Did you mean "2A19"?`
	for _, c := range []struct {
		keys []string
		asks bool
	}{
		{[]string{"e", "Saltgarth <1 >1 <3-1 >3-1 train 2A91", "Enter"}, true},
		{[]string{"b", "31", "<", "2A91", "Enter"}, true},
		{[]string{"@accept 3-1 from Saltgarth", "2A91", "Enter"}, true},
		{[]string{"@accept 3-1 from Saltgarth", "2A19", "Enter"}, false},
		{[]string{"@accept 3-1 from Saltgarth", "5Z77", "Enter"}, false},
	} {
		r := newDemoRig(t, 120, 40)
		r.at("11:05")
		for _, k := range c.keys {
			if label, ok := strings.CutPrefix(k, "@"); ok {
				r.pick(label)
			} else {
				r.press(k)
			}
		}
		before := 167
		if !c.asks {
			r.wrote(before + 1)
			continue
		}
		if r.want(asks).wrote(before).press("Enter").wrote(before + 1); !strings.Contains(r.last(), "2A91") {
			t.Errorf("%v wrote %q", c.keys, r.last())
		}
	}
	if r := newDemoRig(t, 80, 24).at("11:05").press("e", "Saltgarth <1 >1 <3-1 >3-1 train 2A91", "Enter", "Tab", "Enter"); !strings.HasSuffix(r.last(), "train 2A19") {
		t.Errorf("Tab wrote %q", r.last())
	}
}
