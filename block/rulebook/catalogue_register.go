package rulebook

// The ids of the rules below. Scripts depend on their values: none is changed or dropped.
const (
	EntryLate          RuleID = "entry-late"
	EntryOutOfOrder    RuleID = "entry-out-of-order"
	ClockUnchecked     RuleID = "clock-unchecked"
	ClockJumped        RuleID = "clock-jumped"
	CorrectionUnsigned RuleID = "correction-unsigned"

	ClockOffset          RuleID = "clock-offset"
	BellMissing          RuleID = "bell-missing"
	BellDiffers          RuleID = "bell-differs"
	TimeDiffers          RuleID = "time-differs"
	AcceptanceDiffers    RuleID = "acceptance-differs"
	NameDiffers          RuleID = "name-differs"
	MovementDiffers      RuleID = "movement-differs"
	WorkingDiffers       RuleID = "working-differs"
	PrivateNumberDiffers RuleID = "private-number-differs"
	BookPartMissing      RuleID = "book-part-missing"
	ObstructionDiffers   RuleID = "obstruction-differs"
	EntryBeforeDuty      RuleID = "entry-before-duty"
	RowLeftOpen          RuleID = "row-left-open"
	NameNotOfBox         RuleID = "name-not-of-box"
	TrainNotKnown        RuleID = "train-not-known"
)

// registerRules are the rules of keeping the book, and of two books compared.
var registerRules = []Rule{
	{ID: EntryLate, Severity: Irregular, Ref: refQuintin,
		What: "An entry was written well after it happened.",
		Why:  "What is written from memory or from slips may not be what happened.",
		Do:   "Write each entry at once. Note why this one is late."},
	{ID: EntryOutOfOrder, Severity: Irregular, Ref: CommonPractice,
		What: "An entry is timed before the one above it.",
		Why:  "The order of events can no longer be read from the book.",
		Do:   "Check the time. Correct it, or note why it stands here."},
	{ID: ClockUnchecked, Severity: Irregular, Ref: refShrivenham,
		What: "The daily clock check was not booked.",
		Why:  "Times cannot be compared with the neighbours' if the clock is not known to be right.",
		Do:   "Check the clock, and book how many minutes it is fast or slow."},
	{ID: ClockJumped, Severity: Irregular, Ref: CommonPractice,
		What: "The computer's clock was set, or was wrong before.",
		Why:  "Entries before this stand under the times that the wrong clock read.",
		Do:   "Correct the dates and times of those that are wrong, and note how the clock came to it."},
	{ID: CorrectionUnsigned, Severity: Irregular, Ref: refInks + "; " + inGeneral + "14.07(5)" + inBooks,
		What: "A correction was made and nobody on duty signed for it.",
		Why:  "A change that nobody owns looks like a change made to hide something.",
		Do:   "Have the person who made the correction sign it."},
	{ID: NameNotOfBox, Severity: Irregular, Ref: CommonPractice,
		What: "An entry names a box, line, place, signal, crossing or reminder that there is not here.",
		Why:  "What is written about it is judged as of nothing: a name miswritten hides what was done.",
		Do:   "Correct the entry if the name was miswritten. Else add the name to the box file."},
	{ID: TrainNotKnown, Severity: Irregular, Ref: CommonPractice,
		What: "A train is booked as come, and nothing in the book brought it.",
		Why:  "Either its bells were not booked, or it came without line clear.",
		Do:   "Ask the box it came from how it was signalled. Book what is missing, and from where it came; correct the name if it was miswritten."},

	// Two books compared.
	{ID: ClockOffset, Severity: Irregular, Ref: refShrivenham,
		What: "The clocks of the two boxes differ by a steady amount.",
		Why:  "Every time in one of the books is wrong by that much.",
		Do:   "Check both clocks by the time signal, and book the error."},
	{ID: BellMissing, Severity: Irregular, Ref: "GERT8000-TS1 1.2; read in study cards, https://api.brainscape.com/flashcards/the-rules-21216767/packs/23279830",
		What: "One book has a bell signal that the other has not.",
		Why:  "It was not sent, not heard or not booked.",
		Do:   "Ask both signallers, and have the missing entry explained."},
	{ID: BellDiffers, Severity: Irregular, Ref: refBells,
		What: "The two books have different beats for one bell signal.",
		Why:  "The two signallers understood different things.",
		Do:   "Ask both signallers what was sent and what was heard."},
	{ID: TimeDiffers, Severity: Irregular, Ref: refShrivenham,
		What: "The two books time one event differently by more than the clocks explain.",
		Why:  "One of the times was not taken when it happened.",
		Do:   "Compare the entries before and after it in both books."},
	{ID: AcceptanceDiffers, Severity: Irregular, Ref: refConnington,
		What: "One book has the train accepted in full, the other under the warning arrangement.",
		Why:  "The driver may not have been warned.",
		Do:   "Ask both signallers, and find out what the driver was told."},
	{ID: NameDiffers, Severity: Irregular, Ref: CommonPractice,
		What: "The two books have one train under different names.",
		Why:  "One of the signallers may have had another train in mind, or the name was misread.",
		Do:   "Compare the train's other entries in both books, and the timetable or notice."},
	{ID: WorkingDiffers, Severity: Irregular,
		What: "One book has that the section was worked otherwise, and the other has not.",
		Why:  "What is agreed between two boxes and written by one alone may have been known to one alone.",
		Do:   "Ask the other box what it was told and when, and explain it in both books.",
		Ref:  "Block Working Manual, part B, resetting of the axle counter; Tablet regulations, Swindon 1890, clause 23" + inBooks + "; blockages and keys: common practice"},
	{ID: PrivateNumberDiffers, Severity: Irregular, Ref: "Block Working Manual, annexure on paper line clear, 1.2(c) and 1.4" + inBooks,
		What: "The two books have different private numbers for one consent.",
		Why:  "The number is the proof that this consent was given: one box wrote another than it was told.",
		Do:   "Ask both signallers, and look at the number lists of both stations."},
	{ID: MovementDiffers, Severity: Irregular, Ref: CommonPractice,
		What: "The two books do not agree where a train was.",
		Why:  "A train that comes before it has left, or never comes, was written at a wrong time or was another one.",
		Do:   "Compare the train's other entries in both books."},
	{ID: ObstructionDiffers, Severity: Danger, Ref: refBells + "; that it is grave: common practice",
		What: "One book has obstruction danger, and the other has nothing of it.",
		Why:  "The other box may never have heard it, and may have sent or let go a train towards the obstruction.",
		Do:   "Ask both signallers at once what was rung and answered, and what was on the line."},
	{ID: BookPartMissing, Severity: Irregular, Ref: CommonPractice,
		What: "One book has signals for a time at which the other has no entries at all.",
		Why:  "What was worked then is known from one side only.",
		Do:   "Find the missing part: another volume, other days, or entries never written."},
	{ID: EntryBeforeDuty, Severity: Irregular, Ref: refQuintin,
		What: "An entry was written for a time before its writer signed on.",
		Why:  "He was not there and cannot know; times copied in later hide who worked the box.",
		Do:   "Say in a remark from whom the entry was taken, and have it signed by that person."},
	{ID: RowLeftOpen, Severity: Irregular, Ref: refWinwick,
		What: "A train's row was left open for a day, among many others.",
		Why:  "Where the train went is no longer to be read from the book.",
		Do:   "Write what became of it, as a late entry or a remark."},
}
