package block

import "fairhand/block/rulebook"

// breach says what a rule's breach does to the picture of a line.
type breach uint8

const (
	breeds    breach = 1 << iota // what follows on the line may follow from it
	explained                    // an earlier step not booked would explain it
)

// breaches are the rules whose findings are related to one another.
var breaches = map[rulebook.RuleID]breach{
	rulebook.AcceptedSectionOccupied:     breeds | explained,
	rulebook.AcceptedTwice:               breeds | explained,
	rulebook.AcceptedWhileBlocked:        breeds | explained,
	rulebook.AcceptedClearingPointFouled: breeds,
	rulebook.EnteredWhileBlocked:         breeds,
	rulebook.PartyNotProtected:           breeds,
	rulebook.AcceptanceNotOffered:        breeds,
	rulebook.OfferedBeforeOutOfSection:   breeds | explained,
	rulebook.OfferedWhileBlocked:         breeds | explained,
	rulebook.OpposingAcceptance:          breeds | explained,
	rulebook.PermissivePassenger:         breeds | explained,
	rulebook.PermissiveTooMany:           breeds | explained,
	rulebook.PermissiveNotWarned:         breeds | explained,
	rulebook.EnteredWithoutAcceptance:    breeds,
	rulebook.WrongTrainEntered:           breeds,
	rulebook.OutOfSectionTrainNotArrived: breeds | explained,
	rulebook.OutOfSectionTokenNotIn:      breeds | explained,
	rulebook.OutOfSectionNoTrain:         breeds,
	rulebook.OutOfSectionTailLampNotSeen: explained,
	rulebook.PaperTicketMissing:          explained,
	rulebook.PilotMissing:                explained,
	rulebook.WrongTrainReported:          explained,
	rulebook.SectionNotProvedClear:       explained,
	rulebook.CounterResetTrainInSection:  explained,
	rulebook.ObstructionDangerNotRemoved: breeds | explained,
	rulebook.BlockingBackTrainSignalled:  breeds | explained,
	rulebook.NothingToRemove:             breeds | explained,
	rulebook.CancelledAfterEntering:      breeds,
	rulebook.CancelledNothing:            breeds,
	rulebook.ClosedWhileSignalled:        breeds | explained,
	rulebook.TestingWhileSignalled:       breeds | explained,
	rulebook.BlockageTrainInSection:      breeds | explained,
	rulebook.ShuntKeyTrainSignalled:      breeds | explained,
	rulebook.SectionFreedNoTrain:         breeds | explained,
	rulebook.AssistingEngineInSection:    breeds | explained,
	rulebook.AuthorityBeforeCrossing:     breeds | explained,
	rulebook.TokenOutWithoutRelease:      breeds,
	rulebook.TokenAlreadyOut:             breeds | explained,
	rulebook.TokenDrawnBeforeClosed:      breeds | explained,
	rulebook.TokenNumberDiffers:          breeds,
	rulebook.TokenInBeforeArrival:        breeds | explained,
	rulebook.TokenInAtSendingEnd:         breeds | explained,
	rulebook.TokenCancelledWhileOut:      breeds,
	rulebook.TokenWrongSection:           breeds,
	rulebook.EnteredWithoutToken:         breeds,
	rulebook.TrainOnShuntToken:           breeds,
	rulebook.StaffElsewhere:              breeds,
	rulebook.TicketWithoutStaff:          breeds,
	rulebook.ShuntNotWithdrawn:           breeds,
	rulebook.ShuntNotBack:                breeds | explained,
	rulebook.SignalOffWithoutLineClear:   breeds,
	rulebook.EnteringNotSent:             breeds,
	rulebook.CancellingNotSent:           breeds,
}

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
	StepDeparture      // the departure of a train that comes back
)

// lasts says whether a doubt about the step outlives the use of the line.
func (s Step) lasts() bool { return s >= StepTokenOut && s != StepPassage }

var stepWords = [...]string{"", "train entering section", "its arrival or passing", "train out of section", "cancelling",
	"obstruction removed", "the end of shunting", "its return here", "the handing out of its token, staff or ticket", "the return of its token or staff", "its passing, seen complete,", "its arrival, passing or departure", "the clearing of the line", "its offer, or line clear for it,", "the pilot's ride on it", "what became of the vehicles that ran away", "its departure"}

func (s Step) String() string { return stepWords[s] }
