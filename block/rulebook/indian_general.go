package rulebook

// Where the Indian rows come from: a public transcription of the General and
// Subsidiary Rules 2020 and the Block Working Manual 2005 of one zonal railway,
// taken to be South Central Railway from the places the text names.
const (
	srcGeneral1405 = "General Rules (India) 14.05, https://github.com/aomadda/aom"
	srcManualA23   = srcGeneral1405 + "; Block Working Manual Part A 2.3"
	srcValsad      = srcGeneral1405 + "; double-line working Dungri-Valsad p. 17, https://www.hitpages.com/doc/4508374557261824/17/"
	srcRefusal     = "Block Working Manual Part A 5.1, https://github.com/aomadda/aom"
	srcGeneral604  = "General Rules (India) 6.04, https://github.com/aomadda/aom"
	srcGeneral1203 = "General Rules (India) 12.03, https://github.com/aomadda/aom"
	srcNoAnswer    = "Block Working Manual Part A 8.5(a), https://github.com/aomadda/aom"
	srcAdequate    = "General Rules (India) 8.01(2), two-aspect signalling, https://github.com/aomadda/aom"
)

// indianBooks are the words by which a reference to them is known.
var indianBooks = []string{"India", "Block Working Manual", "Subsidiary Rule"}

// indianGeneral is the Indian General Rules with a Block Working Manual. One
// code offers every class of train; class and number go by telephone and the
// consent carries a private number. Train entering and train out of section are
// preceded by call attention (Manual Part A 3.2); 6 is sent without it, as in
// every set. Where block-proving axle counters exist 3 and 4 are not needed (14.05
// note 2): they are not missed there, and only written down.
var indianGeneral = RuleSet{
	Name:    "indian-general",
	Title:   "Indian, General Rules and Block Working Manual",
	Source:  "General and Subsidiary Rules 2020 and Block Working Manual 2005 as amended to 2024, one zonal railway, public transcription, https://github.com/aomadda/aom",
	Methods: []Method{Absolute, Token, StaffAndTicket, OneTrain, Tokenless, ByTelephone, AxleCounter},
	Codes: []CodeRow{
		{Code: "1", Means: CallAttention, Words: "call attention, attend telephone", NoAttention: true, Source: srcManualA23},
		{Code: "2", Means: Offer, Words: "is line clear (line clear enquiry)", From: Rear, Source: srcManualA23},
		{Code: "3", Means: Entering, Words: "train entering block section", From: Rear, Source: srcValsad},
		{Code: "4", Means: OutOfSection, Words: "train out of block section", From: Advance, Source: srcManualA23},
		{Code: "4", Means: ObstructionRemoved, Words: "obstruction removed", From: Advance, Source: srcManualA23},
		{Code: "5", Means: Cancelling, Words: "cancel last signal, signal given in error", Source: srcManualA23},
		{Code: "6", Means: ObstructionDanger, Words: "obstruction danger", From: Advance, NoAttention: true, Methods: onDoubleLine, Source: srcGeneral1405},
		{Code: "6", Means: ObstructionDanger, Words: "obstruction danger", NoAttention: true, Methods: onSingleLine, Source: srcManualA23},
		{Code: "6", Means: NotClear, Words: "line not clear", From: Advance, NoAttention: true, Methods: []Method{Token, Tokenless}, Source: srcRefusal},
		{Code: "6-1", Means: StopAndExamine, Words: "stop and examine train", Source: srcManualA23},
		{Code: "6-2", Means: NoTailLampAhead, Words: "train passed without tail lamp or tail board, to station in advance", From: Rear, Source: srcManualA23},
		{Code: "6-2", Means: NoTailLampRear, Words: "train passed without tail lamp or tail board, to station in rear", From: Advance, Source: srcManualA23},
		{Code: "6-3", Means: DividedTrain, Words: "train divided", Source: srcManualA23},
		{Code: "6-4", Means: RunawayWrong, Words: "vehicles running away, wrong direction", From: Advance, Methods: onDoubleLine, Source: srcGeneral1405},
		{Code: "6-4", Means: RunawayWrong, Words: "vehicles running away into the section", Methods: onSingleLine, Source: srcManualA23},
		{Code: "6-5", Means: RunawayRight, Words: "vehicles running away, right direction", From: Rear, Methods: onDoubleLine, Source: srcGeneral1405},
		{Code: "16", Means: Testing, Words: "testing", Source: srcManualA23},
	},
	Limits: Limits{
		AnswerAfter:    {5 * Minute, srcNoAnswer},
		OverduePass:    {10 * Minute, srcGeneral604},
		OverdueFreight: {20 * Minute, srcGeneral604},
		DetainedAgain:  {5 * Minute, FromMemory},
		TicketInterval: {15 * Minute, srcGeneral1203},
	}.orUsual(),
	PrivateNumbers:      true,
	TellTokenNumber:     true,
	RoundUp:             true,
	RefuseNeedsReason:   true, // Block Working Manual Part A 5.1(c)
	HeldAfterCancelling: true, // General Rules (India) 14.22
	CountersHandedOver:  true, // Block Working Manual Part A 2.6
	SuspendedOnLoss:     true, // Block Working Manual Part A 8.1(l), 3.16(f)
	SurrenderFirst:      true, // General Rules (India) 14.12(1)(c)
	ClearingPoint:       Metres(400),
	ClearingPointSource: srcAdequate,
	OneWayLoop:          true, // General Rules (India) 8.03 note
	StaffFollow:         FollowInterval,
	Clauses: map[RuleID]string{
		CounterResetTrainInSection:    "Block Working Manual Part B, reset of the axle counter",
		CounterNotProved:              "Subsidiary Rule 3.68.8",
		SectionFreedNoTrain:           "Block Working Manual Part B 3.5(A)",
		ShuntKeyTrainSignalled:        "Block Working Manual Part B 1.4",
		AcceptedSectionOccupied:       "General Rules 8.03(2), Block Working Manual Part A 3.12(a)",
		AcceptedTwice:                 "Block Working Manual Part A 3.12(b)",
		AcceptedClearingPointFouled:   "General Rules 8.01(2) and 8.03(2)",
		AcceptedWhileBlocked:          "Block Working Manual Part A 5.2",
		AcknowledgedWrongly:           "General Rules 14.06",
		AuthorityBeforeCrossing:       "General Rules 14.11(4)",
		CancelledTrainNotHeld:         "General Rules 14.22",
		CancelledAfterEntering:        "Block Working Manual Part A 3.3",
		CodeUnknown:                   "Block Working Manual Part A 2.5",
		CorrectionUnsigned:            "General Rules 14.07(5)",
		EnteredWithoutAcceptance:      "General Rules 6.06, Block Working Manual Part A 8.1(n) and (o)",
		EnteredWithoutToken:           "General Rules 6.06, Subsidiary Rule 6.06.1",
		EntryLate:                     "General Rules 14.07(2)",
		EntryOutOfOrder:               "General Rules 14.07(3)",
		GearDisconnectedTrainPassed:   "Subsidiary Rules 3.51.6 and 3.51.7",
		DisconnectionNotCountersigned: "Subsidiary Rule 3.51.6",
		HandoverIncomplete:            "Block Working Manual Part A 2.9, Subsidiary Rule 14.07",
		LoopSignalEarly:               "General Rules 3.47",
		NotAcknowledged:               "General Rules 14.06",
		NotQualified:                  "General Rules 14.11(2)",
		OfferedBeforeOutOfSection:     "Block Working Manual Part A 3.8(b) and 3.9(a)",
		OfferedWhileBlocked:           "Block Working Manual Part A 5.2",
		OpposingAcceptance:            "Block Working Manual Part A 3.9(c) and 3.12(c)",
		OutOfSectionTailLampNotSeen:   "General Rules 14.10, Block Working Manual Part A 5.7",
		OutOfSectionTokenNotIn:        "Block Working Manual Part A 3.2(A) steps 24 to 27",
		OutOfSectionTrainNotArrived:   "General Rules 14.10",
		PilotMissing:                  "General Rules 11.01 and 11.04",
		PrivateNumberMissing:          "Block Working Manual Part A 3.9(d) and 3.12(d)",
		PrivateNumberRepeated:         "Block Working Manual Part A 3.22",
		RefusedWithoutReason:          "Block Working Manual Part A 5.1(c)",
		SectionNotProvedClear:         "Block Working Manual Part A 8.10(b)",
		StaffElsewhere:                "General Rules 12.08, Subsidiary Rule 13.03.1.4",
		TailLampNotReported:           "Block Working Manual Part A 5.7",
		TestingWhileSignalled:         "Block Working Manual Part A 7.3",
		TicketWithoutStaff:            "General Rules 12.01(b)",
		TokenCancelledWhileOut:        "Block Working Manual Part A 3.3(A)",
		TokenCountDiffers:             "Block Working Manual Part A 7.7(a) and (b)",
		TokenInAtSendingEnd:           "General Rules 14.12(2)(c), Block Working Manual Part A 3.3(B)",
		TokenIssuedBeforeSurrender:    "General Rules 14.12(1)(c), Block Working Manual Part A 3.16(a)",
		TokenLostOrDamaged:            "Block Working Manual Part A 3.16(e)(iii) and 8.2",
		TokenNotTold:                  "Block Working Manual Part A 3.2(A)",
		WorkedWithTokenLost:           "Block Working Manual Part A 8.1(l) and 3.16(f)",
		TokenLowStock:                 "Block Working Manual Part A 7.7(c): falls to six",
		TokenNumberDiffers:            "General Rules 14.12(2)(a), Block Working Manual Part A 3.19(a)(iii)",
		TokenOutWithoutRelease:        "Block Working Manual Part A 3.2(A) and 8.1(e)",
		TokenWrongSection:             "General Rules 14.09, Block Working Manual Part A 3.21 and 8.1(m)",
		TrainOverdue:                  "General Rules 6.04",
		WorkingByMessageNoMessage:     "Block Working Manual Part A 8.4 to 8.6",
	},
}
