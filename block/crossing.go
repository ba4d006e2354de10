package block

import (
	"slices"

	"fairhand/block/rulebook"
)

// Movements that meet within the box: converging acceptances and the two
// trains that cross at a loop.

// convergence: a train accepted from another direction needs the same piece of
// line within the clearing point, until it has come to a stand or is clear.
// Source: signalbox.org, Block system ch. 3 and 4.
var convergence = Guard{
	Name: "no converging train accepted", Rule: rulebook.AcceptedConverging, Mine: true,
	Expected: "the train accepted from the other direction at a stand or clear first, or an alternative clearing point",
	holds: func(d *action) bool {
		return d.section().Allows("alternative-clearing-point") || len(d.coming(d.converges)) == 0
	},
}

// bothWays: whether the loop may have a train accepted from each side at once is
// for the rule set and the site. Source: General Rules (India) 8.03 note.
var bothWays = Guard{
	Name: "not both ways at the loop", Rule: rulebook.AcceptedBothWays, For: onSingle, Mine: true,
	Expected: "one train at a time accepted towards the loop, unless this place is allowed both",
	holds: func(d *action) bool {
		return !d.b.Rules.OneWayLoop || d.section().Allows("both-ways") || len(d.coming(oneLine)) == 0
	},
}

func oneLine(s *Section) bool { return s.Method.Is().Single }

// converges says whether trains from another section need the same line here.
func (d *action) converges(s *Section) bool {
	return slices.Contains(s.Converges, d.section().Neighbour) || slices.Contains(d.section().Converges, s.Neighbour)
}

// coming are the trains accepted from another section that matches and not yet here.
func (d *action) coming(match func(*Section) bool) (over []inWay) {
	for _, t := range d.s.Trains {
		other := t.In.Section >= 0 && t.In.Section != d.ref().section
		if other && t.In.open() && (t.In.Accepted != 0 || t.In.Entered != 0) && !t.clearOfSection() && t.Where != Unaccounted && match(&d.b.Sections[t.In.Section]) {
			over = append(over, inWay{t, Inward})
		}
	}
	return over
}

// homeOff follows the home signals the box file names: at a loop the second
// train's is cleared only when the first is at a stand and its own is back at
// danger. Source: tablet regulations, Swindon 1890, cl. 3; General Rules (India) 3.47.
func (st *step) homeOff(g *Signal) {
	i := st.b.SectionIndex(g.Section)
	if i < 0 {
		return
	}
	l := st.lineFor(i, Inward, NoAct)
	off := st.e.Kind == SignalOff
	if off && st.b.Sections[i].Method.Is().Single {
		for o := range st.s.Lines {
			j := st.b.lines[o].section
			if j == i || !st.b.Sections[j].Method.Is().Single || !st.s.Lines[o].HomeOff {
				continue
			}
			if t := st.s.occupied(o); t != nil && (!t.clearOfSection() || st.s.Lines[o].HomeKept) {
				st.note(rulebook.LoopSignalEarly, g.Section, t.Label(st.b), "the first train at a stand in the loop and its home signal at danger")
			}
		}
	}
	ls := st.editLine(l)
	ls.HomeOff, ls.HomeKept = off, ls.HomeKept || !off
}

// starterFree finds another train that stands at the section signal in front of
// this one: any train there, or, when this one stands there itself, one that
// came before it. Source: Hawes Junction, 24 December 1910; a train let down
// behind another is usual working (Bloomfield Junction, 3 November 1962).
func (d *action) starterFree() *Train {
	own := d.train != nil && d.train.Where == Here && d.atStarter(d.train)
	return firstTrain(d.s.Trains, func(t *Train) bool {
		another := d.train == nil || t.ID != d.train.ID
		return t.Where == Here && another && d.atStarter(t) && (!own || t.PlaceSeq < d.train.PlaceSeq)
	})
}

func (d *action) atStarter(t *Train) bool {
	p := d.b.PlaceNamed(t.Place)
	return p != nil && p.StarterFor == d.section().Neighbour
}

// beside are the trains on the other lines of the section that the one offered may not meet: an
// out-of-gauge load another, or any train when its code asks for the other line to be blocked.
func (d *action) beside() (over []inWay) {
	if d.code == nil {
		return nil
	}
	for _, t := range d.s.Trains {
		if d.train != nil && t.ID == d.train.ID || !mayNotMeet(t.Gauge, d.code.Gauge) {
			continue
		}
		for l := range d.b.linesOf(d.ref().section) {
			if l != d.line && (t.occupies(l) || t.accepted(l)) {
				over = append(over, inWay{t, dirOn(t, l, true)})
			}
		}
	}
	return over
}

// mayNotMeet says whether two loads, by the grades of their codes, may not meet
// on neighbouring lines, whichever was signalled first.
func mayNotMeet(a, b int8) bool { return max(a, b) > 2 || min(a, b) > 0 && max(a, b) > 1 }
