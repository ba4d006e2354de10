package block

import "fairhand/block/rulebook"

// Sources of the rows below, named once.
const (
	srcToken  = "Severn Valley Railway notes on the electric train token; Block Working Manual (South Central Railway, 2005) part A 3.2"
	srcBWM39  = "Block Working Manual (South Central Railway, 2005) part A 3.8, 3.9, 3.12"
	srcGWR36  = "Great Western Railway, Electric Train Token apparatus, 1936"
	srcBWM33  = "Block Working Manual (South Central Railway, 2005) part A 3.3; detail from memory: check your rule book"
	srcShuntT = "Railway block code (release token, token replaced); order from memory: check your rule book"
	srcGR14   = "General Rules (India) 14.10 to 14.12"
	srcTAB90  = "Tablet regulations, Swindon, November 1890, cl. 3"
)

var tokenPhases = []Phase{Normal, Offered, Accepted, RestrictedLC, InSection, BlockedInside, BlockedOutside, Obstructed, ShuntAsked, ShuntReleased}

// tokenRows is the machine of a token section, for both directions. The
// acknowledgement of an offer, given with the last beat held, is itself the
// release; the token may then be drawn at the end that offered.
var tokenRows = []Row{
	// A regular train.
	{From: Normal, Act: ActOffer, To: Offered, Guards: []Guard{tokensIn, lineNotBlocked}, Ref: srcBWM39},
	{From: Offered, Act: ActOffer, To: Offered, Ref: srcBWM39},
	{From: Offered, Opposed: true, Act: ActOffer, To: Offered, Ref: "single line: both boxes offered; precedence decides which withdraws"},
	{From: Offered, Act: ActAccept, To: Accepted, Guards: tokenAcceptGuards, Ref: srcBWM39},
	{From: Offered, Act: ActAcceptRestricted, To: RestrictedLC, Guards: restrictedGuards, Ref: srcWarning},
	{From: Offered, Act: ActRefuse, To: Normal, Ref: srcBWM39},
	{From: Accepted, Act: ActDraw, To: stay, Guards: drawGuards, Ref: srcToken},
	{From: RestrictedLC, Act: ActDraw, To: stay, Guards: drawGuards, Ref: srcToken},
	{From: Accepted, Act: ActDepart, To: InSection, Guards: []Guard{rightTrain, tokenBooked, tokenWithTrain, signalledAway}, Ref: srcToken},
	{From: Accepted, Act: ActEnter, To: InSection, Guards: []Guard{rightTrain, tokenBooked, signalledAway}, Ref: srcToken},
	{From: RestrictedLC, Act: ActDepart, To: InSection, Guards: []Guard{rightTrain, tokenBooked, tokenWithTrain, driverWarned}, Ref: srcWarning},
	{From: RestrictedLC, Act: ActEnter, To: InSection, Guards: []Guard{rightTrain, tokenBooked, driverWarned}, Ref: srcWarning},
	{From: RestrictedLC, Act: ActLineNowClear, To: Accepted, Guards: tokenAcceptGuards, Ref: srcMemory},
	{From: InSection, Act: ActEnter, To: InSection, Guards: []Guard{sameTrain, enteringDue}, Ref: srcToken},
	{From: InSection, Act: ActRestore, To: stay, Guards: restoreGuards, Ref: srcGR14},
	{From: InSection, Act: ActOut, To: settled, Guards: tokenOutGuards, Ref: srcToken},
	{From: InSection, Opposed: true, Act: ActOut, To: settled, Guards: []Guard{cameBack, tokenBack, otherEnd}, Ref: srcBWM33},

	// Cancelling: the token goes back before the signal is sent.
	{From: Accepted, Act: ActRestore, To: stay, Guards: []Guard{sameEnd, numberOut}, Ref: srcBWM33},
	{From: RestrictedLC, Act: ActRestore, To: stay, Guards: []Guard{sameEnd, numberOut}, Ref: srcBWM33},
	{From: Offered, Act: ActCancel, To: Normal, Ref: srcBWM33},
	{From: Accepted, Act: ActCancel, To: settled, Guards: []Guard{notEntered, tokenBackFirst}, Ref: srcBWM33},
	{From: RestrictedLC, Act: ActCancel, To: settled, Guards: []Guard{notEntered, tokenBackFirst}, Ref: srcBWM33},
	{From: InSection, Act: ActCancel, To: settled, Guards: []Guard{setBack, tokenBackFirst}, Ref: srcBWM33},
	{From: Obstructed, Act: ActCancel, To: Obstructed, Guards: []Guard{stoppedInTime}, Ref: srcAlarm},
	{From: Offered, Act: ActRedescribe, To: Normal, Ref: srcMemory},
	{From: Accepted, Act: ActRedescribe, To: settled, Guards: []Guard{notEntered, tokenBackFirst}, Ref: srcMemory},
	{From: RestrictedLC, Act: ActRedescribe, To: settled, Guards: []Guard{notEntered, tokenBackFirst}, Ref: srcMemory},

	// Shunting on a token.
	{From: Normal, Act: ActAskRelease, To: ShuntAsked, Guards: []Guard{tokensIn}, Ref: srcShuntT},
	{From: ShuntAsked, Act: ActAskRelease, To: ShuntAsked, Ref: srcShuntT},
	{From: ShuntAsked, Act: ActRelease, To: ShuntReleased, Guards: []Guard{tokensIn}, Ref: srcShuntT},
	{From: ShuntAsked, Act: ActRefuse, To: Normal, Ref: srcShuntT},
	{From: ShuntAsked, Act: ActCancel, To: Normal, Ref: srcShuntT},
	{From: ShuntReleased, Act: ActDraw, To: stay, Guards: drawGuards, Ref: srcShuntT},
	{From: ShuntReleased, Act: ActRestore, To: stay, Guards: []Guard{sameEndShunt, numberOut}, Ref: srcShuntT},
	{From: ShuntReleased, Act: ActReplaced, To: Normal, Guards: []Guard{tokenBack, drawnForShunt}, Ref: srcShuntT},
	{From: ShuntReleased, Act: ActCancel, To: Normal, Guards: []Guard{tokenBackFirst}, Ref: srcShuntT},

	// Blocking back and obstruction danger.
	{From: Normal, Act: ActBlockInside, To: BlockedInside, Ref: srcBack},
	{From: Offered, Act: ActBlockInside, To: BlockedInside, Ref: srcBack},
	{From: Offered, Opposed: true, Act: ActBlockInside, To: BlockedInside, Ref: srcBack},
	{From: Offered, Opposed: true, Act: ActBlockOutside, To: BlockedOutside, Ref: srcBack},
	{From: BlockedInside, Act: ActBlockInside, To: BlockedInside, Ref: srcBack},
	{From: BlockedOutside, Act: ActBlockInside, To: BlockedInside, Ref: srcBack},
	{From: Normal, Act: ActBlockOutside, To: BlockedOutside, Ref: srcBack},
	{From: Offered, Act: ActBlockOutside, To: BlockedOutside, Ref: srcBack},
	{From: BlockedInside, Act: ActBlockOutside, To: BlockedOutside, Ref: srcBack},
	{From: BlockedOutside, Act: ActBlockOutside, To: BlockedOutside, Ref: srcBack},
	{From: BlockedInside, Act: ActUnblock, To: settled, Guards: []Guard{unblockClear}, Ref: srcBack},
	{From: BlockedOutside, Act: ActUnblock, To: settled, Guards: []Guard{unblockClear}, Ref: srcBack},
	{From: anyPhase, Act: ActDanger, To: Obstructed, Ref: srcAlarm},
	{From: anyPhase, Opposed: true, Act: ActDanger, To: Obstructed, Ref: srcAlarm},
	{From: Obstructed, Act: ActUnblock, To: settled, Guards: []Guard{dangerOver}, Ref: srcAlarm},
	{From: Obstructed, Opposed: true, Act: ActUnblock, To: settled, Guards: []Guard{dangerOver}, Ref: srcAlarm},
	{From: Obstructed, Act: ActEnter, To: Obstructed, Guards: []Guard{wasAccepted}, Ref: srcAlarm},
	{From: Obstructed, Act: ActDepart, To: Obstructed, Guards: []Guard{wasAccepted}, Ref: srcAlarm},
	{From: Obstructed, Act: ActRestore, To: stay, Guards: []Guard{numberOut}, Ref: srcAlarm},

	// Worked by message or with a pilot: no line clear is obtained by bell.
	{From: Normal, Act: ActDepart, To: InSection, Rule: rulebook.EnteredWithoutAcceptance, Unless: []Guard{byMessage}, Guards: []Guard{messageHeld, pilotWith}, Ref: srcToken},
	{From: Normal, Act: ActEnter, To: InSection, Rule: rulebook.EnteredWithoutAcceptance, Unless: []Guard{byMessage}, Guards: []Guard{messageHeld, pilotWith}, Ref: srcToken},

	// Against the regulations.
	{From: Obstructed, Act: ActOffer, To: Obstructed, Rule: rulebook.OfferedWhileBlocked, Ref: srcAlarm},
	{From: BlockedInside, Act: ActOffer, To: BlockedInside, Rule: rulebook.OfferedWhileBlocked, Unless: []Guard{restrictedAuthorised}, Ref: srcBack},
	{From: BlockedOutside, Act: ActOffer, To: BlockedOutside, Rule: rulebook.OfferedWhileBlocked, Ref: srcBack},
	{From: InSection, Act: ActOffer, To: InSection, Rule: rulebook.OfferedBeforeOutOfSection, Unless: []Guard{givenOut}, Regular: Offered, Ref: srcWinwick},
	{From: anyPhase, Act: ActOffer, To: stay, Rule: rulebook.OfferedBeforeOutOfSection, Ref: srcBWM39},
	{From: BlockedInside, Opposed: true, Act: ActOffer, To: stay, Rule: rulebook.OfferedWhileBlocked, Ref: srcBack},
	{From: BlockedOutside, Opposed: true, Act: ActOffer, To: stay, Rule: rulebook.OfferedWhileBlocked, Ref: srcBack},
	{From: Obstructed, Opposed: true, Act: ActOffer, To: stay, Rule: rulebook.OfferedWhileBlocked, Ref: srcAlarm},
	{From: anyPhase, Opposed: true, Act: ActOffer, To: stay, Rule: rulebook.OfferedBeforeOutOfSection, Ref: srcBWM39},

	{From: Normal, Act: ActAccept, To: Accepted, Rule: rulebook.AcceptanceNotOffered, Ref: srcBWM39},
	{From: Accepted, Act: ActAccept, To: Accepted, Rule: rulebook.AcceptedTwice, Ref: srcBWM39},
	{From: RestrictedLC, Act: ActAccept, To: Accepted, Rule: rulebook.AcceptedTwice, Ref: srcBWM39},
	{From: InSection, Act: ActAccept, To: InSection, Rule: rulebook.AcceptedSectionOccupied, Ref: srcBWM39},
	{From: ShuntAsked, Act: ActAccept, To: Accepted, Rule: rulebook.AcceptedSectionOccupied, Ref: srcShuntT},
	{From: ShuntReleased, Act: ActAccept, To: ShuntReleased, Rule: rulebook.AcceptedSectionOccupied, Ref: srcShuntT},
	{From: BlockedInside, Act: ActAccept, To: Accepted, Rule: rulebook.AcceptedWhileBlocked, Ref: srcBack},
	{From: BlockedOutside, Act: ActAccept, To: Accepted, Rule: rulebook.AcceptedWhileBlocked, Ref: srcBack},
	{From: Obstructed, Act: ActAccept, To: Obstructed, Rule: rulebook.AcceptedWhileBlocked, Ref: srcAlarm},
	{From: BlockedInside, Opposed: true, Act: ActAccept, To: Accepted, Rule: rulebook.AcceptedWhileBlocked, Ref: srcBack},
	{From: BlockedOutside, Opposed: true, Act: ActAccept, To: Accepted, Rule: rulebook.AcceptedWhileBlocked, Ref: srcBack},
	{From: Obstructed, Opposed: true, Act: ActAccept, To: Obstructed, Rule: rulebook.AcceptedWhileBlocked, Ref: srcAlarm},
	{From: anyPhase, Opposed: true, Act: ActAccept, To: stay, Rule: rulebook.OpposingAcceptance, Ref: srcBWM39},
	{From: Normal, Act: ActAcceptRestricted, To: RestrictedLC, Rule: rulebook.AcceptanceNotOffered, Ref: srcBWM39},
	{From: BlockedInside, Act: ActAcceptRestricted, To: RestrictedLC, Guards: restrictedGuards, Ref: srcWarning},
	{From: Obstructed, Act: ActAcceptRestricted, To: Obstructed, Rule: rulebook.AcceptedWhileBlocked, Ref: srcAlarm},
	{From: BlockedOutside, Act: ActAcceptRestricted, To: RestrictedLC, Rule: rulebook.AcceptedWhileBlocked, Ref: srcBack},
	{From: anyPhase, Act: ActAcceptRestricted, To: stay, Rule: rulebook.AcceptedSectionOccupied, Ref: srcBWM39},
	{From: anyPhase, Opposed: true, Act: ActAcceptRestricted, To: stay, Rule: rulebook.OpposingAcceptance, Ref: srcBWM39},

	{From: ShuntReleased, Act: ActEnter, To: InSection, Rule: rulebook.TrainOnShuntToken, Ref: srcShuntT},
	{From: ShuntReleased, Act: ActDepart, To: InSection, Rule: rulebook.TrainOnShuntToken, Ref: srcShuntT},
	{From: BlockedInside, Act: ActEnter, To: BlockedInside, Rule: rulebook.EnteredWithoutAcceptance, Ref: srcBack},
	{From: BlockedOutside, Act: ActEnter, To: BlockedOutside, Rule: rulebook.EnteredWithoutAcceptance, Ref: srcBack},
	{From: anyPhase, Act: ActEnter, To: InSection, Rule: rulebook.EnteredWithoutAcceptance, Ref: srcToken},
	{From: anyPhase, Opposed: true, Act: ActEnter, To: InSection, Rule: rulebook.EnteredWithoutAcceptance, Ref: srcToken},
	{From: anyPhase, Act: ActDepart, To: InSection, Rule: rulebook.EnteredWithoutAcceptance, Guards: []Guard{tokenOfSection}, Ref: srcToken},
	{From: anyPhase, Opposed: true, Act: ActDepart, To: InSection, Rule: rulebook.EnteredWithoutAcceptance, Guards: []Guard{tokenOfSection, noOpposing}, Ref: srcToken},

	{From: Obstructed, Act: ActOut, To: Obstructed, Rule: rulebook.ObstructionDangerNotRemoved, Ref: srcAlarm},
	{From: BlockedInside, Act: ActOut, To: Normal, Rule: rulebook.OutOfSectionNoTrain, Ref: srcBack},
	{From: BlockedOutside, Act: ActOut, To: Normal, Rule: rulebook.OutOfSectionNoTrain, Ref: srcBack},
	{From: Accepted, Act: ActOut, To: stay, Rule: rulebook.OutOfSectionNoTrain, Guards: []Guard{notYetEntered}, Ref: srcWinwick},
	{From: RestrictedLC, Act: ActOut, To: stay, Rule: rulebook.OutOfSectionNoTrain, Guards: []Guard{notYetEntered}, Ref: srcWinwick},
	{From: anyPhase, Act: ActOut, To: stay, Rule: rulebook.OutOfSectionNoTrain, Ref: srcToken},
	{From: anyPhase, Opposed: true, Act: ActOut, To: stay, Rule: rulebook.OutOfSectionNoTrain, Ref: srcToken},

	{From: anyPhase, Act: ActCancel, To: stay, Rule: rulebook.CancelledNothing, Ref: srcBWM33},
	{From: anyPhase, Opposed: true, Act: ActCancel, To: stay, Rule: rulebook.CancelledNothing, Ref: srcBWM33},
	{From: anyPhase, Act: ActRedescribe, To: stay, Rule: rulebook.CancelledNothing, Ref: srcMemory},
	{From: anyPhase, Opposed: true, Act: ActRedescribe, To: stay, Rule: rulebook.CancelledNothing, Ref: srcMemory},
	{From: anyPhase, Act: ActRefuse, To: stay, Ref: srcCP},
	{From: anyPhase, Opposed: true, Act: ActRefuse, To: stay, Ref: srcCP},
	{From: anyPhase, Act: ActLineNowClear, To: stay, Rule: rulebook.AcceptanceNotOffered, Ref: srcMemory},
	{From: anyPhase, Opposed: true, Act: ActLineNowClear, To: stay, Rule: rulebook.AcceptanceNotOffered, Ref: srcMemory},

	{From: Accepted, Act: ActBlockInside, To: BlockedInside, Rule: rulebook.BlockingBackTrainSignalled, Ref: srcBack},
	{From: Accepted, Act: ActBlockOutside, To: BlockedOutside, Rule: rulebook.BlockingBackTrainSignalled, Ref: srcBack},
	{From: anyPhase, Act: ActBlockInside, To: stay, Rule: rulebook.BlockingBackTrainSignalled, Ref: srcBack},
	{From: anyPhase, Act: ActBlockOutside, To: stay, Rule: rulebook.BlockingBackTrainSignalled, Ref: srcBack},
	{From: anyPhase, Opposed: true, Act: ActBlockInside, To: stay, Rule: rulebook.BlockingBackTrainSignalled, Ref: srcBack},
	{From: anyPhase, Opposed: true, Act: ActBlockOutside, To: stay, Rule: rulebook.BlockingBackTrainSignalled, Ref: srcBack},
	{From: anyPhase, Act: ActUnblock, To: stay, Rule: rulebook.NothingToRemove, Ref: srcBack},
	{From: anyPhase, Opposed: true, Act: ActUnblock, To: stay, Rule: rulebook.NothingToRemove, Ref: srcBack},

	{From: anyPhase, Act: ActAskRelease, To: stay, Rule: rulebook.OfferedBeforeOutOfSection, Ref: srcBWM39},
	{From: anyPhase, Opposed: true, Act: ActAskRelease, To: stay, Rule: rulebook.OfferedBeforeOutOfSection, Ref: srcBWM39},
	{From: anyPhase, Act: ActRelease, To: stay, Rule: rulebook.AcceptedSectionOccupied, Ref: srcBWM39},
	{From: anyPhase, Opposed: true, Act: ActRelease, To: stay, Rule: rulebook.AcceptedSectionOccupied, Ref: srcBWM39},
	{From: anyPhase, Act: ActReplaced, To: stay, Rule: rulebook.ShuntReleaseNotAsked, Ref: srcShuntT},
	{From: anyPhase, Opposed: true, Act: ActReplaced, To: stay, Rule: rulebook.ShuntReleaseNotAsked, Ref: srcShuntT},

	{From: InSection, Act: ActDraw, To: stay, Rule: rulebook.TokenDrawnBeforeClosed, Guards: []Guard{noTokenOut}, Ref: srcBWM39},
	{From: InSection, Opposed: true, Act: ActDraw, To: stay, Rule: rulebook.TokenDrawnBeforeClosed, Guards: []Guard{noTokenOut}, Ref: srcBWM39},
	{From: anyPhase, Act: ActDraw, To: stay, Rule: rulebook.TokenOutWithoutRelease, Guards: []Guard{noTokenOut}, Ref: srcToken},
	{From: anyPhase, Opposed: true, Act: ActDraw, To: stay, Rule: rulebook.TokenOutWithoutRelease, Guards: []Guard{noTokenOut}, Ref: srcToken},
	{From: anyPhase, Act: ActRestore, To: stay, Guards: []Guard{numberOut}, Ref: srcGR14},
	{From: anyPhase, Opposed: true, Act: ActRestore, To: stay, Guards: []Guard{numberOut}, Ref: srcGR14},
}
