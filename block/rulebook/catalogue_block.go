package rulebook

// The ids of the rules below. Scripts depend on their values: none is changed or dropped.
const (
	AcceptedSectionOccupied        RuleID = "accepted-section-occupied"
	AcceptedTwice                  RuleID = "accepted-twice"
	AcceptedClearingPointFouled    RuleID = "accepted-clearing-point-fouled"
	AcceptedWhileBlocked           RuleID = "accepted-while-blocked"
	AcceptedConditionUnmet         RuleID = "accepted-condition-unmet"
	AcceptanceNotOffered           RuleID = "acceptance-not-offered"
	RestrictedAcceptanceNotAllowed RuleID = "restricted-acceptance-not-allowed"
	RestrictedAcceptancePassenger  RuleID = "restricted-acceptance-passenger"
	WarningArrangementOmitted      RuleID = "warning-arrangement-omitted"
	TrainNotWarned                 RuleID = "train-not-warned"

	OfferedBeforeOutOfSection RuleID = "offered-before-out-of-section"
	OfferedWhileBlocked       RuleID = "offered-while-blocked"
	OpposingAcceptance        RuleID = "opposing-acceptance"

	EnteredWithoutAcceptance  RuleID = "entered-without-acceptance"
	EnteredWhileBlocked       RuleID = "entered-while-blocked"
	WrongTrainEntered         RuleID = "wrong-train-entered"
	EnteringTwice             RuleID = "entering-twice"
	EnteringNotSent           RuleID = "entering-not-sent"
	SignalOffWithoutLineClear RuleID = "signal-off-without-line-clear"
	SignalOffTwice            RuleID = "signal-off-twice"
	SignalTrainAhead          RuleID = "signal-train-ahead"

	OutOfSectionTrainNotArrived     RuleID = "out-of-section-train-not-arrived"
	OutOfSectionTailLampNotSeen     RuleID = "out-of-section-tail-lamp-not-seen"
	OutOfSectionClearingPointFouled RuleID = "out-of-section-clearing-point-fouled"
	OutOfSectionNoTrain             RuleID = "out-of-section-no-train"
	RunningTimeShort                RuleID = "running-time-short"
	LineNotExamined                 RuleID = "line-not-examined"
	SectionNotProvedClear           RuleID = "section-not-proved-clear"

	NotBlockedBack              RuleID = "not-blocked-back"
	BlockingBackTrainSignalled  RuleID = "blocking-back-train-signalled"
	ObstructionDangerNotSent    RuleID = "obstruction-danger-not-sent"
	ObstructionDangerNotRemoved RuleID = "obstruction-danger-not-removed"
	NothingToRemove             RuleID = "nothing-to-remove"

	CancelledAfterEntering      RuleID = "cancelled-after-entering"
	CancelledSignalOff          RuleID = "cancelled-signal-off"
	TrainNotDescribed           RuleID = "train-not-described"
	DescribedOutOfOrder         RuleID = "described-out-of-order"
	SignalledDuringAlarm        RuleID = "signalled-during-alarm"
	PermissivePassenger         RuleID = "permissive-passenger"
	PermissiveNotWarned         RuleID = "permissive-not-warned"
	PermissiveTooMany           RuleID = "permissive-too-many"
	CancelledNothing            RuleID = "cancelled-nothing"
	WrongDescriptionNotFollowed RuleID = "wrong-description-not-followed"
)

// blockRules are the rules of offering, accepting, entering and clearing a
// section, whatever the method.
var blockRules = []Rule{
	// Accepting.
	{ID: AcceptedSectionOccupied, Severity: Danger, Ref: refWinwick, RefSingle: inGeneral + "8.03(2); Block Working Manual Part A 3.12(a)" + inBooks,
		What: "Line clear was given while the previous train was not out of section.",
		Why:  "There may still be a train in the section, and the next would run into it.",
		Do:   "Stop the train if it has not left: tell the box in rear at once. Find the previous train before doing anything else."},
	{ID: AcceptedTwice, Severity: Danger, Ref: "J. Hinson, Block system ch. 2; " + refLNER, RefSingle: inManual + "3.12(b)" + inBooks,
		What: "Line clear was given while an earlier acceptance was still open.",
		Why:  "Two trains may both believe the section is theirs.",
		Do:   "Ask the box in rear which train he holds. Have the other acceptance cancelled before either leaves."},
	{ID: AcceptedClearingPointFouled, Severity: Danger, Ref: refAccept, RefSingle: inGeneral + "8.01(2) and 8.03(2)" + inBooks,
		What: "Line clear was given with a train, vehicle or obstruction within the clearing point.",
		Why:  "A train that runs a little past the home signal would strike it.",
		Do:   "Have the train held in rear, or send obstruction danger. Clear the line to the clearing point before accepting again."},
	{ID: AcceptedWhileBlocked, Severity: Danger,
		What: "Line clear was given while the line was blocked back, under obstruction danger or blocked for work.",
		Why:  "The line was blocked because something or somebody is on it.",
		Do:   "Send obstruction danger and stop the train. Accept only when the obstruction is removed and booked.",
		Ref:  srcBlock3 + "; GERT8000-TS1 issue 16, 13.2.4, https://www.rssb.co.uk/en/standards-catalogue/CatalogueItem/gert8000-ts1-iss-16"},
	{ID: AcceptedConditionUnmet, Severity: Danger,
		What: "Line clear was given without a condition that this box's instructions require.",
		Why:  "The condition is there because of the gradient, the braking distance or the layout here.",
		Do:   "Have the train held in rear until the condition is met, or send obstruction danger.",
		Ref:  "Knowle and Dorridge, 15 August 1963, https://warwickshirerailways.com/gwr/gwrkd1954.htm; New Lynn, 28 May 1913: AJHR 1913 I-6a"},
	{ID: AcceptanceNotOffered, Severity: Danger, Ref: srcBlockCode + "; " + inGeneral + "14.06" + inBooks,
		What: "A train was accepted, or a release given or received, with nothing offered.",
		Why:  "Somebody believes a train is allowed into the section, and nobody has asked.",
		Do:   "Speak to the other box. Draw no token and clear no signal until both agree what was meant."},
	{ID: RestrictedAcceptanceNotAllowed, Severity: Irregular, Ref: srcBlock5,
		What: "A train was accepted under the warning arrangement, which this box's instructions do not authorise.",
		Why:  "Without authority there is no agreed way to warn the driver that the line is clear only to the home signal.",
		Do:   "Make sure the driver is warned. Book the reason, and tell the supervisor."},
	{ID: RestrictedAcceptancePassenger, Severity: Advice, Ref: srcBlock5,
		What: "A passenger train was accepted under the warning arrangement.",
		Why:  "It is meant for other trains; for passengers only in emergency or where specially allowed.",
		Do:   "Check that the instructions allow it for this train, and see that the driver is warned."},
	{ID: WarningArrangementOmitted, Severity: Irregular, Ref: srcBlock7,
		What: "A trolley through the tunnel was accepted in full.",
		Why:  "It is always accepted under the warning arrangement, so that both boxes know what is in the tunnel.",
		Do:   "Ask the box in rear to warn the man with the trolley, and book it."},
	{ID: TrainNotWarned, Severity: Danger, Ref: srcBlock5,
		What: "A train accepted under the warning arrangement left with no driver's warning booked.",
		Why:  "The driver expects a clear line beyond the home signal and there may be something standing on it.",
		Do:   "Tell the box in advance that the driver was not warned, and have the train brought to a stand at the home signal."},

	// Offering.
	{ID: OfferedBeforeOutOfSection, Severity: Danger, Ref: refWinwick, RefSingle: inManual + "3.8(b) and 3.9(a)" + inBooks,
		What: "A train was offered before the one in front was out of section.",
		Why:  "The other signaller may take it that the section is clear because it was asked for.",
		Do:   "Offered to you: do not answer. Offered by you: cancel it, and offer it again when out of section of the train in front is received."},
	{ID: OfferedWhileBlocked, Severity: Irregular, Ref: srcBlock3, RefSingle: srcBlock3 + "; " + inManual + "5.2" + inBooks,
		What: "A train was offered while the line was blocked back, under obstruction danger or blocked for work.",
		Why:  "The line is not to be asked for until whoever blocked it has given it up.",
		Do:   "Withdraw the offer and wait for obstruction removed."},
	{ID: OpposingAcceptance, Severity: Danger, Ref: inManual + "3.9(c) and 3.12(c)" + inBooks,
		What: "Line clear was given, or stands, for trains in both directions on one single line.",
		Why:  "Two trains could meet head on.",
		Do:   "Stop both trains. Let none go until one acceptance is cancelled and the other box has said so."},

	// Entering.
	{ID: EnteredWithoutAcceptance, Severity: Danger, Ref: srcBlock8 + "; " + refMills, RefSingle: inGeneral + "6.06; Block Working Manual Part A 8.1(n) and (o)" + inBooks,
		What: "A train entered the section with no line clear in hand.",
		Why:  "Nobody in advance expects it, and the section may not be clear.",
		Do:   "Send the box in advance train proceeding without authority, right direction, and speak to him. Stop the train if you can."},
	{ID: EnteredWhileBlocked, Severity: Danger,
		What: "A train was let onto a line on which an obstruction or a line blockage is booked.",
		Why:  "What is on the line, or who is working on it, does not know that a train is coming.",
		Do:   "Stop the train by any means. Tell the box in advance and whoever has the line.",
		Ref:  "GERT8000-TS1 issue 16, 13.2.4, https://www.rssb.co.uk/en/standards-catalogue/CatalogueItem/gert8000-ts1-iss-16; " + srcCardsDanger},
	{ID: WrongTrainEntered, Severity: Danger, Ref: refHawes,
		What: "The train that entered is not the one accepted, or another was standing in front of it.",
		Why:  "The box in advance expects a different train, and one may be forgotten at your signals.",
		Do:   "Account for every train by name with the box in advance. Look at what stands at your signals."},
	{ID: EnteringTwice, Severity: Irregular, Ref: CommonPractice,
		What: "Train entering section was sent or received twice for one train.",
		Why:  "A second train may have gone, or one bell may have been lost.",
		Do:   "Agree with the other box which trains are in the section, and book it."},
	{ID: EnteringNotSent, Severity: Irregular, Ref: refMills,
		What: "A train has left or passed into the section and train entering section was not sent in time.",
		Why:  "The box in advance does not know a train is coming.",
		Do:   "Send train entering section now and book it with its time."},
	{ID: SignalOffWithoutLineClear, Severity: Danger, Ref: srcBlockCode + "; " + refMills,
		What: "A section signal was cleared with no line clear for the train.",
		Why:  "The driver is told to enter a section that is not his.",
		Do:   "Put the signal back to danger and stop the train. Tell the box in advance."},
	{ID: SignalOffTwice, Severity: Irregular, Ref: FromMemory,
		What: "A section signal was cleared a second time on one line clear.",
		Why:  "A second train could follow the first into the section.",
		Do:   "Put the signal back to danger. Find out which train left on it."},
	{ID: SignalTrainAhead, Severity: Danger, Ref: refHawes,
		What: "A section signal was cleared while another train stood between the box and that signal.",
		Why:  "The train in front takes the signal meant for the one behind, and is forgotten.",
		Do:   "Put the signal back to danger. Look which train is nearest the signal, and book its name."},

	// Out of section.
	{ID: OutOfSectionTrainNotArrived, Severity: Danger, Ref: refWinwick, RefSingle: inGeneral + "14.10" + inBooks,
		What: "Out of section was given with no arrival or passing booked for the train.",
		Why:  "The train may still be in the section, and the next may be let in behind it.",
		Do:   "Tell the box in rear to let nothing go. Find the train, and see its tail lamp."},
	{ID: OutOfSectionTailLampNotSeen, Severity: Danger, Ref: refShrivenham, RefSingle: inManual + "5.7" + inBooks,
		What: "Out of section was given for a train not booked complete.",
		Why:  "Part of the train may have been left in the section.",
		Do:   "Tell the box in rear to let nothing go. Have the train examined, and book who found it complete."},
	{ID: OutOfSectionClearingPointFouled, Severity: Danger, Ref: refFouling,
		What: "Out of section was given while the train was still within the clearing point.",
		Why:  "The next train may be offered against the tail of this one.",
		Do:   "Accept nothing until the train is past the clearing point."},
	{ID: OutOfSectionNoTrain, Severity: Irregular, Ref: CommonPractice,
		What: "Out of section was given or received with no train in that section.",
		Why:  "A train may have been missed, or the bell meant another line.",
		Do:   "Ask the other box which train he means, and book the answer."},
	{ID: RunningTimeShort, Severity: Irregular, Ref: CommonPractice,
		What: "Out of section came sooner than any train could run through the section.",
		Why:  "The bell may have been given before the train arrived.",
		Do:   "Confirm with the other box that the train has arrived complete."},
	{ID: LineNotExamined, Severity: Irregular, Ref: FromMemory,
		What: "A train was sent beside one unusually long in section, and its driver was not told to look out.",
		Why:  "The train that does not come may lie across both lines.",
		Do:   "Stop the next train the other way. Tell its driver what is amiss, and book that."},
	{ID: SectionNotProvedClear, Severity: Danger, Ref: srcCardsTailLamp,
		What: "A train was let run while the section was still in doubt.",
		Why:  "A train without tail lamp, or a failure, leaves the section unproved: vehicles may stand in it.",
		Do:   "Hold the train. Wait for the message that the last train is complete, or stop the driver and tell him why."},

	// Obstruction and blocking back.
	{ID: NotBlockedBack, Severity: Danger, Ref: refQuintin,
		What: "A train or vehicles stand within the clearing point or on the section and the line is not blocked back.",
		Why:  "The box in rear may still offer a train, and you may accept it by habit.",
		Do:   "Block back now, and put a reminder on the instrument."},
	{ID: BlockingBackTrainSignalled, Severity: Danger,
		What: "The line was blocked back while a train was accepted or in section.",
		Why:  "That train is still coming towards the obstruction.",
		Do:   "Send obstruction danger and stop the train. Keep the line clear until it has been dealt with.",
		Ref:  refAccept + " (line clear is given with the line clear to the clearing point); " + srcBlock3 + "; " + srcCardsBlocking},
	{ID: ObstructionDangerNotSent, Severity: Danger, Ref: srcCardsDanger,
		What: "An obstruction is booked on a line and obstruction danger was not sent, or was late.",
		Why:  "Trains go on running towards it.",
		Do:   "Send obstruction danger now, to every box concerned. Put your signals to danger."},
	{ID: ObstructionDangerNotRemoved, Severity: Danger, Ref: srcCardsDanger,
		What: "The line was given up while obstruction danger stands or the obstruction is still booked.",
		Why:  "The next train would be let run towards it.",
		Do:   "Keep the line blocked. Give obstruction removed only when the line is clear and any train in the section is complete."},
	{ID: NothingToRemove, Severity: Irregular, Ref: CommonPractice,
		What: "Obstruction removed was sent or received with nothing blocked.",
		Why:  "The two boxes do not have the same obstruction in mind, or one was never booked.",
		Do:   "Ask the other box what he means, and book it."},

	// Cancelling and descriptions.
	{ID: CancelledAfterEntering, Severity: Danger, Ref: srcCardsDanger + " (cancelled when stopped in time); " + refGreatNorth, RefSingle: inManual + "3.3" + inBooks,
		What: "Cancelling was exchanged for a train already in the section.",
		Why:  "The section looks free while a train is in it.",
		Do:   "Keep the indicator at train on line. Give or await out of section when the train arrives complete."},
	{ID: CancelledSignalOff, Severity: Irregular, Ref: FromMemory,
		What: "Cancelling was exchanged with the section signal still off.",
		Why:  "The driver has been told that he may go, and may be going.",
		Do:   "Put the signal back, and see that the train is at a stand before anything else is done on the line."},
	{ID: TrainNotDescribed, Severity: Irregular, Ref: refDescribed,
		What: "A train went over a track circuit section with no description.",
		Why:  "The box in advance does not know what comes, and may send it the wrong way.",
		Do:   "Describe the train now, by bell or telephone, and book it."},
	{ID: DescribedOutOfOrder, Severity: Irregular, Ref: CommonPractice,
		What: "A train came in another order than the trains were described in.",
		Why:  "One of the two may be sent the wrong way, or is missing.",
		Do:   "Ask the box in rear which train is which, and where the other is."},
	{ID: SignalledDuringAlarm, Severity: Danger, Ref: "GERT8000-TS1 2.2; read in study cards, https://api.brainscape.com/flashcards/the-rules-21216767/packs/23279830",
		What: "A train was sent into a section for which the emergency alarm stands.",
		Why:  "There is something on the line that a train must not meet.",
		Do:   "Stop the train. Send nothing more until the section is proved clear."},
	{ID: PermissivePassenger, Severity: Advice, Ordered: true, Ref: refPermissive,
		What: "A passenger train was accepted behind another train on a permissive line, or a train behind a passenger train.",
		Why:  "A train let in behind another runs on sight; passenger trains are not worked so.",
		Do:   "Hold the train until the section is clear. Look up what the instruction of this section has."},
	{ID: PermissiveNotWarned, Severity: Advice, Ordered: true, Ref: refPermissive,
		What: "A train was let in behind another on a permissive line and its driver not warned.",
		Why:  "He may run into the train in front.",
		Do:   "Stop him if you can. Warn every driver of the train in front, and book it."},
	{ID: PermissiveTooMany, Severity: Advice, Ordered: true, Ref: refPermissive,
		What: "A train was accepted on a permissive line with as many in the section as it holds.",
		Why:  "The last of them may stand outside of the section, across what lies behind it.",
		Do:   "Hold the train until one in front is given out of section."},
	{ID: CancelledNothing, Severity: Irregular, Ref: CommonPractice,
		What: "Cancelling was sent or received with nothing to cancel.",
		Why:  "The two boxes do not have the same trains in mind.",
		Do:   "Speak to the other box and agree what is signalled."},
	{ID: WrongDescriptionNotFollowed, Severity: Irregular, Ref: FromMemory,
		What: "A train was wrongly described and the right description did not follow.",
		Why:  "The other box expects a train that will not come, or the wrong kind.",
		Do:   "Send the right description now, and book it."},
}
