package block

import (
	"strings"

	"fairhand/block/rulebook"
)

// breach says what a rule's breach does to the picture of a line.
type breach uint8

const (
	breeds    breach = 1 << iota // what follows on the line may follow from it
	explained                    // an earlier step not booked would explain it
	overTrain                    // it is found because a train is shown as signalled, which may be out of section
)

// breaches are the rules whose findings are related to one another.
var breaches = func() map[rulebook.RuleID]breach {
	of := map[rulebook.RuleID]breach{}
	for kind, rules := range map[breach][]rulebook.RuleID{
		breeds: {
			rulebook.AcceptedClearingPointFouled, rulebook.EnteredWhileBlocked, rulebook.PartyNotProtected, rulebook.AcceptanceNotOffered,
			rulebook.EnteredWithoutAcceptance, rulebook.WrongTrainEntered, rulebook.OutOfSectionNoTrain, rulebook.CancelledAfterEntering,
			rulebook.CancelledNothing, rulebook.TokenOutWithoutRelease, rulebook.TokenNumberDiffers, rulebook.TokenCancelledWhileOut,
			rulebook.TokenWrongSection, rulebook.EnteredWithoutToken, rulebook.TrainOnShuntToken, rulebook.StaffElsewhere, rulebook.TicketWithoutStaff,
			rulebook.WorkingByMessageNoMessage, rulebook.ShuntNotWithdrawn, rulebook.SignalOffWithoutLineClear, rulebook.EnteringNotSent, rulebook.CancellingNotSent,
		},
		explained: {
			rulebook.OutOfSectionTailLampNotSeen, rulebook.PaperTicketMissing, rulebook.PilotMissing, rulebook.WrongTrainReported,
			rulebook.SectionNotProvedClear, rulebook.OutOfSectionClearingPointFouled,
		},
		explained | overTrain: {rulebook.CounterResetTrainInSection, rulebook.WorkingChangedTrainSignalled},
		breeds | explained | overTrain: {
			rulebook.ClosedWhileSignalled, rulebook.TestingWhileSignalled, rulebook.BlockageTrainInSection, rulebook.ShuntKeyTrainSignalled,
		},
		breeds | explained: {
			rulebook.AcceptedSectionOccupied, rulebook.AcceptedTwice, rulebook.AcceptedWhileBlocked, rulebook.OfferedBeforeOutOfSection,
			rulebook.OfferedWhileBlocked, rulebook.OpposingAcceptance, rulebook.PermissivePassenger, rulebook.PermissiveTooMany, rulebook.PermissiveNotWarned,
			rulebook.OutOfSectionTrainNotArrived, rulebook.OutOfSectionTokenNotIn, rulebook.ObstructionDangerNotRemoved, rulebook.BlockingBackTrainSignalled,
			rulebook.NothingToRemove, rulebook.BetweenBoxSignalled, rulebook.SectionFreedNoTrain, rulebook.AssistingEngineInSection, rulebook.AuthorityBeforeCrossing,
			rulebook.TokenAlreadyOut, rulebook.TokenDrawnBeforeClosed, rulebook.TokenInBeforeArrival, rulebook.TokenInAtSendingEnd, rulebook.ShuntNotBack,
		},
	} {
		for _, r := range rules {
			of[r] = kind
		}
	}
	return of
}()

// Step is a step of ordinary working that a book may lack.
type Step uint8

// The steps that later entries can show to have been made.
const (
	StepNone      Step = iota
	StepEntering       // train entering section
	StepArrival        // the arrival or passing here
	StepOut            // train out of section
	StepCancel         // cancelling
	StepRemoval        // obstruction removed
	StepWithdrawn      // shunt withdrawn, or the token for shunting replaced
	StepReturn         // the arrival here of a train that had left
	StepTokenOut       // the token drawn, or the staff handed over, here
	StepTokenIn        // the token put in, or the staff given up, here
	StepPassed         // the passing of a train seen complete
	StepPassage        // its running through a section that was shown free: arrival, passing or departure
	StepClear          // the end of what is booked as standing on the line: an obstruction, a blockage, a vehicle
	StepAccepted       // line clear for a train that went
	StepPilot          // the ride of the pilot on it
	StepStopped        // the end of vehicles running away
	StepBegun          // the beginning of working by pilot or message
	StepEnded          // the end of it
	StepAlarm          // the end of an emergency alarm
	StepFog            // the lifting of fog
	StepReport         // a user's report that he is clear of a crossing
	StepRemote         // the giving up of local control of a crossing
	StepShut           // the closing of a crossing to the road
	StepFreed          // the end of what obstructs a crossing
	StepReminder       // the reminder that shows a signal to be kept at danger for a crossing
)

// lasts says whether a doubt about the step outlives the use of the line.
func (s Step) lasts() bool { return s >= StepTokenOut && s != StepPassage }

var stepWords = [...]string{"", "train entering section", "its arrival or passing", "train out of section", "cancelling",
	"obstruction removed", "the end of shunting", "its return here", "the handing out of its token, staff or ticket", "the return of its token or staff", "its passing, seen complete,", "its arrival, passing or departure", "the clearing of the line", "its offer, or line clear for it,", "the pilot's ride on it", "what became of the vehicles that ran away",
	"the beginning of working by pilot or message", "the end of working by pilot or message", "the end of the alarm", "the lifting of the fog",
	"the user's report that he is clear", "the giving up of local control", "the closing of the crossing", "the freeing of the crossing", "the reminder"}

func (s Step) String() string { return stepWords[s] }

// stepsIn is steps in words.
func stepsIn(steps []Step) string {
	words := make([]string, len(steps))
	for i, s := range steps {
		words[i] = s.String()
	}
	return strings.Join(words, " and ")
}

// shownDone is what is said of a step, behind it, that an entry shows to have been made.
const shownDone = " not booked; this entry shows that it was done"

// capital is a text with its first letter a capital.
func capital(text string) string { return strings.ToUpper(text[:1]) + text[1:] }
