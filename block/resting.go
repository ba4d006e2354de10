package block

import (
	"slices"

	"fairhand/block/rulebook"
)

// Resting is a danger found elsewhere because of a train that the book has in a section: at a
// crossing, a release, a junction, in fog. It stands, until a step of that train is shown to
// have been made and not booked: then it rests on nothing.
type Resting struct {
	Found       Answer
	Line, Train int
}

// resting are the rules of such dangers. What works the section itself is in breaches.
var resting = map[rulebook.RuleID]bool{
	rulebook.AcceptedConditionUnmet: true, rulebook.AcceptedConverging: true, rulebook.AcceptedBothWays: true, rulebook.ReleaseTrainInSection: true,
	rulebook.CrossingTrainApproaching: true, rulebook.OutOfGaugeOpposed: true, rulebook.CrossingOpenedTrainComing: true,
}

// inWay is what stood against an act: a train on a leg, or something else, with no train.
type inWay struct {
	train *Train
	dir   Dir
}

// onLines are the trains in the section on lines that match.
func (st *step) onLines(match func(line int) bool) (over []inWay) {
	for l := range st.b.lines {
		if !match(l) {
			continue
		}
		for _, t := range st.s.On(l) {
			over = append(over, inWay{t, dirOn(t, l, true)})
		}
	}
	return over
}

// rests notes on what train a finding rests, where it is one alone that is in a section: of
// two, one not booked out leaves it wrong in either reading.
func (st *step) rests(f *Finding, over []inWay) {
	if f.Severity != rulebook.Danger || len(over) != 1 || over[0].train == nil {
		return
	}
	if t := over[0].train; t.leg(over[0].dir).Entered != 0 {
		st.s.Resting = append(slices.Clip(st.s.Resting), Resting{*f.answer(), t.leg(over[0].dir).Line, t.ID})
	}
}

// restedOn are the findings that a step of the train, not booked, leaves resting on nothing.
func (st *step) restedOn(o *Doubt, t *Train, steps []Step) (list []Answer) {
	if t == nil || !slices.ContainsFunc(steps, func(s Step) bool { return s == StepOut || s == StepArrival || s == StepPassed || s == StepPassage }) {
		return nil
	}
	for _, r := range st.s.Resting {
		f := st.s.open(func(f *Finding) bool { return r.Found.Of(f) })
		if f != nil && r.Line == o.Line && r.Train == t.ID && st.possible(o, t, steps, f) {
			list = append(list, r.Found)
		}
	}
	return list
}

// passesUnseen doubts that a train given out of section here passed only then, where a danger
// rests on its being on its way: of one that the bells do not name the passing need not be booked.
func (d *action) passesUnseen(t *Train) {
	rests := func(r Resting) bool { return r.Line == d.line && r.Train == t.ID }
	if d.dir == Inward && t.In.Arrived == 0 && slices.ContainsFunc(d.s.Resting, rests) && d.s.doubtOf(d.line, t.ID, StepPassed) == nil {
		d.doubt(d.line, t, StepPassed)
	}
}
