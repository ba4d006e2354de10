package block

import "fairhand/block/rulebook"

// Sources of the rows below, named once.
const (
	srcBasic    = "signalbox.org, Block system ch. 1, 2 and 3: basic principles, Regulation 4, clearing point"
	srcWarning  = "signalbox.org, Block system ch. 5: the warning arrangement"
	srcShunt    = "signalbox.org, Block system ch. 8: shunting"
	srcAlarm    = "signalbox.org, Block system ch. 9: alarms; signaller study cards (obstruction danger)"
	srcGNR      = "Great Northern Railway, Absolute Block Regulations, 1897"
	srcWinwick  = "Winwick Junction, 28 September 1934: is line clear not to be sent before train out of section"
	srcCancel   = "signaller study cards (cancelling); detail from memory: check your rule book"
	srcMemory   = rulebook.FromMemory
	srcCP       = rulebook.CommonPractice
	srcWrongWay = "signaller study cards, working in wrong direction (2-3-3, 5-2)"
	srcBack     = "signalbox.org, Block system ch. 3; signaller study cards (blocking back)"
)

var absolutePhases = []Phase{Normal, Offered, Accepted, RestrictedLC, InSection, BlockedInside, BlockedOutside, Obstructed, Shunting}

// absoluteRows is the machine of one line of an absolute block section, the
// same for the box in rear and the box in advance. Regular rows come first,
// then what is against the regulations and where it leads all the same.
var absoluteRows = []Row{
	// A regular train.
	{From: Normal, Act: ActOffer, To: Offered, Guards: []Guard{lineNotBlocked}, Ref: srcBasic},
	{From: Offered, Act: ActOffer, To: Offered, Ref: "signalbox.org, Block system ch. 3: an offer not answered is repeated"},
	{From: Offered, Act: ActAccept, To: Accepted, Guards: acceptGuards, Ref: srcBasic},
	{From: Offered, Act: ActRefuse, To: Normal, Ref: srcBasic},
	{From: Accepted, Act: ActDepart, To: InSection, Guards: []Guard{rightTrain, signalledAway}, Ref: srcBasic},
	{From: Accepted, Act: ActEnter, To: InSection, Guards: []Guard{rightTrain, signalledAway}, Ref: srcBasic},
	{From: InSection, Act: ActEnter, To: InSection, Guards: []Guard{sameTrain, enteringDue}, Ref: srcBasic},
	{From: InSection, Act: ActOut, To: settled, Guards: outGuards, Ref: srcBasic},

	// Restricted acceptance.
	{From: Offered, Act: ActAcceptRestricted, To: RestrictedLC, Guards: restrictedGuards, Ref: srcWarning},
	{From: BlockedInside, Act: ActAcceptRestricted, To: RestrictedLC, Guards: restrictedGuards, Ref: srcWarning},
	{From: RestrictedLC, Act: ActDepart, To: InSection, Guards: []Guard{rightTrain, driverWarned}, Ref: srcWarning},
	{From: RestrictedLC, Act: ActEnter, To: InSection, Guards: []Guard{rightTrain, driverWarned}, Ref: srcWarning},
	{From: RestrictedLC, Act: ActLineNowClear, To: Accepted, Guards: acceptGuards, Ref: srcMemory},

	// Cancelling and describing again.
	{From: Offered, Act: ActCancel, To: Normal, Ref: srcCancel},
	{From: Accepted, Act: ActCancel, To: settled, Guards: []Guard{notEntered}, Ref: srcCancel},
	{From: RestrictedLC, Act: ActCancel, To: settled, Guards: []Guard{notEntered}, Ref: srcCancel},
	{From: InSection, Act: ActCancel, To: settled, Guards: []Guard{setBack}, Ref: srcShunt},
	{From: Obstructed, Act: ActCancel, To: Obstructed, Guards: []Guard{stoppedInTime}, Ref: srcAlarm},
	{From: Offered, Act: ActRedescribe, To: Normal, Ref: srcMemory},
	{From: Accepted, Act: ActRedescribe, To: settled, Guards: []Guard{notEntered}, Ref: srcMemory},
	{From: RestrictedLC, Act: ActRedescribe, To: settled, Guards: []Guard{notEntered}, Ref: srcMemory},

	// Blocking back and its removal.
	{From: Normal, Act: ActBlockInside, To: BlockedInside, Ref: srcBack},
	{From: Offered, Act: ActBlockInside, To: BlockedInside, Ref: srcBack},
	{From: BlockedInside, Act: ActBlockInside, To: BlockedInside, Ref: srcBack},
	{From: BlockedOutside, Act: ActBlockInside, To: BlockedInside, Ref: srcBack},
	{From: Normal, Act: ActBlockOutside, To: BlockedOutside, Ref: srcBack},
	{From: Offered, Act: ActBlockOutside, To: BlockedOutside, Ref: srcBack},
	{From: BlockedInside, Act: ActBlockOutside, To: BlockedOutside, Ref: srcBack},
	{From: BlockedOutside, Act: ActBlockOutside, To: BlockedOutside, Ref: srcBack},
	{From: InSection, Act: ActBlockOutside, To: InSection, Rule: rulebook.BlockingBackTrainSignalled, Unless: []Guard{blockBehind}, Ref: srcMemory},
	{From: BlockedInside, Act: ActUnblock, To: settled, Guards: []Guard{unblockClear}, Ref: srcBack},
	{From: BlockedOutside, Act: ActUnblock, To: settled, Guards: []Guard{unblockClear}, Ref: srcBack},

	// Obstruction danger: in any phase, without call attention.
	{From: anyPhase, Act: ActDanger, To: Obstructed, Ref: srcAlarm},
	{From: Obstructed, Act: ActUnblock, To: settled, Guards: []Guard{dangerOver}, Ref: srcAlarm},
	{From: Obstructed, Act: ActEnter, To: Obstructed, Guards: []Guard{wasAccepted}, Ref: srcAlarm},

	// Shunting into the forward section.
	{From: Normal, Act: ActShunt, To: Shunting, Guards: []Guard{shuntAllowed}, Ref: srcShunt},
	{From: Shunting, Act: ActEnter, To: Shunting, Ref: srcShunt},
	{From: Shunting, Act: ActDepart, To: Shunting, Ref: srcShunt},
	{From: Shunting, Act: ActShuntBack, To: Normal, Ref: srcShunt},

	// Worked by message or with a pilot: no line clear is obtained by bell.
	{From: Normal, Act: ActEnter, To: InSection, Rule: rulebook.EnteredWithoutAcceptance, Unless: []Guard{byMessage}, Guards: []Guard{messageHeld, pilotWith}, Ref: srcBasic},

	// Working in wrong direction, to and from a train that has failed.
	{From: InSection, Act: ActDepart, To: InSection, Rule: rulebook.EnteredWithoutAcceptance, Unless: []Guard{wrongWayAgreed}, Ref: srcWrongWay},
	{From: Obstructed, Act: ActDepart, To: Obstructed, Rule: rulebook.EnteredWithoutAcceptance, Unless: []Guard{acceptedOrWrongWay}, Ref: srcWrongWay},
	{From: Normal, Act: ActDepart, To: InSection, Rule: rulebook.EnteredWithoutAcceptance, Unless: []Guard{messageOrWrongWay}, Guards: []Guard{messageHeld, pilotWith}, Ref: srcBasic},

	// Against the regulations.
	{From: Obstructed, Act: ActOffer, To: Obstructed, Rule: rulebook.OfferedWhileBlocked, Ref: srcAlarm},
	{From: BlockedInside, Act: ActOffer, To: BlockedInside, Rule: rulebook.OfferedWhileBlocked, Unless: []Guard{restrictedAuthorised}, Ref: srcBack},
	{From: BlockedOutside, Act: ActOffer, To: BlockedOutside, Rule: rulebook.OfferedWhileBlocked, Ref: srcBack},
	{From: InSection, Act: ActOffer, To: InSection, Rule: rulebook.OfferedBeforeOutOfSection, Unless: []Guard{givenOut}, Regular: Offered, Ref: srcWinwick},
	{From: anyPhase, Act: ActOffer, To: stay, Rule: rulebook.OfferedBeforeOutOfSection, Ref: srcWinwick},

	{From: Normal, Act: ActAccept, To: Accepted, Rule: rulebook.AcceptanceNotOffered, Ref: srcGNR},
	{From: Accepted, Act: ActAccept, To: Accepted, Rule: rulebook.AcceptedTwice, Ref: srcGNR},
	{From: RestrictedLC, Act: ActAccept, To: Accepted, Rule: rulebook.AcceptedTwice, Ref: srcGNR},
	{From: InSection, Act: ActAccept, To: InSection, Rule: rulebook.AcceptedSectionOccupied, Ref: srcBasic},
	{From: Shunting, Act: ActAccept, To: Shunting, Rule: rulebook.AcceptedSectionOccupied, Ref: srcShunt},
	{From: BlockedInside, Act: ActAccept, To: Accepted, Rule: rulebook.AcceptedWhileBlocked, Ref: srcBack},
	{From: BlockedOutside, Act: ActAccept, To: Accepted, Rule: rulebook.AcceptedWhileBlocked, Ref: srcBack},
	{From: Obstructed, Act: ActAccept, To: Obstructed, Rule: rulebook.AcceptedWhileBlocked, Ref: srcAlarm},
	{From: Normal, Act: ActAcceptRestricted, To: RestrictedLC, Rule: rulebook.AcceptanceNotOffered, Ref: srcGNR},
	{From: Accepted, Act: ActAcceptRestricted, To: RestrictedLC, Rule: rulebook.AcceptedTwice, Ref: srcGNR},
	{From: RestrictedLC, Act: ActAcceptRestricted, To: RestrictedLC, Rule: rulebook.AcceptedTwice, Ref: srcGNR},
	{From: InSection, Act: ActAcceptRestricted, To: InSection, Rule: rulebook.AcceptedSectionOccupied, Ref: srcBasic},
	{From: Shunting, Act: ActAcceptRestricted, To: Shunting, Rule: rulebook.AcceptedSectionOccupied, Ref: srcShunt},
	{From: BlockedOutside, Act: ActAcceptRestricted, To: RestrictedLC, Rule: rulebook.AcceptedWhileBlocked, Ref: srcBack},
	{From: Obstructed, Act: ActAcceptRestricted, To: Obstructed, Rule: rulebook.AcceptedWhileBlocked, Ref: srcAlarm},

	{From: anyPhase, Act: ActEnter, To: InSection, Rule: rulebook.EnteredWithoutAcceptance, Ref: srcBasic},
	{From: BlockedInside, Act: ActEnter, To: BlockedInside, Rule: rulebook.EnteredWithoutAcceptance, Ref: srcBack},
	{From: BlockedOutside, Act: ActEnter, To: BlockedOutside, Rule: rulebook.EnteredWithoutAcceptance, Ref: srcBack},
	{From: anyPhase, Act: ActDepart, To: InSection, Rule: rulebook.EnteredWithoutAcceptance, Ref: srcBasic},
	{From: BlockedInside, Act: ActDepart, To: BlockedInside, Rule: rulebook.EnteredWithoutAcceptance, Ref: srcBack},
	{From: BlockedOutside, Act: ActDepart, To: BlockedOutside, Rule: rulebook.EnteredWithoutAcceptance, Ref: srcBack},

	{From: Obstructed, Act: ActOut, To: Obstructed, Rule: rulebook.ObstructionDangerNotRemoved, Ref: srcAlarm},
	{From: BlockedInside, Act: ActOut, To: Normal, Rule: rulebook.OutOfSectionNoTrain, Ref: srcBack},
	{From: BlockedOutside, Act: ActOut, To: Normal, Rule: rulebook.OutOfSectionNoTrain, Ref: srcBack},
	{From: Accepted, Act: ActOut, To: stay, Rule: rulebook.OutOfSectionNoTrain, Guards: []Guard{notYetEntered}, Ref: srcWinwick},
	{From: RestrictedLC, Act: ActOut, To: stay, Rule: rulebook.OutOfSectionNoTrain, Guards: []Guard{notYetEntered}, Ref: srcWinwick},
	{From: anyPhase, Act: ActOut, To: stay, Rule: rulebook.OutOfSectionNoTrain, Ref: srcBasic},

	{From: anyPhase, Act: ActCancel, To: stay, Rule: rulebook.CancelledNothing, Ref: srcCancel},
	{From: anyPhase, Act: ActRedescribe, To: stay, Rule: rulebook.CancelledNothing, Ref: srcMemory},
	{From: anyPhase, Act: ActLineNowClear, To: stay, Rule: rulebook.AcceptanceNotOffered, Ref: srcMemory},
	{From: anyPhase, Act: ActRefuse, To: stay, Ref: srcCP},
	{From: Accepted, Act: ActBlockInside, To: BlockedInside, Rule: rulebook.BlockingBackTrainSignalled, Ref: srcBack},
	{From: Accepted, Act: ActBlockOutside, To: BlockedOutside, Rule: rulebook.BlockingBackTrainSignalled, Ref: srcBack},
	{From: RestrictedLC, Act: ActBlockInside, To: BlockedInside, Rule: rulebook.BlockingBackTrainSignalled, Ref: srcBack},
	{From: RestrictedLC, Act: ActBlockOutside, To: BlockedOutside, Rule: rulebook.BlockingBackTrainSignalled, Ref: srcBack},
	{From: anyPhase, Act: ActBlockInside, To: stay, Rule: rulebook.BlockingBackTrainSignalled, Ref: srcBack},
	{From: anyPhase, Act: ActBlockOutside, To: stay, Rule: rulebook.BlockingBackTrainSignalled, Ref: srcBack},
	{From: anyPhase, Act: ActUnblock, To: stay, Rule: rulebook.NothingToRemove, Ref: srcBack},
	{From: anyPhase, Act: ActShunt, To: stay, Rule: rulebook.OfferedBeforeOutOfSection, Ref: srcShunt},
	{From: anyPhase, Act: ActShuntBack, To: stay, Rule: rulebook.ShuntNotWithdrawn, Ref: srcShunt},
}

// stay in a row leaves the phase as it was.
const stay Phase = 253
