package tui

import (
	"slices"
	"testing"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/notation"
)

// crossed is the crossing of TestCrossing as lines, for doing any of them at the
// wrong moment.
var crossed = []work{
	{"10:00", "from Coldbeck", []string{"31 2A12", "Enter"}}, {"10:01", "from Saltgarth", []string{"31 2R15", "Enter"}},
	{"10:02", "2A12 entering section, from Coldbeck", nil}, {"10:04", "2R15 entering section, from Saltgarth", nil},
	{"10:09", "2R15 arrived", []string{"c"}}, {"10:09", "2R15 out of section, to Saltgarth", nil},
	{"10:12", "2A12 arrived", []string{"c"}}, {"10:13", "token in", []string{"7", "Enter"}},
	{"10:13", "2A12 out of section, to Coldbeck", nil}, {"10:14", "offer 2R15", nil}, {"10:14", "token", []string{"Enter"}},
	{"10:15", "2R15 departed", nil}, {"10:15", "2R15 entering section, to Coldbeck", nil}, {"10:16", "offer 2A12", nil},
	{"10:17", "2A12 departed", nil}, {"10:17", "2A12 entering section, to Saltgarth", nil},
	{"10:22", "2A12 out of section, from Saltgarth", nil}, {"10:26", "2R15 out of section, from Coldbeck", nil},
}

func passed() []work {
	var out []work
	for _, p := range passage {
		w := work{at: p.at, pick: p.pick}
		if p.pick == "accept" {
			w.pick = "from Saltgarth"
		}
		if p.then != "" {
			w.then = append(w.then, p.then)
		}
		if p.exchange && p.then != "" {
			w.then = append(w.then, "Enter")
		}
		out = append(out, w)
	}
	return out
}

// TestWrongActions goes through the two regular sequences. At each step every
// entry of the whole sequence is tried that does not come next; block is the
// judge of what is wrong. What is dangerous is offered nowhere and stops the hand
// when it is typed, with nothing written; what is irregular is offered nowhere
// and is warned of when it is written. Only what the other box will send is shown
// before it can come: it is warned of as well.
func TestWrongActions(t *testing.T) {
	for _, seq := range []struct {
		box   string
		steps []work
		least int // wrong actions that must have been met, or the test tests nothing
	}{{"absolute.yaml", passed(), 14}, {"box.yaml", crossed, 100}} {
		all := linesOf(t, seq.box, seq.steps)
		r := newRig(t, seq.box, 80, 24, Options{})
		r.work(signedOn)
		met := 0
		for i, s := range seq.steps {
			r.at(s.at)
			for j, line := range all {
				if j != i {
					met += r.forced(line)
				}
			}
			r.press("Esc").work(s)
		}
		if met < seq.least {
			t.Errorf("%s: only %d dangers met", seq.box, met)
		}
		t.Logf("%s: %d dangerous actions offered nowhere and stopped, in %d steps", seq.box, met, len(seq.steps))
	}
}

// linesOf are the entries that a sequence writes, without their times.
func linesOf(t *testing.T, box string, steps []work) []string {
	r := newRig(t, box, 80, 24, Options{})
	r.work(signedOn)
	n := len(r.lines())
	r.work(steps...)
	var out []string
	for _, e := range r.book.Recent()[n:] {
		out = append(out, notation.FormatBody(e.Event))
	}
	return out
}

// forced tries an entry at the wrong moment and gives 1 when it is dangerous.
func (r *rig) forced(line string) int {
	r.t.Helper()
	events, err := notation.ParseLine(r.book.Location(), r.desk.clerk.now(), line)
	if err != nil {
		r.t.Fatal(err)
	}
	ev := events[0]
	_, found := r.book.Preview(ev)
	g := gravest(found)
	if g == nil || g.Severity == rulebook.Advice {
		return 0
	}
	for _, x := range r.desk.model.next {
		x.Event.At = ev.At
		if notation.FormatBody(x.Event) == notation.FormatBody(ev) && (x.Mine || g.Rule != rulebook.RunningTimeShort) {
			r.t.Errorf("%s: %q is offered and %s would be found", r.desk.model.clock(ev.At), line, g.Rule)
		}
	}
	if g.Severity != rulebook.Danger {
		return 0
	}
	n := len(r.lines())
	r.press("e").desk.step(pasted{line})
	r.press("Enter")
	if r.desk.model.mode != modeStop || len(r.lines()) != n {
		r.t.Errorf("%s: %q is dangerous (%s) and does not stop the hand", r.desk.model.clock(ev.At), line, g.Rule)
	}
	r.want("STOP: NOT WRITTEN YET").press("d", "Esc")
	return 1
}

// Where the acceptance of a train offered stops the hand, one key writes the offer without its
// answer: that is how a train is not accepted. Of any other entry it writes nothing.
func TestStoppedOfferIsLeftUnanswered(t *testing.T) {
	r := newRig(t, "absolute.yaml", 80, 24, Options{})
	r.log(duty...).log("09:55 Saltgarth <1 >1 <3-1 >3-1 train 1M44", "09:56 Saltgarth <2 >2 train 1M44", "09:58 train 1M44 passed complete").at("10:00")
	n := len(r.lines())
	r.press("e", "Saltgarth <1 >1 <3-1 >3-1 train 5Z01", "Enter").want("not accepted: write  10:00 Saltgarth <1 >1 <3-1 train 5Z01").press("r")
	if r.desk.model.mode == modeStop { // offered too early as well, which is for the other box to mend
		r.wrote(n).want("do not answer").press("r").wrote(n).press("w")
	}
	if want := "10:00 Saltgarth <1 >1 <3-1 train 5Z01"; r.wrote(n+1).last() != want {
		t.Errorf("wrote %q, want %q", r.last(), want)
	}
	if r.press("e", "Saltgarth >2 <2 train 6K17", "Enter", "r").wrote(n + 1); r.desk.model.mode != modeStop {
		t.Error("what is no offer went on")
	}
}

// An irregular act is written at once and the desk says what it is.
func TestIrregularIsSaid(t *testing.T) {
	for _, c := range []struct{ line, rule string }{
		{"Saltgarth >1 <1 >2-1 <2-1", "out-of-section-no-train"},
		{"Saltgarth <1 >1 <8-8-8 >8-8-8", "code-unknown"},
	} {
		r := newRig(t, "absolute.yaml", 80, 24, Options{})
		r.work(signedOn).at("10:00").press("e", c.line, "Enter").want("Irregular")
		last := r.book.Recent()[len(r.book.Recent())-1]
		if !slices.ContainsFunc(last.Findings, func(f block.Finding) bool { return string(f.Rule) == c.rule }) {
			t.Errorf("%s: found %v", c.line, last.Findings)
		}
	}
}

// Dangers that the block regulations name, each at the moment at which it is one:
// the source is the table of the design, which cites the regulations for each.
func TestKnownDangers(t *testing.T) {
	steps := passed()
	for _, c := range []struct {
		after int // steps done
		line  string
		rule  rulebook.RuleID
	}{
		{1, "Saltgarth <1 >1 <3-1 >3-1 train 5Z01", "accepted-twice"},
		{2, "Saltgarth <1 >1 <3-1 >3-1 train 5Z01", "accepted-section-occupied"},
		{2, "Saltgarth >1 <1 >2-1 <2-1 train 1M44", "out-of-section-train-not-arrived"},
		{2, "Coldbeck >2 <2 train 1M44", "entered-without-acceptance"},
		{5, "Coldbeck >1 <1 >3-1 <3-1 train 5Z01", "offered-before-out-of-section"},
	} {
		r := newRig(t, "absolute.yaml", 80, 24, Options{})
		r.work(signedOn).work(steps[:c.after]...).press("e", c.line, "Enter")
		if r.desk.model.mode != modeStop || !slices.ContainsFunc(r.desk.model.stop.findings, func(f block.Finding) bool { return f.Rule == c.rule }) {
			t.Errorf("after %d steps %q does not stop the hand for %s:\n%s", c.after, c.line, c.rule, r.text())
		}
	}
}
