package tui

import (
	"strings"
	"testing"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// pick presses the key of the expected entry whose label contains the words, and
// fails when it is not offered.
func (r *rig) pick(words string) *rig {
	r.t.Helper()
	for i, x := range r.desk.model.listed {
		if strings.Contains(x.Label, words) {
			if i == 0 && r.desk.model.soon() {
				r.press("Enter")
			} else {
				r.press(itoa(x.number))
			}
			if r.desk.model.mode == modeSure {
				r.press("y")
			}
			return r
		}
	}
	r.t.Fatalf("nothing expected says %q:\n%s", words, r.text())
	return r
}

// bells counts the bell signals in the book.
func (r *rig) bells() int {
	n := 0
	for _, e := range r.book.Recent() {
		n += len(e.Event.Bells)
	}
	return n
}

// passage is one train through the box: what happens when, and which expected
// entry the signaller picks. The sequence is that of a regular train under
// absolute block: is line clear, train entering section, train out of section
// on either side (signalbox.org, Block system ch. 4).
var passage = []struct {
	at, pick, then string
	exchange       bool
}{
	{"10:00", "accept", "31 1M44", true},
	{"10:03", "entering section, from Saltgarth", "", true},
	{"10:03", "offer 1M44", "", true},
	{"10:07", "1M44 passed complete", "c", false},
	{"10:07", "entering section, to Coldbeck", "", true},
	{"10:07", "out of section, to Saltgarth", "", true},
	{"10:13", "out of section, from Coldbeck", "", true},
}

// TestThroughTrainCostsOneKeyAnExchange works a train through a box with
// absolute block on both sides by what the desk offers. Each exchange, of four
// bells or two, costs one key; beside those only the description and name are
// typed, once, and the tail lamp is answered.
func TestThroughTrainCostsOneKeyAnExchange(t *testing.T) {
	r := newRig(t, "absolute.yaml", 80, 24, Options{})
	r.at("09:55").log(`duty on "A. Fell"`, "clock right")
	r.keys = 0
	typed, exchanges := 0, 0
	for _, p := range passage {
		if p.pick == "accept" {
			r.at(p.at).pick("from Saltgarth")
		} else {
			r.at(p.at).pick(p.pick)
		}
		if p.exchange {
			exchanges++
		}
		if p.then == "" {
			continue
		}
		before := r.keys
		if r.press(p.then); p.exchange {
			r.press("Enter")
		}
		typed += r.keys - before
	}
	if n := len(r.book.State().Trains); n != 0 {
		t.Errorf("%d trains still on hand", n)
	}
	for _, e := range r.book.Recent() {
		if len(e.Findings) > 0 {
			t.Errorf("%s: found %s", e.Line, e.Findings[0].Rule)
		}
	}
	if len(r.lines()) != 2+len(passage) {
		t.Errorf("%d entries, want one for each of %d picks:\n%s", len(r.lines())-2, len(passage), strings.Join(r.lines(), "\n"))
	}
	forBells := r.keys - typed - 1 // the passing is no bell
	if forBells != exchanges {
		t.Errorf("%d keys for %d exchanges", forBells, exchanges)
	}
	if r.keys > r.bells() {
		t.Errorf("%d keys in all for %d bells", r.keys, r.bells())
	}
	t.Logf("%d keys for %d exchanges of %d bells; with beats, name and tail lamp %d keys", forBells, exchanges, r.bells(), r.keys)
}

// The first thing offered must not be a thing that has just been done: whatever
// is pressed, Enter never finds danger (the list is made from the rows that judge).
func TestEnterNeverStopsOnDanger(t *testing.T) {
	for _, box := range []string{"absolute.yaml", "box.yaml"} {
		r := newRig(t, box, 80, 24, Options{})
		r.log(`10:00 duty on "A. Fell"`, "10:00 clock right")
		minute := 0
		for range 60 {
			minute += 3
			r.now = r.now.Add(3 * 60e9)
			r.desk.refresh()
			for i := range r.desk.model.listed {
				x := &r.desk.model.listed[i]
				ev := timed(x.Event, r.desk.clerk.now(), r.desk.clerk.now())
				if _, found := r.book.Preview(ev); gravestIs(found, rulebook.Danger) {
					t.Fatalf("%s: %q is offered and would find %s", box, x.Label, gravest(found).Rule)
				}
			}
			r.pick(r.desk.model.listed[0].Label)
			if r.desk.model.mode == modeSure {
				r.press("y")
			}
			switch r.desk.model.mode {
			case modeAsk:
				if r.desk.model.ask.exp.AskTrain {
					r.press("T" + itoa(minute))
				}
				if r.desk.model.ask.exp.Untold {
					r.press(itoa(r.desk.model.ask.exp.Event.Number))
				}
				r.press("Enter")
			case modeProof:
				r.press("c")
			}
			if r.desk.model.mode != modeDesk {
				t.Fatalf("%s: in mode %s after %s", box, r.desk.model.mode, r.last())
			}
		}
	}
}

func gravestIs(found []block.Finding, s rulebook.Severity) bool {
	g := gravest(found)
	return g != nil && g.Severity == s
}

// TestCrossing works two trains that cross at the loop between a token section
// and an absolute one, by what the desk offers alone; then each has gone and
// nothing was found. Source of the order of token working: the electric train
// token regulations as told in the single-line trade notes (release before the
// token is drawn, token in before out of section).
func TestCrossing(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.at("09:55").log(`duty on "A. Fell"`, "clock right")
	steps := []struct {
		at, pick string
		then     []string
	}{
		{"10:00", "from Coldbeck", []string{"31 2A12", "Enter"}}, // up train, by token
		{"10:01", "from Saltgarth", []string{"31 2R15", "Enter"}},
		{"10:02", "2A12 entering section, from Coldbeck", nil},
		{"10:04", "2R15 entering section, from Saltgarth", nil},
		{"10:09", "2R15 arrived", []string{"c"}}, // first to come
		{"10:09", "2R15 out of section, to Saltgarth", nil},
		{"10:12", "2A12 arrived", []string{"c"}},
		{"10:13", "token in", []string{"7", "Enter"}},
		{"10:13", "2A12 out of section, to Coldbeck", nil},
		{"10:14", "offer 2R15", nil},
		{"10:14", "token", []string{"Enter"}},
		{"10:15", "2R15 departed", nil},
		{"10:15", "2R15 entering section, to Coldbeck", nil},
		{"10:16", "offer 2A12", nil},
		{"10:17", "2A12 departed", nil},
		{"10:17", "2A12 entering section, to Saltgarth", nil},
		{"10:22", "2A12 out of section, from Saltgarth", nil},
		{"10:26", "2R15 out of section, from Coldbeck", nil},
	}
	for _, s := range steps {
		r.at(s.at).pick(s.pick).press(s.then...)
		if r.desk.model.mode != modeDesk {
			t.Fatalf("%s: in mode %s:\n%s", s.pick, r.desk.model.mode, r.text())
		}
	}
	for _, e := range r.book.Recent() {
		if len(e.Findings) > 0 {
			t.Errorf("%s: found %s", e.Line, e.Findings[0].Rule)
		}
	}
	if n := len(r.book.State().Trains); n != 0 {
		t.Errorf("%d trains still on hand", n)
	}
	if len(r.lines()) != 2+len(steps) {
		t.Errorf("%d entries, want one for each of %d steps", len(r.lines())-2, len(steps))
	}
}

// With the bells failed and messages in their place a train is worked through by what the
// desk offers, in words, and nothing is found.
func TestBellFailureByMessage(t *testing.T) {
	r := newRig(t, "absolute.yaml", 80, 24, Options{})
	r.at("09:55").log(`duty on "A. Fell"`, "clock right", `09:55 Saltgarth working by message "bells failed"`)
	for _, s := range []struct {
		at, pick string
		then     []string
	}{
		{"10:00", "accept a train from Saltgarth", []string{"2A12", "Enter"}},
		{"10:03", "2A12 entering section, from Saltgarth", nil},
		{"10:04", "offer 2A12", nil},
		{"10:08", "2A12 passed", []string{"c"}},
		{"10:08", "2A12 entering section, to Coldbeck", nil},
		{"10:08", "2A12 out of section, to Saltgarth", nil},
		{"10:14", "2A12 out of section, from Coldbeck", nil},
		{"10:20", "accept a train from Saltgarth", []string{"2A14", "Enter"}},
	} {
		if r.at(s.at).pick(s.pick).press(s.then...); r.desk.model.mode != modeDesk {
			t.Fatalf("%s: in mode %s:\n%s", s.pick, r.desk.model.mode, r.text())
		}
	}
	for _, e := range r.book.Recent() {
		if len(e.Findings) > 0 {
			t.Errorf("%s: found %s", e.Line, e.Findings[0].Rule)
		}
	}
	if want := `10:20 Saltgarth <offer >accept train 2A14`; r.last() != want {
		t.Errorf("wrote %q, want %q", r.last(), want)
	}
}
