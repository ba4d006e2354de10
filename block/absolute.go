package block

// Sources of the rows below, named once.
const (
	srcBasic    = "signalbox.org, Block system ch. 1, 2 and 3: basic principles, Regulation 4, clearing point"
	srcWarning  = "signalbox.org, Block system ch. 5: the warning arrangement"
	srcShunt    = "signalbox.org, Block system ch. 8: shunting"
	srcAlarm    = "signalbox.org, Block system ch. 9: alarms; signaller study cards (obstruction danger)"
	srcGNR      = "Great Northern Railway, Absolute Block Regulations, 1897"
	srcWinwick  = "Winwick Junction, 28 September 1934: is line clear not to be sent before train out of section"
	srcCancel   = "signaller study cards (cancelling); detail from memory: check your rule book"
	srcMemory   = refMemory
	srcCP       = refCommon
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
	{From: InSection, Act: ActBlockOutside, To: InSection, Rule: "blocking-back-train-signalled", Unless: []Guard{blockBehind}, Ref: srcMemory},
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
	{From: Normal, Act: ActEnter, To: InSection, Rule: "entered-without-acceptance", Unless: []Guard{byMessage}, Guards: []Guard{messageHeld, pilotWith}, Ref: srcBasic},

	// Working in wrong direction, to and from a train that has failed.
	{From: InSection, Act: ActDepart, To: InSection, Rule: "entered-without-acceptance", Unless: []Guard{wrongWayAgreed}, Ref: srcWrongWay},
	{From: Obstructed, Act: ActDepart, To: Obstructed, Rule: "entered-without-acceptance", Unless: []Guard{acceptedOrWrongWay}, Ref: srcWrongWay},
	{From: Normal, Act: ActDepart, To: InSection, Rule: "entered-without-acceptance", Unless: []Guard{messageOrWrongWay}, Guards: []Guard{messageHeld, pilotWith}, Ref: srcBasic},

	// Against the regulations.
	{From: Obstructed, Act: ActOffer, To: Obstructed, Rule: "offered-while-blocked", Ref: srcAlarm},
	{From: BlockedInside, Act: ActOffer, To: BlockedInside, Rule: "offered-while-blocked", Unless: []Guard{restrictedAuthorised}, Ref: srcBack},
	{From: BlockedOutside, Act: ActOffer, To: BlockedOutside, Rule: "offered-while-blocked", Ref: srcBack},
	{From: InSection, Act: ActOffer, To: InSection, Rule: "offered-before-out-of-section", Unless: []Guard{givenOut}, Regular: Offered, Ref: srcWinwick},
	{From: anyPhase, Act: ActOffer, To: stay, Rule: "offered-before-out-of-section", Ref: srcWinwick},

	{From: Normal, Act: ActAccept, To: Accepted, Rule: "acceptance-not-offered", Ref: srcGNR},
	{From: Accepted, Act: ActAccept, To: Accepted, Rule: "accepted-twice", Ref: srcGNR},
	{From: RestrictedLC, Act: ActAccept, To: Accepted, Rule: "accepted-twice", Ref: srcGNR},
	{From: InSection, Act: ActAccept, To: InSection, Rule: "accepted-section-occupied", Ref: srcBasic},
	{From: Shunting, Act: ActAccept, To: Shunting, Rule: "accepted-section-occupied", Ref: srcShunt},
	{From: BlockedInside, Act: ActAccept, To: Accepted, Rule: "accepted-while-blocked", Ref: srcBack},
	{From: BlockedOutside, Act: ActAccept, To: Accepted, Rule: "accepted-while-blocked", Ref: srcBack},
	{From: Obstructed, Act: ActAccept, To: Obstructed, Rule: "accepted-while-blocked", Ref: srcAlarm},
	{From: Normal, Act: ActAcceptRestricted, To: RestrictedLC, Rule: "acceptance-not-offered", Ref: srcGNR},
	{From: Accepted, Act: ActAcceptRestricted, To: RestrictedLC, Rule: "accepted-twice", Ref: srcGNR},
	{From: RestrictedLC, Act: ActAcceptRestricted, To: RestrictedLC, Rule: "accepted-twice", Ref: srcGNR},
	{From: InSection, Act: ActAcceptRestricted, To: InSection, Rule: "accepted-section-occupied", Ref: srcBasic},
	{From: Shunting, Act: ActAcceptRestricted, To: Shunting, Rule: "accepted-section-occupied", Ref: srcShunt},
	{From: BlockedOutside, Act: ActAcceptRestricted, To: RestrictedLC, Rule: "accepted-while-blocked", Ref: srcBack},
	{From: Obstructed, Act: ActAcceptRestricted, To: Obstructed, Rule: "accepted-while-blocked", Ref: srcAlarm},

	{From: anyPhase, Act: ActEnter, To: InSection, Rule: "entered-without-acceptance", Ref: srcBasic},
	{From: BlockedInside, Act: ActEnter, To: BlockedInside, Rule: "entered-without-acceptance", Ref: srcBack},
	{From: BlockedOutside, Act: ActEnter, To: BlockedOutside, Rule: "entered-without-acceptance", Ref: srcBack},
	{From: anyPhase, Act: ActDepart, To: InSection, Rule: "entered-without-acceptance", Ref: srcBasic},
	{From: BlockedInside, Act: ActDepart, To: BlockedInside, Rule: "entered-without-acceptance", Ref: srcBack},
	{From: BlockedOutside, Act: ActDepart, To: BlockedOutside, Rule: "entered-without-acceptance", Ref: srcBack},

	{From: Obstructed, Act: ActOut, To: Obstructed, Rule: "obstruction-danger-not-removed", Ref: srcAlarm},
	{From: BlockedInside, Act: ActOut, To: Normal, Rule: "out-of-section-no-train", Ref: srcBack},
	{From: BlockedOutside, Act: ActOut, To: Normal, Rule: "out-of-section-no-train", Ref: srcBack},
	{From: Accepted, Act: ActOut, To: stay, Rule: "out-of-section-no-train", Guards: []Guard{notYetEntered}, Ref: srcWinwick},
	{From: RestrictedLC, Act: ActOut, To: stay, Rule: "out-of-section-no-train", Guards: []Guard{notYetEntered}, Ref: srcWinwick},
	{From: anyPhase, Act: ActOut, To: stay, Rule: "out-of-section-no-train", Ref: srcBasic},

	{From: anyPhase, Act: ActCancel, To: stay, Rule: "cancelled-nothing", Ref: srcCancel},
	{From: anyPhase, Act: ActRedescribe, To: stay, Rule: "cancelled-nothing", Ref: srcMemory},
	{From: anyPhase, Act: ActLineNowClear, To: stay, Rule: "acceptance-not-offered", Ref: srcMemory},
	{From: anyPhase, Act: ActRefuse, To: stay, Ref: srcCP},
	{From: Accepted, Act: ActBlockInside, To: BlockedInside, Rule: "blocking-back-train-signalled", Ref: srcBack},
	{From: Accepted, Act: ActBlockOutside, To: BlockedOutside, Rule: "blocking-back-train-signalled", Ref: srcBack},
	{From: RestrictedLC, Act: ActBlockInside, To: BlockedInside, Rule: "blocking-back-train-signalled", Ref: srcBack},
	{From: RestrictedLC, Act: ActBlockOutside, To: BlockedOutside, Rule: "blocking-back-train-signalled", Ref: srcBack},
	{From: anyPhase, Act: ActBlockInside, To: stay, Rule: "blocking-back-train-signalled", Ref: srcBack},
	{From: anyPhase, Act: ActBlockOutside, To: stay, Rule: "blocking-back-train-signalled", Ref: srcBack},
	{From: anyPhase, Act: ActUnblock, To: stay, Rule: "nothing-to-remove", Ref: srcBack},
	{From: anyPhase, Act: ActShunt, To: stay, Rule: "offered-before-out-of-section", Ref: srcShunt},
	{From: anyPhase, Act: ActShuntBack, To: stay, Rule: "shunt-not-withdrawn", Ref: srcShunt},
}

// stay in a row leaves the phase as it was.
const stay Phase = 253
