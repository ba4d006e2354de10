package block

import (
	"slices"

	"fairhand/block/rulebook"
)

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
	if slices.ContainsFunc(s.Tokens, func(ts TokenState) bool {
		return slices.ContainsFunc(ts.Misread, func(a Answer) bool { return a.Of(f) })
	}) {
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
	if slices.ContainsFunc(s.Misplaced, func(m Misplaced) bool {
		return slices.ContainsFunc(slices.Concat(m.Found, m.Against), func(a Answer) bool { return a.Of(f) })
	}) {
		return true
	}
	return s.MayStandAgain(f) || soonAnswered[f.Rule] && s.Now-f.At < presumedFor || slices.ContainsFunc(s.Resting, func(r Resting) bool { return r.Found.Of(f) }) || slices.ContainsFunc(s.Doubts, func(d Doubt) bool { return slices.ContainsFunc(d.Found, func(a Answer) bool { return a.Of(f) }) }) ||
		slices.ContainsFunc(s.Trains, func(t *Train) bool { return t.Name == f.Train && s.Now-f.At < presumedFor || t.mayTakeToken(f) })
}

// soonAnswered are the rules of what a later entry of any train may show not to have been so: a
// signal or a token put back by the entry that tells of its line clear or release.
var soonAnswered = map[rulebook.RuleID]bool{
	rulebook.SignalOffWithoutLineClear: true, rulebook.TokenOutWithoutRelease: true, rulebook.TokenAlreadyOut: true, rulebook.TokenNumberDiffers: true,
}

// mayTakeToken says whether a token that was found outside its instrument may be for this
// train, should its line clear be of one that goes from here.
func (t *Train) mayTakeToken(f *Finding) bool {
	return f.Rule == rulebook.TokenNotInInstrument && (t.Name == "" || t.Name == f.Train) && t.unseen() && t.In.open() && t.In.Accepted != 0 && t.In.Entered == 0
}
