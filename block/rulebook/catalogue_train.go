package rulebook

// The ids of the rules below. Scripts depend on their values: none is changed or dropped.
const (
	TailLampNotReported    RuleID = "tail-lamp-not-reported"
	TailLampOutNotReported RuleID = "tail-lamp-out-not-reported"
	StopAndExamineOmitted  RuleID = "stop-and-examine-omitted"

	TrainOverdue     RuleID = "train-overdue"
	TrainDetained    RuleID = "train-detained"
	PlaceFull        RuleID = "place-full"
	TrainNameAssumed RuleID = "train-name-assumed"
	TrainNameDiffers RuleID = "train-name-differs"

	StepNotBooked        RuleID = "step-not-booked"
	ReminderMissing      RuleID = "reminder-missing"
	ReminderRemovedEarly RuleID = "reminder-removed-early"

	WorkingByMessageNoMessage     RuleID = "working-by-message-no-message"
	ArrivalNotReported            RuleID = "arrival-not-reported"
	GearDisconnectedTrainPassed   RuleID = "gear-disconnected-train-passed"
	DisconnectionNotCountersigned RuleID = "disconnection-not-countersigned"
	TestingWhileSignalled         RuleID = "testing-while-signalled"

	BoxClosed                RuleID = "box-closed"
	ClosedWhileSignalled     RuleID = "closed-while-signalled"
	NobodyOnDuty             RuleID = "nobody-on-duty"
	NotQualified             RuleID = "not-qualified"
	DutyWithoutPIN           RuleID = "duty-without-pin"
	SignedWithoutPIN         RuleID = "signed-without-pin"
	EntryNotCountersigned    RuleID = "entry-not-countersigned"
	CountersignedByOwnHand   RuleID = "countersigned-by-own-hand"
	HandoverIncomplete       RuleID = "handover-incomplete"
	WorkedBeforeReconnection RuleID = "worked-before-reconnection"
)

// trainRules are the rules about trains themselves, their lamps and delays, and
// about failures, disconnections, reminders and the box.
var trainRules = []Rule{
	// Tail lamps.
	{ID: TailLampNotReported, Severity: Danger, Ref: srcCardsTailLamp,
		What: "A train passed without tail lamp and the two warning signals were not both sent.",
		Why:  "Vehicles may stand in the section, and the train ahead may be dividing further.",
		Do:   "Warn the box in advance and the box in rear now. Give no out of section."},
	{ID: TailLampOutNotReported, Severity: Irregular, Ref: srcCardsTailLamp,
		What: "A train passed with its tail lamp out and the box in advance was not told.",
		Why:  "He will take the train for one that is not complete, or will not look for it.",
		Do:   "Send the tail-lamp signal to the box in advance, and say by telephone that the lamp is carried but out."},

	{ID: StopAndExamineOmitted, Severity: Danger, Ref: srcEarlyList,
		What: "Stop and examine was received for a train, and it was let through.",
		Why:  "The box in rear saw something wrong with it: a fire, a load that has moved, a door open, a signal of distress.",
		Do:   "Have the box in advance stop it and examine it. Stop trains on the other line until it is known what is wrong."},
	// Delays.
	{ID: TrainOverdue, Severity: Advice, Ref: inGeneral + "6.04" + inBooks,
		What: "A train has been in the section longer than it should take.",
		Why:  "It may have failed, divided or met an obstruction.",
		Do:   "Ask the other box. Stop the next train on the other line and have its driver look out."},
	{ID: TrainDetained, Severity: Advice, Ref: srcRule55 + "; " + srcCardsDriver,
		What: "A train has been standing at a signal beyond the time allowed, with nothing booked about it.",
		Why:  "A train kept waiting out of sight is the one that is forgotten.",
		Do:   "Speak to the driver, put a reminder on, and book both."},
	{ID: PlaceFull, Severity: Advice, Ref: CommonPractice,
		What: "More trains are booked at this place than it holds.",
		Why:  "One of them stands somewhere else, or has left without being booked.",
		Do:   "Look where each train stands, and book it."},
	{ID: TrainNameAssumed, Severity: Advice, Ref: CommonPractice,
		What: "The entry names no train and it could be one of two: the first in order was taken.",
		Why:  "The row of the wrong train may have been filled.",
		Do:   "Write the train's name in the entry, or correct it."},
	{ID: TrainNameDiffers, Severity: Irregular, Ref: CommonPractice,
		What: "The entry names a train that is not on hand, where the book has another.",
		Why:  "It is another train than the one signalled, or the name was written wrongly: the rows of two trains may have run into one.",
		Do:   "Look which train it is. Correct the entry, or tell the other box if another train has gone."},

	// Reminders.
	{ID: StepNotBooked, Severity: Irregular, Ref: CommonPractice,
		What: "A step was not booked that a later entry shows to have been made.",
		Why:  "Until it showed, the book had a train or a block where there was none.",
		Do:   "Book it now as a late entry with the time it is written, if the time is known; otherwise note why it is missing."},
	{ID: ReminderMissing, Severity: Irregular, Ref: refQuintin,
		What: "Something is booked that calls for a reminder and none was put on.",
		Why:  "Without it the lever or instrument will sooner or later be worked by habit.",
		Do:   "Put the reminder on now, and book it."},
	{ID: ReminderRemovedEarly, Severity: Danger, Ref: refReminder + "; " + refQuintin,
		What: "A reminder was lifted while the reason for it still stands.",
		Why:  "The next movement of that lever or instrument is against the train or men it protected.",
		Do:   "Put the reminder back, and check what is standing."},

	// Failures and work on equipment.
	{ID: WorkingByMessageNoMessage, Severity: Danger, Ref: inManual + "8.4 to 8.6" + inBooks,
		What: "Trains are worked by message and no message is booked for this step.",
		Why:  "With the instruments out of use the written messages are all there is.",
		Do:   "Send the message, have it repeated back, and book it word for word with its time."},
	{ID: ArrivalNotReported, Severity: Advice, Ref: inGeneral + "14.10" + inBooks,
		What: "A message names a train in the section and does not say, in words known here, that it has arrived complete.",
		Why:  "By message the report of arrival is the only out of section. The train is taken as still in the section.",
		Do:   "Have the arrival reported in plain words, arrived complete with the time, and book it."},
	{ID: GearDisconnectedTrainPassed, Severity: Danger, Ref: refLock77 + "(b) and (c); Subsidiary Rule (India) 3.51.6" + inBooks,
		What: "A train passed over disconnected gear with no clamp and no handsignaller booked.",
		Why:  "Nothing held the points or stopped the train.",
		Do:   "Stop the next movement. Have the points secured and a handsignaller at his post, then book both."},
	{ID: DisconnectionNotCountersigned, Severity: Irregular, Ref: refLock77 + "(a)",
		What: "A disconnection is open and was not countersigned.",
		Why:  "The one who takes over may not know that the locking is disarranged.",
		Do:   "Read the entry, look at the gear concerned, and countersign."},
	{ID: TestingWhileSignalled, Severity: Danger, Ref: inManual + "7.3" + inBooks,
		What: "Bells or instruments were tested with a train signalled on the section.",
		Why:  "A test can release or free what protects the train.",
		Do:   "Stop testing. See that the indicators are right for the trains in hand."},

	// The box.
	{ID: BoxClosed, Severity: Irregular, Ref: srcBlock10,
		What: "The box is booked closed and was worked.",
		Why:  "Nobody is answerable for what was done.",
		Do:   "Open the box by bell and in the book before any signal is worked."},
	{ID: ClosedWhileSignalled, Severity: Danger, Ref: srcBlock10,
		What: "The box was closed or switched out with a train signalled.",
		Why:  "Nobody watches the train, and the neighbours' instruments do not know it.",
		Do:   "Open the box again until every train has cleared."},
	{ID: NobodyOnDuty, Severity: Irregular, Ref: refDuty,
		What: "Bells or signals were worked and nobody is booked on duty.",
		Why:  "The book does not say who answered for the trains.",
		Do:   "Book yourself on, with the true time."},
	{ID: NotQualified, Severity: Irregular, Ref: refLNER + "; St James 1913, https://dynamic-rsnz.natlib.govt.nz/newspapers/STEP19131018.2.22",
		What: "The box was worked, or an entry signed, by somebody whose part it is not.",
		Why:  "Only those appointed may work the instruments, and each signs for his own part.",
		Do:   "Have it done by one who may. Book who did it, and tell the supervisor."},
	{ID: DutyWithoutPIN, Severity: Irregular,
		What: "Somebody signed on without the personal number that this box asks for.",
		Why:  "The name alone may have been put in by anybody.",
		Do:   "Say who it was and why, as a remark on the entry. A number that is forgotten is set anew.",
		Ref:  "49 CFR 245.205(c)(2), https://law.lawstack.com/cfr/49/245.205/; 21 CFR 11.200(a)(1), http://www.betterchem.com/21cfr/2007/files/21cfr11-200.htm"},
	{ID: SignedWithoutPIN, Severity: Irregular, Ref: "21 CFR 11.200(a)(1), http://www.betterchem.com/21cfr/2007/files/21cfr11-200.htm",
		What: "Somebody signed an entry or the book, in the turn of another, without the personal number that this box asks for.",
		Why:  "That another hand signed is what it was wanted for, and the name alone may have been put in by anybody.",
		Do:   "Have him sign again with his number. One that is forgotten is set anew."},
	{ID: EntryNotCountersigned, Severity: Irregular, Ref: inManual + "annexure 1.1" + inBooks,
		What: "A transfer or correction was not countersigned by another hand.",
		Why:  "This box has a second person read what one alone has changed.",
		Do:   "Read the entry, ask whoever wrote it, and countersign."},
	{ID: CountersignedByOwnHand, Severity: Irregular, Ref: refLock77 + "(a)",
		What: "An entry was countersigned by the one who wrote it.",
		Why:  "A second signature by the same hand shows nothing.",
		Do:   "Have somebody else read the entry and countersign it."},
	{ID: HandoverIncomplete, Severity: Irregular, Ref: refDuty + "; " + refQuintin,
		What: "The relief signed on and trains, tokens, reminders or messages were not handed over.",
		Why:  "What the relief is not told he cannot protect.",
		Do:   "Go through the open items together, and book each as carried over or questioned."},
	{ID: WorkedBeforeReconnection, Severity: Irregular, Ref: "Subsidiary Rule 3.51.6 (South Central Railway), https://github.com/aomadda/aom",
		What: "The block was worked on an instrument that is recorded as disconnected.",
		Why:  "It has not been tested and handed back; what it shows may be wrong.",
		Do:   "Work by message until the reconnection is signed."},
}
