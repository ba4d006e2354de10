package rulebook

// References of releases, occupations and points.
const (
	refRelease    = "GERT8000-TS1 3.7; read in study cards, https://api.brainscape.com/flashcards/the-rules-21216767/packs/23279830"
	refBlockage   = "GERT8000-TS1 13.2.7, release without the recorded hand-back; read in change summaries, https://www.rssb.co.uk/en/standards-catalogue/CatalogueItem/gert8000-ts1-iss-16"
	refSoutherham = "Southerham Junction, 15 June 1976, a release key used under a train"
)

// boxRules are the rules of what a box meets beside its trains and bells: releases,
// occupations, points.
var boxRules = []Rule{
	{ID: ReleaseTrainInSection, Severity: Danger,
		What: "A release was used with a train in the section.",
		Why:  "It takes away the lock that keeps a second train out or the points still.",
		Do:   "Stop every train that could use what was freed. Make sure where the train is and that it is complete before anything else is worked.",
		Ref:  refRelease + "; " + refSoutherham},
	{ID: ReleaseNotTold, Severity: Irregular,
		What: "A release was used and Control was not told.",
		Why:  "Each use is to be known outside the box; an instrument that needs releases is failing.",
		Do:   "Tell Control now, and write down whom and when.",
		Ref:  refRelease},
	{ID: ReleaseIncomplete, Severity: Irregular,
		What: "The use of a release was booked without its cause or its counter.",
		Why:  "Nobody can say later why the lock was taken away, or how often.",
		Do:   "Book the cause, and the counter before and after.",
		Ref:  refRelease + "; the counter: " + CommonPractice},
	{ID: CounterDiffers, Severity: Irregular,
		What: "The counter of a release is not where it was last booked.",
		Why:  "It counts every use: one was made and not booked, or the counter was read wrongly. It never goes back.",
		Do:   "Read it again. If it is right, find out who used the release and when.",
		Ref:  inManual + "2.6 and 7.3" + inBooks + "; the comparison: " + CommonPractice},

	{ID: BlockagePartyNotClear, Severity: Danger,
		What: "A blockage was given up with a party not reported clear of the line.",
		Why:  "One \"clear\" speaks for one party only. The others are still on the line and a train may come.",
		Do:   "Stop trains from the line at once and block it again. Ask each party by name, and wait for its own answer.",
		Ref:  refBlockage},
	{ID: PartyNotProtected, Severity: Irregular,
		What: "A party was let on a line with no blockage booked.",
		Why:  "Nothing in the book keeps trains from it.",
		Do:   "Take the blockage, or call the party off the line; then book it.",
		Ref:  CommonPractice},
	{ID: PartyDiffers, Severity: Irregular,
		What: "A party reported clear, or went on the line, under another name or number than that of the authority.",
		Why:  "It may be another party, or another line.",
		Do:   "Ask again: the name, the line, the number. Correct the entry if it was a slip.",
		Ref:  CommonPractice},
	{ID: AuthorityIncomplete, Severity: Irregular,
		What: "An authority was given without its number or without being repeated back.",
		Why:  "What the party understood may be another line or another place.",
		Do:   "Have it repeated, and book that with the number.",
		Ref:  CommonPractice},
	{ID: OccupationKeyDiffers, Severity: Irregular,
		What: "The occupation key was taken or given up and was not where it is booked.",
		Why:  "The key out is the proof that the line is occupied; the book and the instrument must agree.",
		Do:   "Look at the instrument. Correct the book, or find out who has the key.",
		Ref:  "Subsidiary Rule (India) 13.03.1.4" + inBooks + "; the comparison: " + CommonPractice},
}
