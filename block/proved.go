package block

import (
	"slices"
	"strings"

	"fairhand/block/rulebook"
)

// provedClear takes the entry that ends a doubt: the section, or one line of it,
// was proved clear, by message, by the tokens or by whoever looked. Trains in
// doubt leave it, its tokens are in, and what a missing step would explain is
// answered. It moves no train that is booked at a place and ends no obstruction
// and no acceptance; a train let in without authority stays found.
func (st *step) provedClear() {
	i := st.provedSection()
	st.contradict(st.b.presumedIn(i, StepAlarm))
	for l, ln := range st.b.linesOf(i) {
		if st.e.Line != "" && ln.Name != st.e.Line {
			continue
		}
		doubt := st.s.InDoubt(l) != nil
		for _, t := range slices.Clone(st.s.Trains) {
			if t.on(l) && st.doubtful(t, l) {
				st.leaves(t, l)
				doubt = true
			}
		}
		st.proved(l, doubt)
	}
}

// provedSection is the section that the entry means: another that it tells of, where that
// has an alarm and the one named has not, nor a train.
func (st *step) provedSection() int {
	i := st.b.SectionIndex(st.e.Section)
	if st.b.lineThat(i, func(l int) bool { return st.s.Lines[l].Phase != Normal || st.s.InDoubt(l) != nil }) >= 0 {
		return i
	}
	for l, r := range st.b.lines {
		if n := st.b.Sections[r.section]; n.Method.Is().Described && st.s.Lines[l].Phase == Obstructed && strings.Contains(st.e.Text, n.Neighbour) {
			st.note(rulebook.EndedNotBegun, st.e.Section, "", "the section that was proved clear, "+n.Neighbour).Text = "The section is booked as proved clear, and the alarm was in that to " + n.Neighbour + ", which the entry tells of"
			return r.section
		}
	}
	return i
}

// doubtful says whether a train is in doubt on a line, or overdue in it, or told of by name.
func (st *step) doubtful(t *Train, line int) bool {
	back := t.Returned && t.Out.Line == line && t.Out.open() // and out of section not given
	return back || t.aside(line) || t.Where == Unaccounted || t.Divided && t.In.Line == line || slices.ContainsFunc(st.s.Doubts, func(d Doubt) bool { return d.Line == line && d.Train == t.ID && !d.Step.lasts() }) ||
		t.occupies(line) && (len(st.overdue(st.e.Section, t)) > 0 || t.Name != "" && hasIn(st.e.Text, t.Name))
}

// leaves takes a train off a line on which it is not.
func (st *step) leaves(t *Train, line int) {
	t = st.touch(t)
	for _, dir := range [...]Dir{Inward, Outward} {
		l := t.leg(dir)
		if l.Line != line || !l.open() || l.Entered == 0 && !l.Aside {
			continue
		}
		st.notOverdue(l.Section, t)
		l.Aside, l.Presumed = false, true
		if l.Entered == 0 {
			l.Cancelled = st.e.At
		} else {
			l.OutOf = st.e.At
		}
		if dir == Outward && l.Entered != 0 && !t.Returned || dir == Inward && t.Where != Here && t.Where != PassedHere && t.Where != Away {
			st.close(t)
		}
		return
	}
}

// notOverdue takes back that a train is overdue in a section: it is long out of it.
func (st *step) notOverdue(section int, t *Train) {
	st.answered(st.overdue(st.b.Sections[section].Neighbour, t))
	st.strike(rulebook.TrainOverdue, func(p *Pending) bool { return p.Section == section && p.Train == t.ID }, false)
}

// proved ends what is in doubt of a line, and of the tokens of its section where one was.
func (st *step) proved(line int, doubt bool) {
	i := st.b.lines[line].section
	switch p := st.s.Lines[line].Phase; {
	case p == InSection:
		st.settle(line)
	case p == Obstructed && st.b.Sections[i].Method.Is().Described: // the alarm
		ls := st.editLine(line)
		ls.Phase, ls.Since, ls.Seq = Normal, st.e.At, st.e.Seq
	case p == Obstructed:
		st.editLine(line).Runaway = false // it is told where that is; obstruction removed has to be sent yet
	}
	if ts := &st.s.Tokens[i]; ts.Out != 0 && doubt && (st.s.Lines[line].Phase == Normal || ts.Train != 0 && st.s.Train(ts.Train) == nil) { // with its train
		if ts = st.editToken(i); st.online(line).lay(ts.Out, TokenAway) { // or here: a count, or the next draw, will show
			ts.More++
		}
		ts.in()
	}
	st.endPresumptions(func(p *Presumption) bool { return p.Line == line })
	for _, d := range st.s.Doubts {
		if d.Line == line && d.Step != StepAccepted && d.Step != StepCancel { // line clear is no train
			st.answered(d.Found)
		}
	}
	st.endDoubts(func(d *Doubt) bool { return d.Line == line })
}
