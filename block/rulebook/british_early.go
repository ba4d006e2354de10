package rulebook

// Where the British rows come from. The words before the address are enough to
// find the page again should the address die.
const (
	srcBlockCode  = "Railway block code, Wikipedia, https://en.wikipedia.org/wiki/Railway_block_code"
	srcLetters    = "Goods & Not So Goods, Bell codes & head codes (letter classes), http://igg.org.uk/gansg/3-sigs/bellhead.htm"
	srcEarlyList  = "British Railways signalbox methods, early list of bell codes, http://britishrailways.info/SIGNALBOX%20METHODS.htm"
	srcBlock3     = "J. Hinson, Block system ch. 3, https://signalbox.org/block-system/fouling-the-clearing-point/"
	srcBlock5     = "J. Hinson, Block system ch. 5, https://signalbox.org/block-system/the-warning-arrangement/"
	srcBlock7     = "J. Hinson, Block system ch. 7, https://signalbox.org/block/absolute07.htm"
	srcBlock8     = "J. Hinson, Block system ch. 8, https://signalbox.org/block-system/shunting/"
	srcBlock9     = "J. Hinson, Block system ch. 9, https://signalbox.org/block-system/alarms-and-excursions/"
	srcBlock10    = "J. Hinson, Block system ch. 10, https://signalbox.org/block-system/closing-the-box/"
	srcShortSect  = "RMweb, Distant signals in a very short section (Great Western and Western Region), https://www.rmweb.co.uk/community/index.php?/topic/156072-distant-signals-in-a-very-short-section/"
	srcGauge      = "J. Ford, out-of-gauge offers at Tipton Curve, 27 March 1965, https://janfordsworld.blogspot.com/2011/"
	srcRule55     = "Great Southern Railways Rule Book 1933, rule 55(a), https://trainweb.us/i3/gsr_rules/r55.htm"
	srcTimeSignal = "J. Ford, The Train Register Book (9.0 am, or 10.0 if missed), https://janfordsworld.blogspot.com/2011/11/train-register-book.html"

	// No British figure was found for these; the Indian one is published.
	srcNoAnswerAsIndia = "no British figure found; as Block Working Manual (South Central Railway) Part A 8.5(a), https://github.com/aomadda/aom"
	srcOverdueAsIndia  = "no British figure found; as General Rules (India) 6.04, https://github.com/aomadda/aom"
	srcTicketAsIndia   = "followed after train out of section; an interval only as General Rules (India) 12.03, https://github.com/aomadda/aom"
)

// Methods told apart by British rows.
var (
	onDoubleLine   = having(func(t Traits) bool { return (!t.Single || t.Piloted) && t.ByBell && !t.Described })
	onSingleLine   = having(func(t Traits) bool { return t.Single && !t.Piloted && (t.ByBell || !t.Offers) })
	onToken        = having(func(t Traits) bool { return t.Carries == CarriesToken })
	onTrackCircuit = having(func(t Traits) bool { return t.Described })
)

// britishEarly is the pattern of the Railway Clearing House companies and early
// British Railways, with the letter classes used until 1962. Where the letter
// table and the older Clearing House table give the same beats to different
// trains, the letter table stands and the Source says what the older one had:
// the two are never merged. Left out on purpose: 4-3 as cancelling, which one
// unconfirmed list has; 2-2-2 as trolley in tunnel, which was Southern only and
// elsewhere means something else; branch and routing codes of single boxes.
// Tokenless block came after the period.
var britishEarly = RuleSet{
	Name:    "british-early",
	Title:   "British, Railway Clearing House and early British Railways pattern, letter classes",
	Source:  "published lists and extracts only, no complete issue of the regulations: " + srcEarlyList + "; " + srcLetters,
	Methods: []Method{Absolute, Token, StaffAndTicket, OneTrain, ByTelephone, Permissive, SingleLineWorking},
	Codes: []CodeRow{
		{Code: "1", Means: CallAttention, Words: "call attention", NoAttention: true, Source: srcBlockCode},

		// Is line clear for ...?
		{Code: "4", Means: Offer, Words: "express passenger, or breakdown train going to clear the line (A)", Class: Passenger, From: Rear, Source: srcLetters},
		{Code: "3-1", Means: Offer, Words: "ordinary passenger or mixed train (B)", Class: Passenger, From: Rear, Source: srcLetters},
		{Code: "1-3", Means: Offer, Words: "branch passenger train, where authorised", Class: Passenger, From: Rear, Source: srcLetters},
		{Code: "3-1-3", Means: Offer, Words: "diesel rail bus", Class: Passenger, From: Rear, Source: srcLetters},
		{Code: "1-3-1", Means: Offer, Words: "parcels, fish, fruit or milk train of coaching stock (C)", Class: Freight, From: Rear, Source: srcLetters},
		{Code: "3-1-1", Means: Offer, Words: "express freight, brake on at least half the vehicles (C)", Class: Freight, From: Rear, Source: srcLetters},
		{Code: "2-2-1", Means: Offer, Words: "empty coaching stock (C)", Class: EmptyStock, From: Rear, Source: srcLetters},
		{Code: "5", Means: Offer, Words: "express freight, brake on at least one third (D)", Class: Freight, From: Rear,
			Source: srcLetters + "; before the letter classes livestock or perishables of coaching stock, " + srcEarlyList},
		{Code: "1-2-2", Means: Offer, Words: "express freight, partly vacuum braked (E)", Class: Freight, From: Rear,
			Source: srcLetters + "; before the letter classes a train requiring to stop in section, " + srcEarlyList},
		{Code: "2-2-3", Means: Offer, Words: "freight, ballast or officers' special requiring to stop in section", Class: Freight, From: Rear, Stops: true, Source: FromMemory},
		{Code: "3-2", Means: Offer, Words: "express freight, not fitted (F)", Class: Freight, From: Rear, Source: srcLetters},
		{Code: "2-3", Means: Offer, Words: "light engine or engines coupled (G)", Class: LightEngine, From: Rear, Source: srcLetters},
		{Code: "1-4", Means: Offer, Words: "through freight or ballast (H)", Class: Freight, From: Rear,
			Source: srcLetters + "; before the letter classes livestock or perishables of goods stock, " + srcEarlyList},
		{Code: "4-1", Means: Offer, Words: "mineral or empty wagons (J)", Class: Freight, From: Rear,
			Source: srcLetters + "; before the letter classes through goods, mineral or ballast, " + srcEarlyList},
		{Code: "3", Means: Offer, Words: "stopping freight, mineral or ballast (K)", Class: Freight, From: Rear, Source: srcLetters},
		{Code: "1-2", Means: Offer, Words: "branch freight, where authorised", Class: Freight, From: Rear, Source: srcLetters},
		{Code: "2-1-2", Means: Offer, Words: "trolley requiring to pass through tunnel", Class: Trolley, From: Rear, Warning: true, Stops: true, Source: srcEarlyList + "; " + srcBlock7},
		{Code: "2-6-1", Means: Offer, Words: "out-of-gauge load", Class: Freight, From: Rear, Gauge: 1, Source: srcGauge},
		{Code: "2-6-2", Means: Offer, Words: "out-of-gauge load, not to meet another", Class: Freight, From: Rear, Gauge: 2, Source: srcGauge},
		{Code: "2-6-3", Means: Offer, Words: "out-of-gauge load, opposite line to be blocked", Class: Freight, From: Rear, Gauge: 3, Source: srcGauge},

		// Answers to an offer other than its repetition.
		{Code: "3-5-5", Means: Restricted, Words: "section clear but station or junction blocked", From: Advance, NoAttention: true, Source: srcEarlyList + "; " + srcBlock5},
		{Code: "2-2-2", Means: ClearToClearingPoint, Words: "line clear to clearing point only (Western)", From: Advance, NoAttention: true, Source: srcShortSect},
		{Code: "3-3-5", Means: LineNowClear, Words: "line now clear", From: Advance, Source: FromMemory},

		// The train in the section.
		{Code: "1-2-1", Means: TrainApproaching, Words: "train approaching, where authorised", From: Rear, Source: FromMemory},
		{Code: "2", Means: Entering, Words: "train entering section", From: Rear, NoAttention: true, Source: srcEarlyList},
		{Code: "2-2", Means: AssistingInRear, Words: "engine assisting in rear of train", From: Rear, NoAttention: true, Source: srcEarlyList},
		{Code: "2-1", Means: OutOfSection, Words: "train out of section", From: Advance, Source: srcEarlyList + "; " + srcBlock3},
		{Code: "2-1", Means: ObstructionRemoved, Words: "obstruction removed", From: Advance, Source: srcEarlyList + "; " + srcBlock9},
		{Code: "2-1-3", Means: EngineArrived, Words: "light engine arrived", From: Advance, Source: srcLetters},
		{Code: "3-5", Means: Cancelling, Words: "cancelling", From: Rear, Source: FromMemory},
		{Code: "5-3", Means: WrongDescription, Words: "last train wrongly described", From: Rear, Source: FromMemory},
		{Code: "1-5-5", Means: ShuntForFollowing, Words: "shunt train for following train to pass", From: Rear, Source: srcEarlyList + "; " + srcLetters},

		// Shunting and blocking back.
		{Code: "3-3-2", Means: ShuntAhead, Words: "shunting into forward section", From: Rear, Source: srcBlock8},
		{Code: "8", Means: ShuntWithdrawn, Words: "shunt withdrawn", From: Rear, Source: srcBlock8},
		{Code: "3-2-3", Means: DrawnBack, Words: "train drawn back clear of section", From: Rear, Source: FromMemory},
		{Code: "2-4", Means: BlockBackInside, Words: "blocking back inside home signal", From: Advance, Source: srcEarlyList + "; " + srcBlock3},
		{Code: "3-3", Means: BlockBackOutside, Words: "blocking back outside home signal", From: Advance, Source: srcEarlyList + "; " + srcBlock3},
		{Code: "5-2", Means: ReleaseToken, Words: "release token for shunting", Methods: onToken, Source: FromMemory},
		{Code: "2-5", Means: TokenReplaced, Words: "token replaced", Methods: onToken, Source: FromMemory},

		// Emergency and irregular. Obstruction danger is sent without call
		// attention although the early list does not star it: ch. 9 says so.
		{Code: "6", Means: ObstructionDanger, Words: "obstruction danger", From: Advance, NoAttention: true, Methods: onDoubleLine, Source: srcEarlyList + "; " + srcBlock9},
		{Code: "6", Means: ObstructionDanger, Words: "obstruction danger", NoAttention: true, Methods: onSingleLine, Source: srcEarlyList + "; " + srcBlock9},
		{Code: "6-2", Means: LongInSection, Words: "train an unusually long time in section", Source: srcLetters},
		{Code: "7", Means: StopAndExamine, Words: "stop and examine train", Source: srcEarlyList},
		{Code: "9", Means: NoTailLampAhead, Words: "train passed without tail lamp, to box in advance", From: Rear, Source: srcEarlyList},
		{Code: "4-5", Means: NoTailLampRear, Words: "train passed without tail lamp, to box in rear", From: Advance, Source: srcEarlyList},
		{Code: "5-5", Means: DividedTrain, Words: "train divided", From: Rear, Source: srcEarlyList},
		{Code: "4-5-5", Means: RunawayRight, Words: "vehicles running away, right line", From: Rear, Methods: onDoubleLine, Source: srcEarlyList + "; " + srcBlockCode},
		{Code: "4-5-5", Means: RunawayRight, Words: "vehicles running away in the section", Methods: onSingleLine, Source: srcEarlyList + "; " + srcBlockCode},
		{Code: "2-5-5", Means: RunawayWrong, Words: "vehicles running away, wrong line", From: Advance, Methods: onDoubleLine, Source: srcEarlyList},
		{Code: "2-5-5", Means: RunawayWrong, Words: "vehicles running away, wrong direction", Methods: onSingleLine, Source: srcEarlyList},

		// The box, tests and staff.
		{Code: "5-5-5", Means: Opening, Words: "opening of signal box", Source: srcBlock10},
		{Code: "7-5-5", Means: Closing, Words: "closing of signal box", Source: srcBlock10},
		{Code: "5-5-7", Means: Closing, Words: "closing of signal box where the section signal is locked by the block", Source: FromMemory},
		{Code: "16", Means: Testing, Words: "testing bells and indicators", Source: srcBlock10},
		{Code: "5-5-5-5", Means: TestingSlots, Words: "testing slotted or controlled signals", Source: FromMemory},
		{Code: "8-5-5", Means: TimeSignal, Words: "time signal", Source: FromMemory},
		{Code: "9-5-5", Means: CallStaff, Words: "lampman or fogsignalman required", Source: FromMemory},
		{Code: "8-2", Means: DistantDefective, Words: "distant signal defective", Source: FromMemory},
		{Code: "2-8", Means: HomeDefective, Words: "home signal defective", Source: FromMemory},
	},
	Limits: Limits{
		ClockCheckGrace: {60 * Minute, srcTimeSignal},
		Detained:        {3 * Minute, srcRule55}, // and again: rule 55 keeps the man in the box instead
	}.orUsual(),
	ClearingPoint:       Yards(440),
	ClearingPointSource: "quarter of a mile beyond the home signal, " + srcBlock3,
	StaffFollow:         FollowBlock,
	Abroad:              indianBooks,
	DetainedAtOnceInFog: true, // rule 55(a), Great Southern Railways 1933
	Clauses: map[RuleID]string{
		AcceptedSectionOccupied:        "Regulation 4",
		AcceptedClearingPointFouled:    "Regulation 4",
		AcceptedConditionUnmet:         "Regulation 4A where it applied (Western Region)",
		RestrictedAcceptanceNotAllowed: "Regulation 5",
		TrainNotWarned:                 "Regulation 5",
		IndicatorNotTrainOnLine:        "General regulations for the absolute block, Great Northern Railway 1897",
		LineClearWithdrawn:             "General regulations for the absolute block, Great Northern Railway 1897",
		LineClearNotAccepted:           "General regulations for the absolute block, Great Northern Railway 1897",
		NotQualified:                   "Regulations for train signalling, London & North Eastern Railway form 1009/1",
		TrainDetained:                  "Rule 55(a), Great Southern Railways 1933",
		DisconnectionNotCountersigned:  "Rule 77(a), Great Southern Railways 1933",
		GearDisconnectedTrainPassed:    "Rule 77(b) and (c), Great Southern Railways 1933",
		PilotMissing:                   "Rules 191 and 192, Great Southern Railways 1933",
		LoopSignalEarly:                "Tablet regulations 1890, clause 3; Callander & Oban tablet regulations, rule 3",
		TokenLowStock:                  "Tablet regulations 1890, clause 36: fewer than five of thirty",
		TokenCountDiffers:              "Tablet regulations 1890, clause 36",
		NotAcknowledged:                "Tablet regulations 1890, clause 4",
		AcknowledgedWrongly:            "Tablet regulations 1890, clause 4",
		AcceptanceDiffers:              "Regulations 4 and 5, the column of the register",
		ClockUnchecked:                 "Instruction 2 in the register reproduced with the Quintinshill papers",
	},
}
