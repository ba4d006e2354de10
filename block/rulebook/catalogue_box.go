package rulebook

// References of releases, occupations and points.
const (
	refRelease    = "GERT8000-TS1 3.7; read in study cards, https://api.brainscape.com/flashcards/the-rules-21216767/packs/23279830"
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
}
