package block

import (
	"fmt"
	"slices"

	"fairhand/block/rulebook"
)

// DueItem is something that will fall due.
type DueItem struct {
	Pending
	Train   string
	Where   string // neighbour concerned
	Text    string
	Awaited bool // it comes of itself or from others: nothing for the signaller to do
}

// Due lists what is expected to follow and has not yet, up to a time, soonest
// first; what is already overdue comes first of all.
func Due(b *Box, s *State, until Time) []DueItem {
	var due []DueItem
	for _, p := range s.Pending {
		d := DueItem{Pending: p, Text: p.duty().words, Awaited: p.duty().awaited}
		if p.Rule == rulebook.NotAcknowledged && p.Section >= 0 && s.Bells[p.Section].Asked.Means == rulebook.ObstructionDanger {
			d.Text = "answer to obstruction danger awaited"
			d.Pending.Due = p.At + b.Limit(rulebook.DangerAfter) // found late only as any answer is, but nobody waits so long for it
		}
		if d.Pending.Due > until {
			continue
		}
		if p.Section >= 0 {
			d.Where = b.Sections[p.Section].Neighbour
		}
		if p.Crossing > 0 {
			d.Where = b.Crossings[p.Crossing-1].Name
		}
		if t := s.Train(p.Train); t != nil {
			d.Train = t.Label(b)
		}
		due = append(due, d)
	}
	slices.SortStableFunc(due, func(a, b DueItem) int { return int(a.Pending.Due - b.Pending.Due) })
	return due
}

// onHand says whether the train of a duty is on hand yet.
func onHand(st *step, p *Pending) bool { return st.s.Train(p.Train) != nil }

// inPhase says whether the line of a duty is in such a phase yet.
func inPhase(such func(Phase) bool) func(*step, *Pending) bool {
	return func(st *step, p *Pending) bool { return such(st.s.Lines[p.Line].Phase) }
}

func is(p Phase) func(Phase) bool { return func(o Phase) bool { return o == p } }

// unreminded says whether that stands yet for which a reminder is wanted: the train, or the
// movement over the crossing.
func unreminded(st *step, p *Pending) bool {
	if p.Crossing > 0 {
		return len(st.s.Crossings[p.Crossing-1].Out) > 0
	}
	t := st.s.Train(p.Train)
	return t != nil && t.Where == Here && !st.reminded(t)
}

// unsigned says whether an entry waits for another hand yet.
func unsigned(st *step, p *Pending) bool {
	return slices.ContainsFunc(st.s.Gear, func(g GearState) bool { return g.Disconnected && g.Seq == p.Of }) ||
		slices.ContainsFunc(st.s.Unsigned, func(u Unsigned) bool { return u.Seq == p.Of })
}

// Underway is a train in a section, and when it is due out.
type Underway struct {
	Train, Section, Line string
	Since                Time
	Due                  Time   // out of the section, with what the rules allow beyond the running time; 0 where nothing tells
	Basis                string // why that is a guess, or nothing tells; "" where the box gives the running time of the class
}

// Underways lists the trains in the sections that have not come, in the order of the lines.
func Underways(b *Box, s *State) (out []Underway) {
	for _, r := range b.Lines() {
		for _, t := range s.On(r.Index) {
			l := &t.In
			if t.Out.Line == r.Index && t.Out.Entered != 0 {
				l = &t.Out
			}
			if l == &t.In && l.Arrived != 0 || l == &t.Out && t.Returned {
				continue
			}
			u := Underway{Train: t.Label(b), Section: b.Sections[r.Section].Neighbour, Line: r.Line.Name, Since: l.Entered}
			u.Due = s.dueOut(b, r.Section, t, l)
			u.Basis = runningBasis(b, s.section(b, r.Section), t.Class, u.Due)
			out = append(out, u)
		}
	}
	return out
}

// dueOut is when a train was due out of a section, also when it was found overdue since; 0
// where nothing falls due, and once it is explained why it is late.
func (s *State) dueOut(b *Box, section int, t *Train, l *Leg) Time {
	d := dutyOf[rulebook.TrainOverdue]
	due := l.Entered + s.running(b, section, t.Class) + b.Limit(d.limit(d.within, t))
	p := first(s.Pending, func(p *Pending) bool { return p.Rule == d.rule && p.Train == t.ID && p.Section == section })
	if p != nil && p.Times == 0 {
		return p.Due
	}
	if p != nil || s.open(func(f *Finding) bool {
		return f.Rule == d.rule && f.Train == t.Label(b) && f.Section == b.Sections[section].Neighbour && f.At >= l.Entered
	}) != nil {
		return due
	}
	return 0
}

// runningBasis says by whose running time a train of a class is due, when it is not its own.
func runningBasis(b *Box, s *Section, c rulebook.Class, due Time) string {
	kind := c.String()
	if c == rulebook.AnyClass {
		kind = "a train of a kind not known"
	}
	none := "the box gives no running time for " + kind
	switch {
	case s.Running[c] > 0:
		return ""
	case due == 0:
		return none + ", so nothing falls due"
	case s.Running[rulebook.Passenger] == 0 && (c == rulebook.Passenger || s.Running[rulebook.Freight] == 0):
		return fmt.Sprintf("%s: %d min taken", none, b.running(s, c)/Minute)
	}
	return fmt.Sprintf("%s: %d min of another class taken", none, b.running(s, c)/Minute)
}
