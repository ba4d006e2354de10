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

// MayAnswer says whether a later entry may still show that a finding stands no
// more: whoever tells of it now may have to take it back.
func (s *State) MayAnswer(f *Finding) bool {
	if f.Rule == rulebook.TrainOverdue || f.Rule == rulebook.WrongTrainReported || f.Rule == rulebook.StaffElsewhere || f.Rule == rulebook.TrainOnShuntToken || f.Rule == rulebook.HandoverIncomplete && f.Train != "" || f.Rule == rulebook.OutOfSectionNoTrain && f.Train == "" {
		return len(s.Doubts) > 0 || slices.ContainsFunc(s.Trains, func(t *Train) bool {
			return t.In.open() || t.Out.open()
		})
	}
	if slices.ContainsFunc(unsaidBlocks, func(u unsaid) bool { return u.rule == f.Rule }) {
		return s.Now-f.At < presumedFor && slices.ContainsFunc(s.Lines, func(l *LineState) bool { return l.Phase == Normal && l.Since <= f.At })
	}
	of := *f.answer()
	if slices.ContainsFunc(s.Tokens, func(ts TokenState) bool { return slices.Contains(ts.Misread, of) }) {
		return true
	}
	if unclosable[f.Rule] {
		return s.MayStandAgain(f) || soonAnswered[f.Rule] && s.Now-f.At < presumedFor || slices.ContainsFunc(s.Crossings, func(x CrossingState) bool { return slices.Contains(x.Unclosed, f.Seq) })
	}
	if f.Rule == rulebook.ReminderRemovedEarly {
		return slices.ContainsFunc(s.Trains, func(t *Train) bool { return t.Place != "" && f.liftedFor(t) })
	}
	if f.Rule == rulebook.BlockagePartyNotClear {
		return slices.ContainsFunc(s.Blockages, func(k LineBlockage) bool { return k.Instead && k.Up.Seq == f.Seq })
	}
	return slices.ContainsFunc(s.Misplaced, func(m Misplaced) bool { return slices.Contains(m.Found, of) || slices.Contains(m.Against, of) }) || s.MayStandAgain(f) || soonAnswered[f.Rule] && s.Now-f.At < presumedFor || slices.ContainsFunc(s.Resting, func(r Resting) bool { return r.Found == of }) ||
		slices.ContainsFunc(s.Doubts, func(d Doubt) bool { return slices.Contains(d.Found, of) }) || slices.ContainsFunc(s.Trains, func(t *Train) bool { return t.Name == f.Train && s.Now-f.At < presumedFor || t.mayTakeToken(f) })
}

// soonAnswered are the rules of what a later entry of any train may show not to have been so: a
// signal or a token put back by the entry that tells of its line clear or release, or a token
// that went with the train for which it was drawn.
var soonAnswered = map[rulebook.RuleID]bool{
	rulebook.SignalOffWithoutLineClear: true, rulebook.TokenOutWithoutRelease: true, rulebook.TokenAlreadyOut: true, rulebook.TokenNumberDiffers: true,
	rulebook.TokenWrongSection: true,
}

// mayTakeToken says whether a token that was found outside its instrument may be for this
// train, should its line clear be of one that goes from here.
func (t *Train) mayTakeToken(f *Finding) bool {
	return f.Rule == rulebook.TokenNotInInstrument && (t.Name == "" || t.Name == f.Train) && t.unseen() && t.In.accepted()
}
