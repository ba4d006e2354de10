package block

import (
	"cmp"
	"slices"

	"fairhand/block/rulebook"
)

// explainedBy are the findings of a doubt that its missing steps explain. A step not booked
// explains a danger only where the book leaves it possible that it was made before: no
// other entry of the train is missing with it, none shows that it was made later, and
// since the train went in there was time to run through.
func (st *step) explainedBy(o *Doubt, t *Train, steps []Step) []Answer {
	return slices.DeleteFunc(slices.Clone(o.Found), func(a Answer) bool {
		f := st.s.open(func(f *Finding) bool { return a.Of(f) })
		return f != nil && f.Severity == rulebook.Danger && !st.possible(o, t, steps, f)
	})
}

// possible says whether the missing steps of a train can have been made before what was
// found of it.
func (st *step) possible(o *Doubt, t *Train, steps []Step, f *Finding) bool {
	if t == nil {
		return o.Step != StepRemoval || st.letIn(f, o.Line) >= st.s.Lines[o.Line].Stood
	}
	l := &t.Out
	if t.In.Line == o.Line && (l.Line != o.Line || f.At < l.Offered) {
		l = &t.In
	}
	if l.Line != o.Line || l.Entered == 0 {
		return true
	}
	came, given := cmp.Or(t.In.Arrived, t.Out.Entered), l.Given
	if st.b.Sections[l.Section].Method.Is().Counter { // which frees itself a little before that is written
		came -= st.b.Limit(rulebook.LateAfter)
		given -= st.b.Limit(rulebook.LateAfter)
	}
	switch {
	case slices.Contains(steps, StepAccepted):
		return true
	case l == &t.In && slices.Contains(steps, StepOut) && st.lostIts(t):
		return false // which cannot be put in before
	case f.At < l.Shown:
		return false // it was there yet
	case f.Rule == rulebook.ReminderRemovedEarly:
		return true // lifted as the train went
	case f.Rule == rulebook.OutOfSectionTrainNotArrived && slices.ContainsFunc(o.Found, func(a Answer) bool { return a.Rule == rulebook.TokenInBeforeArrival && a.Seq > f.Seq }):
		return false // whenever it came: the token was put in only after out of section
	case l == &t.Out && slices.Contains(steps, StepTokenIn): // shut in at a siding in the section
		return f.At >= t.PlaceAt
	case l.NoLamp && (clearing[f.Rule] || f.Rule == rulebook.OutOfSectionTailLampNotSeen) && (t.Proof != Complete || f.At < t.ProofAt || l == &t.Out && t.ProofAt <= l.Entered):
		return false // not out of section before it is found complete, where that was told of
	case l == &t.In && f.At < came && !slices.Contains(steps, StepArrival):
		return false // it was on its way, or not yet gone
	case clearing[f.Rule] && f.At < given:
		return false // whenever it arrived: out of section came after that
	case l == &t.In && !l.Falsely && clearing[f.Rule]:
		// Out of section is not booked: of that and the arrival not both are forgotten.
		// Nor is it given for one that is found complete only later.
		counter := st.b.Sections[l.Section].Method.Is().Counter // whose lamp shows when it came
		return (l.Arrived != 0 || !counter) && !slices.Contains(steps, StepArrival) && t.Proof != NoTailLamp && (t.Out.Entered != 0 || f.At >= t.ProofAt)
	case l == &t.In && !l.Falsely:
		return f.At >= l.Entering // it was yet to come
	case l.Given != 0 && f.At >= l.Given && st.b.Sections[l.Section].Method.Is().Counter:
		return true // the counter has shown the section free
	case slices.Contains(steps, StepOut) || slices.Contains(steps, StepArrival):
		return f.At-cmp.Or(o.In, l.Entered) > st.leastFor(f, l, t.Class)
	}
	return true
}

// letIn is when line clear was given to the train that something was found of on a line, or
// else when that was found.
func (st *step) letIn(f *Finding, line int) Time {
	if t := st.s.latest(f.Train); t != nil && f.Rule == rulebook.EnteredWithoutAcceptance {
		for _, l := range [...]*Leg{&t.In, &t.Out} {
			if l.Line == line && l.Accepted != 0 {
				return l.Accepted
			}
		}
	}
	return f.At
}

// clearing are the rules broken by line clear given, or the box closed, with a train in the section
// or converging.
var clearing = map[rulebook.RuleID]bool{rulebook.AcceptedSectionOccupied: true, rulebook.OpposingAcceptance: true, rulebook.OfferedBeforeOutOfSection: true, rulebook.ClosedWhileSignalled: true,
	rulebook.AcceptedConverging: true}

// overdue are the findings that the train had not come in time, or was not handed over; those of an earlier
// journey, or of a train of its name, are not of this one.
func (st *step) overdue(section string, t *Train) (list []Answer) {
	if t == nil {
		return nil
	}
	entered := Time(0)
	for _, l := range [...]*Leg{&t.In, &t.Out} {
		if l.Section >= 0 && st.b.Sections[l.Section].Neighbour == section {
			entered = max(entered, l.Entered, l.Accepted)
		}
	}
	list = st.s.answers(func(f *Finding) bool {
		return (f.Rule == rulebook.TrainOverdue && f.Section == section || f.Rule == rulebook.HandoverIncomplete) && f.Train == t.Label(st.b) && f.At >= entered
	})
	for _, p := range st.s.Pending { // the advice, which is on no list
		if p.Rule == rulebook.TrainOverdue && p.Train == t.ID && p.Times > 0 && st.b.Sections[p.Section].Neighbour == section {
			list = append(list, Answer{Seq: p.Seq, Rule: p.Rule, Section: section, Train: t.Label(st.b)})
		}
	}
	return list
}

// brokenBefore has the rules that were broken before by what then breaks another, of one train.
var brokenBefore = map[rulebook.RuleID][]rulebook.RuleID{
	rulebook.TokenHandedOn:            {rulebook.OutOfSectionTokenNotIn},
	rulebook.TokenWrongSection:        {rulebook.TokenHandedOn, rulebook.TokenNotInInstrument},
	rulebook.SharedSectionTokenOut:    {rulebook.SharedSectionTokenOut},
	rulebook.EnteredWithoutAcceptance: {rulebook.TicketNoLineClear},
	rulebook.TrainNotWarned:           {rulebook.TrainNotWarned}, // by the signal, then by the departure
}

// ofOneAct is the entry at which that was found, or the root of it; 0 for none.
func (st *step) ofOneAct(f *Finding) int64 {
	for i := len(st.s.Open) - 1; i >= 0; i-- {
		if g := st.s.Open[i]; f.Train != "" && g.Train == f.Train && slices.Contains(brokenBefore[f.Rule], g.Rule) && g.Seq < f.Seq {
			return cmp.Or(g.Root, g.Seq)
		}
	}
	return 0
}

// foundOf gives what was found of a train on a leg: of some rules, or of any for none.
func (st *step) foundOf(t *Train, l *Leg, rules map[rulebook.RuleID]bool) []Answer {
	return st.s.answers(func(f *Finding) bool {
		return f.Train == t.Label(st.b) && f.At >= cmp.Or(l.Offered, l.Entered) && f.Section == st.b.Sections[l.Section].Neighbour && (rules == nil || rules[f.Rule])
	})
}

// brokenTwice says whether one of the rules was found to be broken by two trains in the section since.
func (d *action) brokenTwice(since Time, rules ...rulebook.RuleID) bool {
	one := ""
	return slices.ContainsFunc(d.s.Open, func(f *Finding) bool {
		if !slices.Contains(rules, f.Rule) || f.Section != d.section().Neighbour || f.At < since {
			return false
		}
		two := one != "" && f.Train != one
		one = cmp.Or(one, f.Train)
		return two
	})
}

// stillIn notes that an entry has the train named in section i, or in any for -1; or else
// the one there with which the boxes go on, and failing that those without which they do.
// What was presumed of one named stands no more.
func (st *step) stillIn(i int, name string) {
	in := func(aside bool) (any bool) {
		for _, t := range st.s.Trains {
			for _, dir := range [...]Dir{Inward, Outward} {
				l := t.leg(dir)
				there := l.inSection() && (i < 0 || l.Section == i) && (dir == Outward || !t.clearOfSection())
				if there && (name != "" && t.Name == name || name == "" && l.Aside == aside) {
					st.touch(t).leg(dir).Shown, any = st.e.At, true
				}
			}
		}
		return any
	}
	switch {
	case in(false):
	case name == "":
		in(true)
	case i >= 0: // it is in another: the box is not the right one
		i = -1
		in(false)
	}
	st.contradict(func(p *Presumption) bool {
		return name != "" && p.Name == name && p.Away && (i < 0 || st.b.sectionOf(p.Line) == i)
	})
}

// thereYet lets what was done with a train in the section stand, which is out of it only now:
// that of another train there a step is not booked does not explain it.
func (st *step) thereYet(l *Leg) {
	for i := range st.s.Doubts {
		if st.s.Doubts[i].Line != l.Line {
			continue
		}
		o := &st.ownDoubts()[i]
		o.Found = slices.DeleteFunc(slices.Clone(o.Found), func(a Answer) bool {
			return clearing[a.Rule] && st.s.open(func(f *Finding) bool { return a.Of(f) && f.At > l.Entered }) != nil
		})
	}
}
