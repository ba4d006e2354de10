package block

import "fairhand/block/rulebook"

// blockRows is the machine of one line of a section worked by bells, the same
// for the box in rear and the box in advance. Rows and guards that some methods
// have not say by what trait they are left out; where two rows would decide one
// case the first does. Regular rows come first, then what is against the
// regulations and where it leads all the same. The sources of the latter are
// those of their rules; on single lines the acknowledgement of an offer, given
// with the last beat held, is itself the release of the token.
var blockRows = []Row{
	// A regular train. An offer not answered is repeated; on a single line both
	// boxes may have offered, and precedence decides which withdraws.
	// Sources: signalbox.org, Block system ch. 1 to 3; Great Western Railway,
	// Electric Train Token regulations 1936; Block Working Manual (South Central
	// Railway, 2005) part A 3.2, 3.8, 3.9, 3.12; General Rules (India) 14.10 to 14.12.
	{From: Normal, Act: ActOffer, To: Offered, Guards: []Guard{tokensIn, noneLost, lineNotBlocked}},
	{From: Offered, Both: true, Act: ActOffer, To: Offered},
	{From: Offered, Act: ActAccept, To: Accepted, Guards: acceptGuards},
	{From: Offered, Act: ActRefuse, To: Normal},
	{From: Accepted, Act: ActDraw, To: stay, For: withToken, Guards: drawGuards},
	{From: RestrictedLC, Act: ActDraw, To: stay, For: withToken, Guards: drawGuards},
	{From: Accepted, Act: ActDepart, To: InSection, Guards: []Guard{rightTrain, tokenBooked, tokenWithTrain, staffWithTrain, pilotToo, formHeld, signalledAway, resetFirst, behindWarned}},
	{From: Accepted, Act: ActEnter, To: InSection, Guards: []Guard{rightTrain, tokenBooked, staffWithTrain, signalledAway, resetFirst, behindWarned}},
	{From: InSection, Act: ActEnter, To: InSection, Guards: []Guard{sameTrain, enteringDue}},
	{From: InSection, Act: ActRestore, To: stay, For: withToken, Guards: restoreGuards},
	{From: InSection, Act: ActOut, To: settled, Guards: []Guard{arrived, complete, clearOfPoint, tokenBack, otherEnd, pilotWent}},
	{From: InSection, Opposed: true, Act: ActOut, To: settled, Guards: []Guard{cameBack, complete, tokenBack, otherEnd}}, // Manual part A 3.3(B)

	// Restricted acceptance. Source: signalbox.org, Block system ch. 5.
	{From: Offered, Act: ActAcceptRestricted, To: RestrictedLC, Guards: restrictedGuards},
	{From: BlockedInside, Act: ActAcceptRestricted, To: RestrictedLC, Guards: restrictedGuards},
	{From: RestrictedLC, Act: ActDepart, To: InSection, Guards: []Guard{rightTrain, tokenBooked, tokenWithTrain, staffWithTrain, pilotToo, formHeld, driverWarned}},
	{From: RestrictedLC, Act: ActEnter, To: InSection, Guards: []Guard{rightTrain, tokenBooked, staffWithTrain, driverWarned}},
	{From: RestrictedLC, Act: ActLineNowClear, To: Accepted, Guards: acceptGuards},

	// Cancelling and describing again: a token goes back before the signal is
	// sent. Sources: study cards, cancelling; signalbox.org, Block system ch. 8;
	// Block Working Manual part A 3.3; describing again from memory.
	{From: Accepted, Act: ActRestore, To: stay, For: withToken, Guards: []Guard{sameEnd, numberOut}},
	{From: RestrictedLC, Act: ActRestore, To: stay, For: withToken, Guards: []Guard{sameEnd, numberOut}},
	{From: Offered, Act: ActCancel, To: Normal},
	{From: Accepted, Act: ActCancel, To: settled, Guards: []Guard{notEntered, signalBack, tokenBackFirst, paperTicketBack}},
	{From: RestrictedLC, Act: ActCancel, To: settled, Guards: []Guard{notEntered, signalBack, tokenBackFirst}},
	{From: InSection, Act: ActCancel, To: settled, Guards: []Guard{setBack, tokenBackFirst}},
	{From: Obstructed, Act: ActCancel, To: Obstructed, Guards: []Guard{stoppedInTime}},
	{From: Offered, Act: ActRedescribe, To: Normal},
	{From: Accepted, Act: ActRedescribe, To: settled, Guards: []Guard{describedInTime, tokenBackFirst}},
	{From: RestrictedLC, Act: ActRedescribe, To: settled, Guards: []Guard{describedInTime, tokenBackFirst}},

	// Shunting into the forward section of a double line. Source: signalbox.org,
	// Block system ch. 8.
	{From: Normal, Act: ActShunt, To: Shunting, For: onDouble, Guards: []Guard{shuntAllowed}},
	{From: Shunting, Act: ActEnter, To: Shunting, For: onDouble},
	{From: Shunting, Act: ActDepart, To: Shunting, For: onDouble},
	{From: Shunting, Act: ActShuntBack, To: settled, For: onDouble, Guards: []Guard{shuntIsBack}},
	{From: Shunting, Act: ActCancel, To: settled, For: onDouble, Rule: rulebook.ShuntNotWithdrawn, Says: "Cancelling was given for a shunt that shunt withdrawn is to end", Guards: []Guard{shuntIsBack}},

	// Shunting on a token. Source: Railway block code (release token, token
	// replaced); the order from memory.
	{From: Normal, Act: ActAskRelease, To: ShuntAsked, For: withToken, Guards: []Guard{tokensIn}},
	{From: ShuntAsked, Act: ActAskRelease, To: ShuntAsked, For: withToken},
	{From: ShuntAsked, Act: ActRelease, To: ShuntReleased, For: withToken, Guards: []Guard{tokensIn}},
	{From: ShuntAsked, Act: ActRefuse, To: Normal, For: withToken},
	{From: ShuntAsked, Act: ActCancel, To: Normal, For: withToken},
	{From: ShuntReleased, Act: ActDraw, To: stay, For: withToken, Guards: drawGuards},
	{From: ShuntReleased, Act: ActRestore, To: stay, For: withToken, Guards: []Guard{sameEndShunt, numberOut}},
	{From: ShuntReleased, Act: ActReplaced, To: Normal, For: withToken, Guards: []Guard{tokenBack, drawnForShunt}},
	{From: InSection, Act: ActReplaced, To: settled, For: withToken, Rule: rulebook.ShuntReleaseNotAsked, Unless: []Guard{shuntedOut}},
	{From: ShuntReleased, Act: ActCancel, To: Normal, For: withToken, Guards: []Guard{tokenBackFirst}},

	// Blocking back and its removal. Sources: signalbox.org, Block system ch. 3;
	// study cards, blocking back; behind a departing train from memory.
	{From: Normal, Act: ActBlockInside, To: BlockedInside},
	{From: Offered, Both: true, Act: ActBlockInside, To: BlockedInside},
	{From: BlockedInside, Act: ActBlockInside, To: BlockedInside},
	{From: BlockedOutside, Act: ActBlockInside, To: BlockedInside},
	{From: Normal, Act: ActBlockOutside, To: BlockedOutside},
	{From: Offered, Both: true, Act: ActBlockOutside, To: BlockedOutside},
	{From: BlockedInside, Act: ActBlockOutside, To: BlockedOutside},
	{From: BlockedOutside, Act: ActBlockOutside, To: BlockedOutside},
	{From: InSection, Act: ActBlockOutside, To: InSection, For: onDouble, Rule: rulebook.BlockingBackTrainSignalled, Unless: []Guard{blockBehind}},
	{From: BlockedInside, Act: ActUnblock, To: settled, Guards: []Guard{unblockClear}},
	{From: BlockedOutside, Act: ActUnblock, To: settled, Guards: []Guard{unblockClear}},

	// Obstruction danger: in any phase, without call attention. Sources:
	// signalbox.org, Block system ch. 9; study cards, obstruction danger.
	{From: anyPhase, Both: true, Act: ActDanger, To: Obstructed},
	{From: Obstructed, Both: true, Act: ActUnblock, To: settled, Guards: []Guard{dangerOver}},
	{From: Obstructed, Act: ActEnter, To: Obstructed, Guards: []Guard{enteredOnce, wasAccepted, stoppedByDanger}},
	{From: Obstructed, Act: ActRestore, To: stay, For: withToken, Guards: []Guard{numberOut}},
	{From: Obstructed, Both: true, Act: ActOut, To: Obstructed, Rule: rulebook.OutOfSectionNoTrain, Unless: []Guard{wasInSection}, Guards: []Guard{arrived, complete, clearOfPoint, tokenBack}},

	// Worked by message or with a pilot, where no line clear is obtained by bell;
	// in wrong direction, to and from a train that has failed; following by
	// interval, where a ticket allows it.
	{From: Normal, Act: ActDepart, To: InSection, For: spoken, Rule: rulebook.EnteredWithoutAcceptance, Unless: []Guard{onlyReported}, Guards: []Guard{messageHeld, pilotWith, signalledAway}},
	{From: Normal, Act: ActEnter, To: InSection, For: spoken, Rule: rulebook.EnteredWithoutAcceptance, Unless: []Guard{onlyReported}, Guards: []Guard{messageHeld, pilotWith, signalledAway}},
	{From: Normal, Act: ActDepart, To: InSection, For: onDouble, Rule: rulebook.EnteredWithoutAcceptance, Unless: []Guard{messageOrWrongWay}, Guards: []Guard{messageHeld, pilotWith}},
	{From: InSection, Act: ActDepart, To: InSection, For: onDouble, Rule: rulebook.EnteredWithoutAcceptance, Unless: []Guard{wrongWayOrAssists}, Guards: []Guard{pilotToo}},
	{From: Obstructed, Act: ActDepart, To: Obstructed, For: onDouble, Rule: rulebook.EnteredWithoutAcceptance, Says: "A train was let into the section while obstruction danger stands, or vehicles are running away in it", Unless: []Guard{acceptedOrWrongWay}, Guards: []Guard{stoppedByDanger}},
	{From: Normal, Act: ActDepart, To: InSection, For: withStaff, Rule: rulebook.EnteredWithoutAcceptance, Unless: []Guard{intervalOrMessage}, Guards: []Guard{staffWithTrain, intervalPast, messageHeld, pilotWith}},
	{From: Normal, Act: ActEnter, To: InSection, For: withStaff, Rule: rulebook.EnteredWithoutAcceptance, Unless: []Guard{intervalOrMessage}, Guards: []Guard{staffWithTrain, messageHeld, pilotWith}},
	{From: InSection, Act: ActDepart, To: InSection, For: withStaff, Rule: rulebook.EnteredWithoutAcceptance, Unless: []Guard{followsOrAssists}, Guards: []Guard{staffWithTrain, intervalPast}},
	{From: Normal, Act: ActDepart, To: InSection, For: piloted, Rule: rulebook.EnteredWithoutAcceptance, Unless: []Guard{byMessage}, Guards: []Guard{messageHeld, pilotToo}},
	{From: Normal, Act: ActDepart, To: InSection, Rule: rulebook.EnteredWithoutAcceptance, Unless: []Guard{byMessage}, Guards: []Guard{messageHeld, pilotWith}},
	{From: Normal, Act: ActEnter, To: InSection, Rule: rulebook.EnteredWithoutAcceptance, Unless: []Guard{byMessage}, Guards: []Guard{messageHeld, pilotWith}},
	{From: Obstructed, Act: ActDepart, To: Obstructed, Guards: []Guard{wasAccepted, stoppedByDanger}},
	{From: InSection, Act: ActDepart, To: InSection, Rule: rulebook.EnteredWithoutAcceptance, Unless: []Guard{toAssist}, Guards: []Guard{tokenOfSection, staffWithTrain, pilotToo}},

	// Against the regulations: offers.
	{From: Obstructed, Both: true, Act: ActOffer, To: stay, Rule: rulebook.OfferedWhileBlocked},
	{From: BlockedInside, Act: ActOffer, To: stay, Rule: rulebook.OfferedWhileBlocked, Unless: []Guard{restrictedAuthorised}},
	{From: BlockedInside, Opposed: true, Act: ActOffer, To: stay, Rule: rulebook.OfferedWhileBlocked},
	{From: BlockedOutside, Both: true, Act: ActOffer, To: stay, Rule: rulebook.OfferedWhileBlocked},
	{From: InSection, Act: ActOffer, To: InSection, Rule: rulebook.OfferedBeforeOutOfSection, Unless: []Guard{givenOut}, Regular: Offered, Guards: []Guard{noneLost}},
	{From: anyPhase, Both: true, Act: ActOffer, To: stay, Rule: rulebook.OfferedBeforeOutOfSection, Guards: []Guard{noneLost}},

	// Acceptances.
	{From: Normal, Act: ActAccept, To: Accepted, For: spoken, Rule: rulebook.AcceptanceNotOffered, Unless: []Guard{refusedBefore}, Guards: acceptGuards},
	{From: Normal, Act: ActAccept, To: Accepted, Rule: rulebook.AcceptanceNotOffered},
	{From: Accepted, Act: ActAccept, To: Accepted, Rule: rulebook.AcceptedTwice, Guards: lineHere},
	{From: RestrictedLC, Act: ActAccept, To: Accepted, Rule: rulebook.AcceptedTwice, Guards: lineHere},
	{From: InSection, Act: ActAccept, To: InSection, Rule: rulebook.AcceptedSectionOccupied, Guards: append([]Guard{noneLost}, lineHere...)},
	{From: Shunting, Act: ActAccept, To: Shunting, For: onDouble, Rule: rulebook.AcceptedSectionOccupied},
	{From: ShuntAsked, Act: ActAccept, To: Accepted, For: withToken, Rule: rulebook.AcceptedSectionOccupied,
		Says: "Line clear was given while a token for shunting was being asked for"},
	{From: ShuntReleased, Act: ActAccept, To: ShuntReleased, For: withToken, Rule: rulebook.AcceptedSectionOccupied,
		Says: "Line clear was given while a token is released for shunting"},
	{From: BlockedInside, Both: true, Act: ActAccept, To: Accepted, Rule: rulebook.AcceptedWhileBlocked},
	{From: BlockedOutside, Both: true, Act: ActAccept, To: Accepted, Rule: rulebook.AcceptedWhileBlocked},
	{From: Obstructed, Both: true, Act: ActAccept, To: Obstructed, Rule: rulebook.AcceptedWhileBlocked},
	{From: ShuntReleased, Opposed: true, Act: ActAccept, To: stay, For: withToken, Rule: rulebook.OpposingAcceptance,
		Says: "Line clear was given against a token released for shunting at the other end"},
	// An offer from there, said and not booked, while one from here stands.
	{From: Offered, Opposed: true, Act: ActAccept, To: Accepted, For: spoken, Rule: rulebook.AcceptanceNotOffered, Guards: acceptGuards},
	{From: anyPhase, Opposed: true, Act: ActAccept, To: stay, Rule: rulebook.OpposingAcceptance, Guards: []Guard{noneLost}},
	{From: Normal, Act: ActAcceptRestricted, To: RestrictedLC, Rule: rulebook.AcceptanceNotOffered},
	{From: Accepted, Act: ActAcceptRestricted, To: RestrictedLC, For: onDouble, Rule: rulebook.AcceptedTwice},
	{From: RestrictedLC, Act: ActAcceptRestricted, To: RestrictedLC, For: onDouble, Rule: rulebook.AcceptedTwice},
	{From: BlockedOutside, Act: ActAcceptRestricted, To: RestrictedLC, Rule: rulebook.AcceptedWhileBlocked},
	{From: Obstructed, Act: ActAcceptRestricted, To: Obstructed, Rule: rulebook.AcceptedWhileBlocked},
	{From: anyPhase, Act: ActAcceptRestricted, To: stay, Rule: rulebook.AcceptedSectionOccupied},
	{From: anyPhase, Opposed: true, Act: ActAcceptRestricted, To: stay, Rule: rulebook.OpposingAcceptance},

	// Trains let in.
	{From: ShuntReleased, Act: ActEnter, To: InSection, For: withToken, Rule: rulebook.TrainOnShuntToken},
	{From: ShuntReleased, Act: ActDepart, To: InSection, For: withToken, Rule: rulebook.TrainOnShuntToken},
	{From: BlockedInside, Act: ActEnter, To: BlockedInside, Rule: rulebook.EnteredWithoutAcceptance},
	{From: BlockedOutside, Act: ActEnter, To: BlockedOutside, Rule: rulebook.EnteredWithoutAcceptance},
	{From: BlockedInside, Act: ActDepart, To: BlockedInside, For: onDouble, Rule: rulebook.EnteredWithoutAcceptance},
	{From: BlockedOutside, Act: ActDepart, To: BlockedOutside, For: onDouble, Rule: rulebook.EnteredWithoutAcceptance},
	{From: anyPhase, Both: true, Act: ActEnter, To: InSection, Rule: rulebook.EnteredWithoutAcceptance},
	{From: anyPhase, Act: ActDepart, To: InSection, Rule: rulebook.EnteredWithoutAcceptance, Guards: []Guard{tokenOfSection, staffWithTrain, pilotToo}},
	{From: InSection, Opposed: true, Act: ActDepart, To: InSection, Rule: rulebook.EnteredWithoutAcceptance, Unless: []Guard{toAssist}, Guards: []Guard{tokenOfSection, staffWithTrain, noOpposing, pilotToo}},
	{From: anyPhase, Opposed: true, Act: ActDepart, To: InSection, Rule: rulebook.EnteredWithoutAcceptance, Guards: []Guard{tokenOfSection, staffWithTrain, noOpposing, pilotToo}},

	// Sections given out. An offer that stands may have been accepted, unbooked, and
	// its train have gone.
	{From: Offered, Act: ActOut, To: settled, Rule: rulebook.OutOfSectionNoTrain, Guards: []Guard{notYetAccepted}},
	{From: Accepted, Act: ActOut, To: stay, Rule: rulebook.OutOfSectionNoTrain, Guards: []Guard{notYetEntered}},
	{From: RestrictedLC, Act: ActOut, To: stay, Rule: rulebook.OutOfSectionNoTrain, Guards: []Guard{notYetEntered}},
	{From: Normal, Both: true, Act: ActOut, To: stay, For: withToken, Rule: rulebook.OutOfSectionNoTrain, Unless: []Guard{trainInside}, Guards: []Guard{nothingAnswered, broughtBySomething}},
	{From: anyPhase, Both: true, Act: ActOut, To: stay, Rule: rulebook.OutOfSectionNoTrain, Guards: []Guard{nothingAnswered, broughtBySomething}},

	// What there is nothing of.
	{From: anyPhase, Both: true, Act: ActCancel, To: stay, Rule: rulebook.CancelledNothing, Unless: []Guard{acceptedToo}},
	{From: anyPhase, Both: true, Act: ActRedescribe, To: stay, Rule: rulebook.CancelledNothing},
	{From: anyPhase, Both: true, Act: ActLineNowClear, To: stay, Rule: rulebook.AcceptanceNotOffered,
		Says: "Line now clear was given with no train accepted under the warning arrangement"},
	{From: anyPhase, Both: true, Act: ActRefuse, To: stay}, // to refuse is never against the regulations
	{From: Accepted, Act: ActBlockInside, To: BlockedInside, Rule: rulebook.BlockingBackTrainSignalled},
	{From: Accepted, Act: ActBlockOutside, To: BlockedOutside, Rule: rulebook.BlockingBackTrainSignalled},
	{From: RestrictedLC, Act: ActBlockInside, To: BlockedInside, For: onDouble, Rule: rulebook.BlockingBackTrainSignalled},
	{From: RestrictedLC, Act: ActBlockOutside, To: BlockedOutside, For: onDouble, Rule: rulebook.BlockingBackTrainSignalled},
	{From: anyPhase, Both: true, Act: ActBlockInside, To: stay, Rule: rulebook.BlockingBackTrainSignalled},
	{From: anyPhase, Both: true, Act: ActBlockOutside, To: stay, Rule: rulebook.BlockingBackTrainSignalled},
	{From: anyPhase, Both: true, Act: ActUnblock, To: stay, Rule: rulebook.NothingToRemove, Unless: []Guard{blockedBehind}},
	{From: anyPhase, Act: ActShunt, To: stay, For: onDouble, Rule: rulebook.OfferedBeforeOutOfSection, Says: shuntedInto},
	{From: anyPhase, Both: true, Act: ActShunt, To: stay, For: onSingle, Guards: []Guard{shuntAllowed, shuntIntoClear}},
	{From: anyPhase, Act: ActShuntBack, To: stay, For: onDouble, Rule: rulebook.ShuntNotWithdrawn,
		Says: "Shunt withdrawn was sent or received with no shunt in the section"},

	// Token instruments.
	{From: anyPhase, Both: true, Act: ActAskRelease, To: stay, For: withToken, Rule: rulebook.OfferedBeforeOutOfSection,
		Says: "A token was asked for shunting with a train signalled on the section"},
	{From: anyPhase, Both: true, Act: ActRelease, To: stay, For: withToken, Rule: rulebook.AcceptedSectionOccupied,
		Says: "A token was released for shunting with the section not clear, or with nothing asked"},
	{From: anyPhase, Both: true, Act: ActReplaced, To: stay, For: withToken, Rule: rulebook.ShuntReleaseNotAsked},
	{From: InSection, Both: true, Act: ActDraw, To: stay, For: withToken, Rule: rulebook.TokenDrawnBeforeClosed, Guards: []Guard{noTokenOut}},
	{From: Obstructed, Act: ActDraw, To: stay, For: withToken, Rule: rulebook.TokenOutWithoutRelease, Unless: []Guard{lineClearGiven}, Guards: drawGuards},
	{From: anyPhase, Both: true, Act: ActDraw, To: stay, For: withToken, Rule: rulebook.TokenOutWithoutRelease, Guards: []Guard{noTokenOut}},
	{From: anyPhase, Both: true, Act: ActRestore, To: stay, For: withToken, Guards: []Guard{numberOut}},
}
