package rulebook

// The ids of the rules below. Scripts depend on their values: none is changed or dropped.
const (
	ReleaseTrainInSection    RuleID = "release-train-in-section"
	ReleaseNotTold           RuleID = "release-not-told"
	ReleaseIncomplete        RuleID = "release-incomplete"
	CounterDiffers           RuleID = "counter-differs"
	BlockagePartyNotClear    RuleID = "blockage-party-not-clear"
	PartyNotProtected        RuleID = "party-not-protected"
	PartyDiffers             RuleID = "party-differs"
	AuthorityIncomplete      RuleID = "authority-incomplete"
	OccupationKeyDiffers     RuleID = "occupation-key-differs"
	EndedNotBegun            RuleID = "ended-not-begun"
	TrainsNotTogether        RuleID = "trains-not-together"
	AssistingEngineInSection RuleID = "assisting-engine-in-section"
	DetainedEntryIncomplete  RuleID = "detained-entry-incomplete"
	ExaminationNotBooked     RuleID = "examination-not-booked"
	UnfitTrainSent           RuleID = "unfit-train-sent"
	MessageNotDelivered      RuleID = "message-not-delivered"
	PointsNotSecured         RuleID = "points-not-secured"
	GroundFrameOut           RuleID = "ground-frame-out"
	BetweenBoxSignalled      RuleID = "between-box-signalled"
)

// References of releases, occupations and points.
const (
	refRelease    = "GERT8000-TS1 3.7; read in study cards, https://api.brainscape.com/flashcards/the-rules-21216767/packs/23279830"
	refBlockage   = "GERT8000-TS1 13.2.7, release without the recorded hand-back; read in change summaries, https://www.rssb.co.uk/en/standards-catalogue/CatalogueItem/gert8000-ts1-iss-16"
	refSoutherham = "Southerham Junction, 15 June 1976, a release key used under a train"
)

// boxRules are the rules of what a box meets beside its trains and bells: releases,
// occupations, points.
var boxRules = []Rule{
	{ID: ReleaseTrainInSection, Severity: Danger, Ref: refRelease + "; " + refSoutherham,
		What: "A release was used with a train in the section.",
		Why:  "It takes away the lock that keeps a second train out or the points still.",
		Do:   "Stop every train that could use what was freed. Make sure where the train is and that it is complete before anything else is worked."},
	{ID: ReleaseNotTold, Severity: Irregular, Ref: refRelease,
		What: "A release was used and Control was not told.",
		Why:  "Each use is to be known outside the box; an instrument that needs releases is failing.",
		Do:   "Tell Control now, and write down whom and when."},
	{ID: ReleaseIncomplete, Severity: Irregular, Ref: refRelease + "; the counter: " + CommonPractice,
		What: "The use of a release was booked without its cause or its counter.",
		Why:  "Nobody can say later why the lock was taken away, or how often.",
		Do:   "Book the cause, and the counter before and after."},
	{ID: CounterDiffers, Severity: Irregular, Ref: inManual + "2.6 and 7.3" + inBooks + "; the comparison: " + CommonPractice,
		What: "The counter of a release is not where it was last booked.",
		Why:  "It counts every use: one was made and not booked, or the counter was read wrongly. It never goes back.",
		Do:   "Read it again. If it is right, find out who used the release and when."},

	{ID: BlockagePartyNotClear, Severity: Danger, Ref: refBlockage,
		What: "A blockage was given up with a party not reported clear of the line.",
		Why:  "One \"clear\" speaks for one party only. The others are still on the line and a train may come.",
		Do:   "Stop trains from the line at once and block it again. Ask each party by name, and wait for its own answer."},
	{ID: PartyNotProtected, Severity: Irregular, Ref: CommonPractice,
		What: "A party was let on a line with no blockage booked.",
		Why:  "Nothing in the book keeps trains from it.",
		Do:   "Take the blockage, or call the party off the line; then book it."},
	{ID: PartyDiffers, Severity: Irregular, Ref: CommonPractice,
		What: "A party reported clear, or went on the line, under another name or number than that of the authority.",
		Why:  "It may be another party, or another line.",
		Do:   "Ask again: the name, the line, the number. Correct the entry if it was a slip."},
	{ID: AuthorityIncomplete, Severity: Irregular, Ref: CommonPractice,
		What: "An authority was given without its number or without being repeated back.",
		Why:  "What the party understood may be another line or another place.",
		Do:   "Have it repeated, and book that with the number."},
	{ID: OccupationKeyDiffers, Severity: Irregular, Ref: "Subsidiary Rule (India) 13.03.1.4" + inBooks + "; the comparison: " + CommonPractice,
		What: "The occupation key was taken or given up and was not where it is booked.",
		Why:  "The key out is the proof that the line is occupied; the book and the instrument must agree.",
		Do:   "Look at the instrument. Correct the book, or find out who has the key."},

	{ID: EndedNotBegun, Severity: Irregular, Ref: CommonPractice,
		What: "An entry ends what is not booked as begun, and something else of its sort stands.",
		Why:  "If that was meant it is not ended by this: a line may be taken for free that is not, or the other way about.",
		Do:   "Look under which name it stands and correct the entry; or note when what is ended began."},

	{ID: TrainsNotTogether, Severity: Irregular, Ref: CommonPractice,
		What: "Trains were booked as joined, or an engine as taken off or put to a train, and the book has them apart.",
		Why:  "One of them is not where it is booked, or the entry names the wrong train.",
		Do:   "Look where each stands, book that, and correct the entry if it was a slip."},
	{ID: AssistingEngineInSection, Severity: Danger,
		What: "Train out of section was given with an assisting engine of that train still in the section.",
		Why:  "The next train would run into it.",
		Do:   "Let nothing into the section. Ask the other box and the engine's driver where it is.",
		Ref:  inGeneral + "14.10, the section clear before it is given out" + inBooks + "; Winwick Junction, 28 September 1934, for a train forgotten in it"},
	{ID: DetainedEntryIncomplete, Severity: Irregular, Ref: srcRule55,
		What: "The entry about the crew of a detained train lacks the line, the name, or the signature.",
		Why:  "It shows that crew and signaller both know where the train stands.",
		Do:   "Have it completed before the man goes back, and put a reminder on."},
	{ID: ExaminationNotBooked, Severity: Irregular, Ref: srcEarlyList + "; that the result is booked: " + CommonPractice,
		What: "A train stopped to be examined went on, and what was found is not booked.",
		Why:  "The box that sent the signal and the box ahead need to know whether it is safe.",
		Do:   "Ask who examined it, book the result, and tell both boxes."},
	{ID: UnfitTrainSent, Severity: Irregular, Ref: CommonPractice,
		What: "A train examined and found not fit to go on was let go.",
		Why:  "What was wrong with it is still wrong.",
		Do:   "Have the box in advance stop it. Book what was done to it if it was put right."},
	{ID: MessageNotDelivered, Severity: Irregular, Ref: CommonPractice,
		What: "A train went, and a message that had to reach it is not booked as delivered.",
		Why:  "Its driver does not know what he was to be told.",
		Do:   "Have the box in advance stop the train and tell him. Then book it as heard."},
	{ID: PointsNotSecured, Severity: Irregular, Ref: refAccept + ", points within the clearing point set and locked; points wound by hand: " + CommonPractice,
		What: "Points wound by hand were used by a train, or line clear was given over them, neither clamped nor locked.",
		Why:  "Nothing holds them but their own weight.",
		Do:   "Stop the next movement. Have them clamped or locked, and book it."},
	{ID: GroundFrameOut, Severity: Irregular, Ref: CommonPractice,
		What: "A ground frame was released with a train signalled over its points, or a train signalled with it released.",
		Why:  "Whoever is at it may move the points under the train.",
		Do:   "Stop the train, or have the frame locked again and given up."},
	{ID: BetweenBoxSignalled, Severity: Irregular, Ref: srcBlock10 + ", switched out with nothing signalled; switched in: " + FromMemory,
		What: "The box at the other end of a section changed with a train signalled on it.",
		Why:  "A train accepted by one box may be in a section that another now works.",
		Do:   "Accept nothing. Agree with both boxes where the train is and who clears the section."},
}
