package rulebook

// The ids of the rules below. Scripts depend on their values: none is changed or dropped.
const (
	CallAttentionOmitted RuleID = "call-attention-omitted"
	NotAcknowledged      RuleID = "not-acknowledged"
	AcknowledgedWrongly  RuleID = "acknowledged-wrongly"
	CodeUnknown          RuleID = "code-unknown"
	CodeNotAuthorised    RuleID = "code-not-authorised"
	WrongSideSignal      RuleID = "wrong-side-signal"

	LineClearNotAccepted    RuleID = "line-clear-not-accepted"
	IndicatorNotLineClear   RuleID = "indicator-not-line-clear"
	LineClearWithdrawn      RuleID = "line-clear-withdrawn"
	IndicatorNotTrainOnLine RuleID = "indicator-not-train-on-line"
	IndicatorNotNormal      RuleID = "indicator-not-normal"

	ShuntNotAuthorised     RuleID = "shunt-not-authorised"
	ShuntNotWithdrawn      RuleID = "shunt-not-withdrawn"
	ShuntNotBack           RuleID = "shunt-not-back"
	AcceptedConverging     RuleID = "accepted-converging"
	CallAttentionNeedless  RuleID = "call-attention-needless"
	ClosedWithoutSignal    RuleID = "closed-without-signal"
	BlockageTrainInSection RuleID = "blockage-train-in-section"
	OutOfGaugeOpposed      RuleID = "out-of-gauge-opposed"
)

// bellRules are the rules of bells and indicators, whatever the method, and of
// shunting into the section.
var bellRules = []Rule{
	// Bells.
	{ID: CallAttentionOmitted, Severity: Irregular, Ref: refBells,
		What: "A bell signal that needs call attention was sent without it.",
		Why:  "Nobody may have been at the bell, and beats may have been missed.",
		Do:   "Call attention, wait for the answer, and send the signal again."},
	{ID: NotAcknowledged, Severity: Irregular, Ref: refBells,
		What: "A bell signal has not been acknowledged.",
		Why:  "Until it is repeated back, it has not been received.",
		Do:   "Repeat it at intervals. If no answer comes, use the telephone and book it."},
	{ID: AcknowledgedWrongly, Severity: Irregular, Ref: refBells,
		What: "A bell signal was answered by other beats than were sent.",
		Why:  "The other signaller has heard something else.",
		Do:   "Treat it as not acknowledged. Send again, or ask him to come to the telephone."},
	{ID: CodeUnknown, Severity: Irregular, Ref: inManual + "2.5" + inBooks,
		What: "The beats are in no code table of this box.",
		Why:  "A signal not understood must not be acted upon.",
		Do:   "Ask for it again or telephone. Do not acknowledge what you do not understand."},
	{ID: CodeNotAuthorised, Severity: Irregular, Ref: "J. Hinson, Bell signal variations before 1960, http://www.signalbox.org/block/bellvariations.shtml",
		What: "The bell signal is known, but not by this method of working or not from that box.",
		Why:  "The same beats mean something else elsewhere.",
		Do:   "Ask the other box what he meant. If the code is in your instructions, have it added to the box description."},
	{ID: WrongSideSignal, Severity: Danger, Ref: srcCardsTailLamp + "; " + srcEarlyList,
		What: "A warning of a train without tail lamp was sent to the wrong side.",
		Why:  "The box that should stop the train has not been told, and the other is told something untrue.",
		Do:   "Send each box its own signal: one to the box in advance, the other to the box in rear."},

	// Indicators.
	{ID: LineClearNotAccepted, Severity: Danger, Ref: refGreatNorth,
		What: "The indicator shows line clear with no train accepted.",
		Why:  "The section signal in rear may be free, and a train could be let in.",
		Do:   "Put the indicator back to normal, and tell the box in rear."},
	{ID: IndicatorNotLineClear, Severity: Irregular, Ref: srcBlockCode,
		What: "A train was accepted and the indicator does not show line clear.",
		Why:  "The box in rear may not be able to clear his signal, or you may forget that you accepted.",
		Do:   "Look at the instrument, and put it to line clear if the train is accepted."},
	{ID: LineClearWithdrawn, Severity: Danger, Ref: refGreatNorth,
		What: "The indicator left line clear with no train entering, cancelling or obstruction danger.",
		Why:  "The train may already have its signal.",
		Do:   "Tell the box in rear at once. Treat the train as accepted until it is cancelled."},
	{ID: IndicatorNotTrainOnLine, Severity: Danger, Ref: srcBlock8,
		What: "A train is in the section, or the line is blocked, and the indicator does not show train on line.",
		Why:  "Nothing on the instrument reminds either signaller of the train.",
		Do:   "Put the indicator to train on line now."},
	{ID: IndicatorNotNormal, Severity: Irregular, Ref: srcBlock3,
		What: "The train is out of section and the indicator was not put to normal.",
		Why:  "The instrument no longer tells what is on the line.",
		Do:   "Put the indicator to normal when out of section is acknowledged."},

	// Shunting into the section.
	{ID: ShuntNotAuthorised, Severity: Irregular, Ref: srcBlock8,
		What: "Shunting into the forward section was signalled, which this box's instructions do not authorise.",
		Why:  "The section signal may be passed with no rule that brings the shunt back.",
		Do:   "Bring the shunt back behind your signals, and withdraw it by bell."},
	{ID: ShuntNotWithdrawn, Severity: Irregular, Ref: srcBlock8,
		What: "A shunt into the forward section was not withdrawn by bell.",
		Why:  "The section stays blocked for a movement that is over, or the movement is forgotten.",
		Do:   "See that the shunt is back within your signals, then send shunt withdrawn."},
	{ID: ShuntNotBack, Severity: Danger, Ref: srcBlock8,
		What: "Shunt withdrawn was sent with the shunt still out in the section.",
		Why:  "The box in advance takes the section for clear, and the next train would run into the shunt.",
		Do:   "Allow nothing into the section. Bring the shunt back behind your signals, and tell the box in advance."},
	{ID: AcceptedConverging, Severity: Danger, Ref: "J. Hinson, Block system ch. 4, https://signalbox.org/block-system/working-at-junctions/",
		What: "A train was accepted while another, accepted from a different direction, still needed the same line within the clearing point.",
		Why:  "Both may overrun into the same piece of line.",
		Do:   "Keep the home signal at danger against the second until the first is at a stand or clear."},
	{ID: CallAttentionNeedless, Severity: Advice, Ref: "GERT8000-TS1 2.2; read in study cards, https://api.brainscape.com/flashcards/the-rules-21216767/packs/23279830",
		What: "Call attention was sent before an emergency signal.",
		Why:  "The emergency signal is sent at once, without waiting for an answer; seconds count.",
		Do:   "Send the emergency signal at once next time."},
	{ID: ClosedWithoutSignal, Severity: Irregular, Ref: "J. Hinson, Block system ch. 10, https://signalbox.org/block-system/closing-the-box/",
		What: "The box was switched out without the closing signal exchanged with every neighbour.",
		Why:  "A neighbour who does not know goes on offering trains to an empty box.",
		Do:   "Switch in, exchange the closing signal on both sides, and switch out again."},
	{ID: BlockageTrainInSection, Severity: Danger,
		What: "A line blockage was taken with a train accepted or in the section.",
		Why:  "The train will run on to the people or the obstruction.",
		Do:   "Tell the person in charge that the line is not blocked. Give it only when the train is clear and complete.",
		Ref:  "GERT8000-TS1 13.2; read in change summaries, https://www.rssb.co.uk/en/standards-catalogue/CatalogueItem/gert8000-ts1-iss-16; Staircase 2011 and Otira 2013, occupation given against a train"},
	{ID: OutOfGaugeOpposed, Severity: Danger,
		What: "An out-of-gauge load was accepted while what it may not meet is signalled on the other line.",
		Why:  "The two may strike each other.",
		Do:   "Have the load held in rear. Agree with the other box which goes first, and block the other line where the code asks for it.",
		Ref:  "J. Ford, working at Tipton Curve, 27 March 1965, https://janfordsworld.blogspot.com/2011/; which code bars what is " + FromMemory},
}
