package rulebook

// Where the rows of the later British set come from, beside those of british_early.go.
const (
	srcCardsTS1      = "GERT8000-TS1 2.2; read in study cards, https://api.brainscape.com/flashcards/the-rules-21216767/packs/23279830"
	srcCardsDanger   = "GERT8000-TS3, obstruction danger; read in study cards, https://brainscape.com/flashcards/week-6-test-9313848/packs/16367878"
	srcCardsTailLamp = "GERT8000-TS3, train passed without tail lamp; read in study cards, https://brainscape.com/flashcards/train-passed-without-a-tail-lamp-11020364/packs/19575252"
	srcCardsBlocking = "GERT8000-TS3, blocking back; read in study cards, https://brainscape.com/flashcards/blocking-back-17768517/packs/22574965"
	srcCardsWrong    = "GERT8000-TS3, working in wrong direction; read in study cards, https://api.brainscape.com/flashcards/working-in-wrong-direction-16109296/packs/22090649"
	srcCardsDriver   = "Driver rules, detained at a signal; read in study cards, https://www.cram.com/flashcards/driver-rules-week-6-5640739"

	// The beats and the kind of train are published, the class number is not.
	srcNumbered = srcBlockCode + "; class number from memory"
)

// britishLater is the British Railways 1972 pattern and the current rule book
// GERT8000 so far as published: number classes, 3-5 cancelling, 2-1-2
// obstruction removed, 1-2 for the telephone. Codes sent without call attention
// are exactly those of TS1 2.2. Codes of single boxes are left out: a box adds
// its own with its own source. Staff and ticket has no module of its own in the
// current book but is worked with block to this day (Romney Sands, 2019).
// Tokenless block is that with an instrument or acceptance lever at both ends;
// the Scottish Region's was not found and is not covered.
var britishLater = RuleSet{
	Name:    "british-later",
	Title:   "British, British Railways 1972 pattern and current GERT8000, number classes",
	Source:  "published extracts, change summaries and study cards only, no complete issue of the modules: " + srcCardsTS1 + "; " + srcBlockCode,
	Methods: []Method{Absolute, Token, StaffAndTicket, OneTrain, Tokenless, ByTelephone, TrackCircuit, Permissive, SingleLineWorking},
	Codes: []CodeRow{
		{Code: "1", Means: CallAttention, Words: "call attention", NoAttention: true, Source: srcBlockCode},

		// Is line clear for ...?
		{Code: "4", Means: Offer, Words: "express passenger train (class 1)", Class: Passenger, From: Rear, Source: srcNumbered},
		{Code: "3-1", Means: Offer, Words: "ordinary passenger train (class 2)", Class: Passenger, From: Rear, Source: srcNumbered},
		{Code: "1-3-1", Means: Offer, Words: "parcels or other train specially authorised (class 3)", Class: Freight, From: Rear, Source: FromMemory},
		{Code: "3-1-1", Means: Offer, Words: "express freight (class 4)", Class: Freight, From: Rear, Source: srcNumbered},
		{Code: "2-2-1", Means: Offer, Words: "empty coaching stock (class 5)", Class: EmptyStock, From: Rear, Source: srcNumbered},
		{Code: "5", Means: Offer, Words: "freight up to 60 mph (class 6)", Class: Freight, From: Rear, Source: FromMemory},
		{Code: "4-1", Means: Offer, Words: "freight up to 45 mph (class 7)", Class: Freight, From: Rear,
			Source: srcBlockCode + " (mineral or empty wagons); speed and class number from memory"},
		{Code: "3-2", Means: Offer, Words: "freight up to 35 mph (class 8)", Class: Freight, From: Rear, Source: FromMemory},
		// Class 9 was unfitted freight and is now passenger where specially
		// authorised; read as passenger, the more careful of the two.
		{Code: "1-4", Means: Offer, Words: "class 9 as locally authorised", Class: Passenger, From: Rear, Source: FromMemory},
		{Code: "3", Means: Offer, Words: "stopping freight", Class: Freight, From: Rear, Source: srcBlockCode},
		{Code: "2-3", Means: Offer, Words: "light engine (class 0)", Class: LightEngine, From: Rear, Source: srcNumbered},
		{Code: "3-2-5", Means: Offer, Words: "freightliner", Class: Freight, From: Rear, Source: srcLetters},
		{Code: "2-2-3", Means: Offer, Words: "train requiring to stop in section", Class: Freight, From: Rear, Stops: true, Source: FromMemory},
		{Code: "2-6-1", Means: Offer, Words: "out-of-gauge load", Class: Freight, From: Rear, Gauge: 1, Source: srcGauge},
		{Code: "2-6-2", Means: Offer, Words: "out-of-gauge load, not to meet another", Class: Freight, From: Rear, Gauge: 2, Source: srcGauge},
		{Code: "2-6-3", Means: Offer, Words: "out-of-gauge load, opposite line to be blocked", Class: Freight, From: Rear, Gauge: 3, Source: srcGauge},

		// Answers to an offer other than its repetition.
		{Code: "3-5-5", Means: Restricted, Words: "restricted acceptance: section clear but station or junction blocked", From: Advance, NoAttention: true, Source: srcCardsTS1 + "; " + srcBlock5},
		{Code: "3-3-5", Means: LineNowClear, Words: "line now clear", From: Advance, Source: FromMemory},

		// The train in the section.
		{Code: "1-2-1", Means: TrainApproaching, Words: "train approaching, where authorised", From: Rear, Source: FromMemory},
		{Code: "2", Means: Entering, Words: "train entering section", From: Rear, NoAttention: true, Source: srcCardsTS1},
		{Code: "2-2", Means: AssistingInRear, Words: "engine assisting in rear of train", From: Rear,
			Source: srcEarlyList + " (there without call attention); with it since the list of " + srcCardsTS1 + " has it not"},
		{Code: "2-1", Means: OutOfSection, Words: "train out of section", From: Advance, Source: srcBlock3 + "; " + srcCardsTailLamp},
		{Code: "2-1-2", Means: ObstructionRemoved, Words: "obstruction removed", From: Advance, Source: srcCardsDanger + "; older books have 2-1, J. Hinson, Block system ch. 9"},
		{Code: "2-1", Means: ObstructionRemoved, Words: "obstruction removed, in books that have no signal of its own for it", From: Advance, Source: srcBlock9 + "; the other reading, 2-1-2, is that of the current module as read in study cards"},
		{Code: "2-1-3", Means: EngineArrived, Words: "light engine arrived", From: Advance, Source: srcLetters},
		{Code: "3-5", Means: Cancelling, Words: "cancelling", From: Rear, Source: srcCardsDanger + "; " + srcBlock8},
		{Code: "5-3", Means: WrongDescription, Words: "last train wrongly described", From: Rear, Source: FromMemory},
		{Code: "1-5-5", Means: ShuntForFollowing, Words: "shunt train for following train to pass", From: Rear, Source: srcLetters},

		// Shunting, blocking back, wrong-direction working.
		{Code: "3-3-2", Means: ShuntAhead, Words: "shunting into forward section", From: Rear, Source: srcBlock8},
		{Code: "8", Means: ShuntWithdrawn, Words: "shunt withdrawn", From: Rear, Source: srcBlock8},
		{Code: "3-2-3", Means: DrawnBack, Words: "train drawn back clear of section", From: Rear, Source: FromMemory},
		{Code: "2-4", Means: BlockBackInside, Words: "blocking back inside home signal", From: Advance, Source: srcBlock3 + "; " + srcCardsBlocking},
		{Code: "3-3", Means: BlockBackOutside, Words: "blocking back outside home signal", From: Advance, Source: srcBlock3 + "; " + srcCardsBlocking},
		{Code: "2-3-3", Means: WrongDirection, Words: "working in wrong direction", From: Rear, Methods: onDoubleLine, Source: srcCardsWrong},
		{Code: "5-2", Means: ClearOfSection, Words: "train clear of section", Methods: onDoubleLine, Source: srcCardsWrong},
		{Code: "5-2", Means: ReleaseToken, Words: "release token", Methods: onToken, Source: srcBlockCode},
		{Code: "2-5", Means: TokenReplaced, Words: "token replaced", Methods: onToken, Source: srcBlockCode},

		// Emergency and irregular.
		{Code: "6", Means: ObstructionDanger, Words: "obstruction danger", From: Advance, NoAttention: true, Methods: onDoubleLine, Source: srcCardsTS1 + "; " + srcCardsDanger},
		{Code: "6", Means: ObstructionDanger, Words: "obstruction danger", NoAttention: true, Methods: onSingleLine, Source: srcCardsTS1 + "; " + srcBlockCode},
		{Code: "6", Means: ObstructionDanger, Words: "emergency alarm", NoAttention: true, Methods: onTrackCircuit, Source: srcCardsTS1},
		{Code: "4-5-5", Means: RunawayRight, Words: "train proceeding without authority, right direction", NoAttention: true, Methods: onTrackCircuit, Source: srcCardsTS1},
		{Code: "2-5-5", Means: RunawayWrong, Words: "train proceeding without authority, wrong direction", NoAttention: true, Methods: onTrackCircuit, Source: srcCardsTS1},
		{Code: "1-1-6", Means: Police, Words: "police assistance urgently required", NoAttention: true, Source: srcCardsTS1},
		{Code: "1-2", Means: Telephone, Words: "signaller required on telephone", NoAttention: true, Source: srcCardsTS1},
		{Code: "6-2", Means: LongInSection, Words: "train an unusually long time in section", Source: srcLetters},
		{Code: "7", Means: StopAndExamine, Words: "stop and examine train", Source: srcEarlyList},
		{Code: "9", Means: NoTailLampAhead, Words: "train passed without tail lamp, to box in advance", From: Rear, Source: srcCardsTailLamp},
		{Code: "4-5", Means: NoTailLampRear, Words: "train passed without tail lamp, to box in rear", From: Advance, Source: srcCardsTailLamp},
		{Code: "5-5", Means: DividedTrain, Words: "train divided", From: Rear, Source: srcEarlyList},
		{Code: "4-5-5", Means: RunawayRight, Words: "train proceeding without authority, right direction", From: Rear, NoAttention: true, Methods: onDoubleLine, Source: srcCardsTS1},
		{Code: "4-5-5", Means: RunawayRight, Words: "train proceeding without authority in the section", NoAttention: true, Methods: onSingleLine, Source: srcCardsTS1 + "; " + srcBlockCode},
		{Code: "2-5-5", Means: RunawayWrong, Words: "train proceeding without authority, wrong direction", From: Advance, NoAttention: true, Methods: onDoubleLine, Source: srcCardsTS1},
		{Code: "2-5-5", Means: RunawayWrong, Words: "train proceeding without authority, wrong direction", NoAttention: true, Methods: onSingleLine, Source: srcCardsTS1 + "; " + srcBlockCode},

		// The box, tests and staff.
		{Code: "5-5-5", Means: Opening, Words: "opening of signal box", Source: srcBlock10 + "; " + srcBlockCode},
		{Code: "7-5-5", Means: Closing, Words: "closing of signal box", Source: srcBlock10 + "; " + srcBlockCode},
		{Code: "5-5-7", Means: Closing, Words: "closing of signal box where the section signal is locked by the block", Source: FromMemory},
		{Code: "16", Means: Testing, Words: "testing bells and indicators", Source: srcBlockCode + "; " + srcBlock10},
		{Code: "5-5-5-5", Means: TestingSlots, Words: "testing slotted or controlled signals", Source: FromMemory},
		{Code: "8-5-5", Means: TimeSignal, Words: "time signal", Source: FromMemory},
		{Code: "9-5-5", Means: CallStaff, Words: "lampman or fogsignalman required", Source: FromMemory},
		{Code: "8-2", Means: DistantDefective, Words: "distant signal defective", Source: FromMemory},
		{Code: "2-8", Means: HomeDefective, Words: "home signal defective", Source: FromMemory},
	},
	Limits: Limits{
		ClockCheckGrace: {60 * Minute, srcTimeSignal},
		Detained:        {2 * Minute, srcCardsDriver},
		DetainedAgain:   {5 * Minute, srcCardsDriver},
	}.orUsual(),
	ClearingPoint:       Yards(440),
	ClearingPointSource: "quarter of a mile beyond the home signal, " + srcBlock3,
	StaffFollow:         FollowBlock,
	Abroad:              indianBooks,
	DetainedAtOnceInFog: true, // rule 55(a), Great Southern Railways 1933
	Clauses: map[RuleID]string{
		AcceptedClearingPointFouled: "GERT8000-TS3 3.4.1; read in study cards",
		AcceptedWhileBlocked:        "GERT8000-TS1 13.2.4 for a line blockage, as summarised by RSSB; GERT8000-TS3, blocking back; read in study cards",
		BellMissing:                 "GERT8000-TS1 1.2; read in study cards",
		CallAttentionOmitted:        "GERT8000-TS1 2.2; read in study cards",
		GearDisconnectedTrainPassed: "GERT8000-TS11",
		HandoverIncomplete:          "GERT8000-TS1 1.3; read in study cards",
		NobodyOnDuty:                "GERT8000-TS1 1.3; read in study cards",
		NotBlockedBack:              "GERT8000-TS3, blocking back; read in study cards",
		ObstructionDangerNotSent:    "GERT8000-TS3, obstruction danger; read in study cards",
		OutOfSectionTailLampNotSeen: "GERT8000-TS3, train passed without tail lamp; read in study cards",
		PilotMissing:                "GERT8000-P2",
		ReminderMissing:             "GERT8000-TS1 3.5; read in study cards",
		SectionNotProvedClear:       "GERT8000-TS3, train passed without tail lamp; read in study cards",
		TailLampNotReported:         "GERT8000-TS3, train passed without tail lamp; read in study cards",
		TailLampOutNotReported:      "GERT8000-TS3, train passed without tail lamp; read in study cards",
		TrainDetained:               "driver rules, detained at a signal; read in study cards",
		WorkingByMessageNoMessage:   "GERT8000-TS11",
		WrongSideSignal:             "GERT8000-TS3, train passed without tail lamp; read in study cards",
	},
}
