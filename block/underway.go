package block

import (
	"fmt"

	"fairhand/block/rulebook"
)

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
			if l.Line != r.Index || l.Entered == 0 || l == &t.In && l.Arrived != 0 {
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
	for _, p := range s.Pending {
		if p.Rule == d.rule && p.Train == t.ID && p.Section == section {
			if p.Times > 0 {
				return due
			}
			return p.Due
		}
	}
	if s.open(func(f *Finding) bool {
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
