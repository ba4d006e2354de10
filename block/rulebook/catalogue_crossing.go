package rulebook

import (
	"slices"
	"strings"
)

// The ids of the rules below. Scripts depend on their values: none is changed or dropped.
const (
	CrossingTrainApproaching    RuleID = "crossing-train-approaching"
	CrossingTrainLetTowards     RuleID = "crossing-train-let-towards"
	CrossingNotProtected        RuleID = "crossing-not-protected"
	CrossingNextBoxNotHeld      RuleID = "crossing-next-box-not-held"
	CrossingNotCautioned        RuleID = "crossing-not-cautioned"
	CrossingInDoubt             RuleID = "crossing-in-doubt"
	CrossingNotReportedClear    RuleID = "crossing-not-reported-clear"
	CrossingCallIncomplete      RuleID = "crossing-call-incomplete"
	CrossingNotAsked            RuleID = "crossing-not-asked"
	CrossingMaybeLarge          RuleID = "crossing-maybe-large"
	CrossingSecondUser          RuleID = "crossing-second-user"
	CrossingNothingAllowed      RuleID = "crossing-nothing-allowed"
	CrossingWordOfUser          RuleID = "crossing-word-of-user"
	CrossingManyCalls           RuleID = "crossing-many-calls"
	CrossingCallBetween         RuleID = "crossing-call-between"
	CrossingOpenedTrainComing   RuleID = "crossing-opened-train-coming"
	CrossingOpenSignalCleared   RuleID = "crossing-open-signal-cleared"
	CrossingClosedLong          RuleID = "crossing-closed-long"
	CrossingLocalSignalsOff     RuleID = "crossing-local-signals-off"
	CrossingKeeperNotAssured    RuleID = "crossing-keeper-not-assured"
	CrossingKeeperNotTold       RuleID = "crossing-keeper-not-told"
	CrossingOpenedLineClear     RuleID = "crossing-opened-line-clear"
	CrossingObstructedTrainSent RuleID = "crossing-obstructed-train-sent"
	CrossingAttendantNotTold    RuleID = "crossing-attendant-not-told"
	CrossingAttendantUnnamed    RuleID = "crossing-attendant-unnamed"
	CrossingOpenFailureBooked   RuleID = "crossing-open-failure-booked"
)

// References of level crossings. The study cards paraphrase the signallers'
// regulations for level crossings (GE/RT8000/TS9), whose text was not read whole.
const (
	refCards     = "signaller study cards, Level crossings, https://brainscape.com/flashcards/level-crossings-15978508/packs/22090649"
	refCards2    = "signaller study cards, Level crossings, https://brainscape.com/flashcards/level-crossings-11020232/packs/19575252"
	refTS9       = "GE/RT8000/TS9 Level crossings - signallers' regulations, issue 3"
	refHockham   = "RAIB, Hockham Road, 10 April 2016, https://www.gov.uk/raib-reports/collision-at-hockham-road-user-worked-crossing-thetford"
	refBagillt   = "RAIB report 11/2019, Bagillt, 17 August 2018, https://docslib.org/doc/6790551/"
	refMoreton   = "RAIB, Moreton-on-Lugg, 16 January 2010, http://www.railnews.co.uk/news/2011/03/01-fatal-crash-signaller-was-distracted.html"
	refRedcar    = "RAIB, Redcar, 1 May 2024, https://railmagazine.com/news/2025/04/03/train-collision-with-car-due-to-signalling-error-raib-report-finds"
	refBroadOak  = "RAIB safety digest 13/2017, Broad Oak, 29 June 2017, https://www.gov.uk/government/publications/safety-digest-132017-broad-oak-lc/"
	refWorling   = "RAIB safety digest, Worlingham, 2020, https://www.eadt.co.uk/news/investigation-into-worlingham-crossing-near-miss-2694888"
	refFrampton  = "inquest, Frampton Mansell, 7 February 2017, https://www.railforums.co.uk/posts/4056062/"
	inAppendixII = "General and Subsidiary Rules (South Central Railway) Appendix II, "
)

// crossingRules are the rules of level crossings.
var crossingRules = []Rule{
	{ID: CrossingTrainApproaching, Severity: Danger, Ref: refHockham + "; " + refCards,
		What: "A user was given leave to cross with a train on its way to the crossing.",
		Why:  "The train may be there before the user is clear.",
		Do:   "Call the user back if you can, and stop the train. Next time wait until the train is booked past."},
	{ID: CrossingTrainLetTowards, Severity: Danger, Ref: refCards,
		What: "A train was let towards a crossing on which a user has leave to be.",
		Why:  "The train may be there before the user is clear.",
		Do:   "Put signals back to danger and warn the driver; find out whether the user is clear."},
	{ID: CrossingNotProtected, Severity: Danger, Ref: refBagillt + "; " + refCards,
		What: "A large or slow movement was allowed over a crossing without its signals at danger.",
		Why:  "Nothing keeps a train from it if it takes longer than was said.",
		Do:   "Put the protecting signals to danger and a reminder on them. Next time do so before you give leave."},
	{ID: CrossingNextBoxNotHeld, Severity: Danger, Ref: refTS9 + ", 2.5; signaller study cards, https://brainscape.com/flashcards/level-crossings-17725585/packs/22574965",
		What: "A large or slow movement was allowed over a crossing and the box whose signals protect it was not asked to hold trains.",
		Why:  "The next box may send a train.",
		Do:   "Ask that box to hold trains and hear that it does, before you give leave."},
	{ID: CrossingNotCautioned, Severity: Danger, Ref: refCards,
		What: "A train was sent over a crossing in doubt and its driver was not cautioned.",
		Why:  "Somebody may be on the crossing, and nobody can tell.",
		Do:   "Stop the train if you can. Caution every driver until the crossing is known to be clear."},
	{ID: CrossingInDoubt, Severity: Danger, Ref: refCards,
		What: "Leave to cross was given while the crossing was in doubt.",
		Why:  "An earlier user may still be there, or trains may be running at caution over it.",
		Do:   "Clear up the doubt first."},
	{ID: CrossingNotReportedClear, Severity: Irregular, Ref: refCards,
		What: "A user was not reported clear of the crossing in time.",
		Why:  "He may still be on it.",
		Do:   "Try to reach him. Caution every driver until the crossing is known to be clear."},
	{ID: CrossingCallIncomplete, Severity: Irregular, Ref: refTS9 + ", 2.2; " + refCards2,
		What: "A call from a crossing was booked without all that must be asked.",
		Why:  "Without what is to cross and how long it takes, nobody can say whether there is time.",
		Do:   "Ask which crossing, what is to cross and how long it will take, gates included, and book it."},
	{ID: CrossingNotAsked, Severity: Irregular, Ref: refTS9 + ", 2.2; " + refCards,
		What: "Word was given to the user of a crossing with no call booked.",
		Why:  "What he asked is not to be read from the book.",
		Do:   "Book each call with its time."},
	{ID: CrossingMaybeLarge, Severity: Advice, Ref: refBagillt,
		What: "What is to cross may be large, low or slow, or animals, and was not booked so.",
		Why:  "For such a movement the protecting signals are kept at danger.",
		Do:   "Ask the user, and book it as large if it is."},
	{ID: CrossingSecondUser, Severity: Advice, Ref: refCards,
		What: "Leave to cross was given while an earlier user was not reported clear.",
		Why:  "One report of clear may then be taken for both.",
		Do:   "Keep the two apart, and hear from both."},
	{ID: CrossingNothingAllowed, Severity: Advice, Ref: CommonPractice,
		What: "A user was reported clear and none had leave to cross.",
		Why:  "A permission was not booked, or the report is of another crossing.",
		Do:   "Ask which crossing it was."},
	{ID: CrossingWordOfUser, Severity: Advice, Ref: refFrampton,
		What: "Leave to cross was given on the user's word that the train has passed.",
		Why:  "He may have seen another train.",
		Do:   "Rely on a report of the train's own."},
	{ID: CrossingManyCalls, Severity: Advice, Ref: refWorling,
		What: "Six calls or more from one crossing in ten minutes.",
		Why:  "Under such a load a train is easily forgotten.",
		Do:   "Let callers wait, and look at the trains before each word."},
	{ID: CrossingCallBetween, Severity: Advice, Ref: refMoreton,
		What: "Calls from a crossing came between a signal cleared and its train, twice or more in the turn.",
		Why:  "Whoever is interrupted then may take the train for past.",
		Do:   "Look for the train before the crossing is opened."},
	{ID: CrossingOpenedTrainComing, Severity: Danger, Ref: refMoreton + "; Little London, 1957, https://railcar.co.uk/topic/accidents/details/little-london-1957",
		What: "A crossing was opened to the road while a train for which a signal was cleared was not past.",
		Why:  "The train may be too near to stop, whatever the signal shows now.",
		Do:   "Close the crossing if it is safe to. Next time have the train booked past first."},
	{ID: CrossingOpenSignalCleared, Severity: Danger, Ref: refRedcar,
		What: "A train was signalled or sent over a crossing that is open to the road.",
		Why:  "Road users are on the line.",
		Do:   "Put the signal back and stop the train; close the crossing and see it clear first."},
	{ID: CrossingClosedLong, Severity: Advice, Ref: CommonPractice,
		What: "A crossing was closed to the road for long and no train came.",
		Why:  "Road users lose patience and pass round.",
		Do:   "Open it, or note why it stays closed."},
	{ID: CrossingLocalSignalsOff, Severity: Danger, Ref: refBroadOak,
		What: "Local control of a crossing was taken with its protecting signals off.",
		Why:  "A train may be on its way under clear signals.",
		Do:   "Put the signals to danger, and see that no train is near, before the attendant takes control."},
	{ID: CrossingKeeperNotAssured, Severity: Danger, Ref: inAppendixII + "annexures III 2.i, IV 2.iii and V 2.i" + inBooks,
		What: "Line clear was given or got without the keeper's assurance for the train.",
		Why:  "The gates may be open to the road when it comes.",
		Do:   "Tell the keeper and have his private number before line clear."},
	{ID: CrossingKeeperNotTold, Severity: Irregular, Ref: inAppendixII + "annexures I 2, II 2 and IV 2.iv" + inBooks,
		What: "The keeper of a crossing was not told of a train in time.",
		Why:  "He learns of it when he sees it.",
		Do:   "Tell him at once, also when a train is not coming after all."},
	{ID: CrossingOpenedLineClear, Severity: Danger, Ref: inAppendixII + "annexures III 2.ii and V 2.ii" + inBooks,
		What: "A keeper was given leave to open with line clear standing or a train not past.",
		Why:  "The train may come to open gates.",
		Do:   "Have the gates closed again. Give leave when the train is reported past or its line clear cancelled."},
	{ID: CrossingObstructedTrainSent, Severity: Danger, Ref: inAppendixII + "sections 5 to 8" + inBooks,
		What: "A train was sent towards a crossing that is obstructed.",
		Why:  "It may run into what is on the line.",
		Do:   "Stop the train; let none start before the crossing is reported free."},
	{ID: CrossingAttendantNotTold, Severity: Irregular, Ref: refCards,
		What: "The attendant at a crossing was not told of working he must know of.",
		Why:  "Trains or people may come from where he does not look.",
		Do:   "Tell him of every blockage, possession, single line and wrong-direction working, and book it."},
	{ID: CrossingAttendantUnnamed, Severity: Irregular, Ref: "General Rules (India) 16.10" + inBooks,
		What: "An attendant's duty at a crossing was booked without his name.",
		Why:  "Nobody can say who was there.",
		Do:   "Ask his name and book it."},
	{ID: CrossingOpenFailureBooked, Severity: Irregular, Ref: refRedcar,
		What: "A failure was booked for a signal that an open crossing keeps at danger.",
		Why:  "Trains are then talked past the signal over the open crossing.",
		Do:   "Look at the crossing first: closed and locked, the signal may clear."},
}

// largeWords are words for what may be large, low or slow. Source: RAIB report
// 11/2019, Bagillt, where a user said "wagon" and nobody asked its size; the list
// is common practice.
var largeWords = strings.Fields("tractor trailer combine harvester low-loader loader cattle cows sheep horse horses lorry wagon hgv caravan baler crane herd")

// SoundsLarge says whether words for what is to cross may mean something large,
// low or slow, or animals.
func SoundsLarge(what string) bool {
	words := strings.FieldsFunc(strings.ToLower(what), func(r rune) bool { return strings.ContainsRune(" ,.;:/()", r) })
	return slices.ContainsFunc(words, func(w string) bool {
		return slices.Contains(largeWords, w) || slices.Contains(largeWords, strings.TrimSuffix(w, "s"))
	})
}

// SaysPassed says whether a text is of a train having passed.
func SaysPassed(text string) bool {
	text = strings.ToLower(text)
	return slices.ContainsFunc([]string{"passed", "gone by", "has gone", "train gone", "gone past"}, func(w string) bool { return strings.Contains(text, w) })
}
