package block

import (
	"strconv"
	"strings"

	"fairhand/block/rulebook"
)

// heard takes a visit, message or reminder that names a detained train or the
// place it stands at: its crew has made itself known. Source: Rule 55.
func (st *step) heard() {
	text := st.e.Subject + " " + st.e.Text
	for _, t := range st.s.Trains {
		if t.Where == Here && (t.Name != "" && strings.Contains(text, t.Name) || t.Place != "" && strings.Contains(text, t.Place)) {
			st.hears(t)
		}
	}
}

// hears strikes off what the crew of a train makes good by a word, unless it is late already.
func (st *step) hears(t *Train) {
	st.strike("", func(p *Pending) bool { return p.Train == t.ID && p.duty().told && p.Due >= st.s.Now }, false)
}

// inAfterwards ends the time in section of a train that is recorded in, complete
// and its token with it, after out of section was given for it. What was found of that
// stands; but not of an axle counter, which frees itself when the train is in, a little
// before the arrival is written, nor of two lines of one minute, which do not tell
// which came first; of one whose minute is wrong its place tells.
func (st *step) inAfterwards(t *Train) {
	l := &t.In
	if !l.Falsely || !l.open() || l.Aside || l.Arrived == 0 || !t.whole() || !l.TokenIn && len(st.b.Sections[l.Section].Tokens.Charge) > 0 {
		return
	}
	if a := st.s.Bells[l.Section].Asked; a.Open && a.Means == rulebook.OutOfSection {
		return // nobody has taken it
	}
	l.OutOf = l.Given
	of := func(d *Doubt) bool { return d.Train == t.ID && d.Line == l.Line && d.Step == StepArrival }
	if st.e.At == l.Given && l.Arrived == l.Given && !st.e.OutOfOrder || st.b.Sections[l.Section].Method.Is().Counter && st.e.At-l.Given < st.b.Limit(rulebook.LateAfter) {
		if d := first(st.s.Doubts, of); d != nil {
			st.answered(d.Found)
		}
	}
	st.endDoubts(of)
	if st.s.Lines[l.Line].Phase == InSection {
		st.settle(l.Line)
	}
}

// tooSoon raises a train out of its section in less than a quarter of the regular
// running time the box file gives: none runs so fast. Common practice of
// inspectors; the fraction is ours.
func (st *step) tooSoon(t *Train, l *Leg) *Finding {
	if !st.hardlyIn(t, l) {
		return nil
	}
	regular := st.s.running(st.b, l.Section, t.Class)
	return st.note(rulebook.RunningTimeShort, st.s.section(st.b, l.Section).Neighbour, t.Label(st.b), "a running time nearer "+strconv.Itoa(int(regular/Minute))+" minutes, or one of the times corrected")
}

// hardlyIn says whether a train has been in its section too short a time to be out of it.
func (st *step) hardlyIn(t *Train, l *Leg) bool {
	s := st.s.section(st.b, l.Section)
	from := l.Entering
	if from == 0 && l.Booked && l == &t.Out {
		from = l.Entered // it left, and the bell was forgotten
	}
	if s.Running == [rulebook.ClassCount]Time{} || l.Assumed || from <= st.s.ClockBack { // in by another clock, or not known
		return false
	}
	return (st.e.At-from)*4 < st.s.running(st.b, l.Section, t.Class)
}

// quickest keeps the shortest run over a line that the book shows, of a train that is
// in the section by one entry and out of it by another.
func (st *step) quickest(l *Leg, out Time) {
	if l.Assumed || l.Presumed || l.Falsely || l.Entered == 0 || l.Line < 0 {
		return
	}
	if ran, q := out-l.Entered, st.s.Lines[l.Line].Quickest; ran > 0 && (q == 0 || ran < q) {
		st.editLine(l.Line).Quickest = ran
	}
}

// leastFor is least for what a finding would be excused of: for trains that would have met,
// or one have run up to the other unwarned, two thirds of the regular time of the class, or
// the shortest run shown, if that is less; for what rests on a train elsewhere all of the
// regular time, where the box file gives it.
func (st *step) leastFor(f *Finding, l *Leg, c rulebook.Class) Time {
	least, given := st.least(l, c), st.s.section(st.b, l.Section).Running != [rulebook.ClassCount]Time{}
	if (resting[f.Rule] || f.Rule == rulebook.SectionNotProvedClear) && given {
		return st.s.running(st.b, l.Section, c)
	}
	if f.Rule != rulebook.OpposingAcceptance && f.Rule != rulebook.PermissiveNotWarned {
		return least
	}
	met := st.s.Lines[l.Line].Quickest
	if given {
		if most := st.s.running(st.b, l.Section, c) * 2 / 3; met == 0 || most < met {
			met = most
		}
	}
	if met == 0 { // no run is shown
		return least
	}
	return max(least, met)
}

// least is the time in which no train can have run over a line: half of the shorter
// of the regular running time and of the shortest run that the book shows there; a
// limit of its own where nothing tells. Common practice of inspectors; the fraction is
// ours, and harder than that of tooSoon, which accuses: this only excuses nobody.
func (st *step) least(l *Leg, c rulebook.Class) Time {
	s, q := st.s.section(st.b, l.Section), st.s.Lines[l.Line].Quickest
	if s.Running != [rulebook.ClassCount]Time{} {
		if regular := st.s.running(st.b, l.Section, c); q == 0 || regular < q {
			q = regular
		}
	}
	if q == 0 {
		return st.b.Limit(rulebook.LeastRunning)
	}
	return q / 2
}

// takenOff says whether the train is a trolley: the ganger reports it off the line, from where it came
// to, and out of section is then given. Source: signalbox.org, Block system ch. 7.
func (d *action) takenOff() bool { return d.train.Class == rulebook.Trolley }

// stops says whether the train was described as one that stops in the section.
func (d *action) stops(t *Train) bool {
	row := d.b.lookup(d.ref().section, t.Code, rulebook.Offer)
	return row != nil && row.Stops
}
