package legalday

import (
	"slices"
	"strings"

	"fairhand/block/rulebook"
)

// The boxes of the further entries.
var (
	atFurther      = Options{Rules: "british-later", Methods: []string{"absolute", "absolute"}, Last: 12, Further: true}
	atFurtherToken = Options{Rules: "british-later", Methods: []string{"absolute", "token"}, Last: 12, Further: true}
)

// furtherFaults are faults of what a box books beside bells, trains and tokens.
var furtherFaults = []Fault{
	{"line given up with a party on it", "TS1 13.2.7, as summarised by RSSB", ids{rulebook.BlockagePartyNotClear}, atFurther,
		func(e *edit) bool {
			i := e.pick(PartyKind, "absolute", " clear ")
			return e.drop(i, i, e.find(i, 1, func(a *Act) bool { return a.Kind == BlockageKind }))
		}},
	{"line clear given with a gang on the line", "TS1 13.2; Parikawa 2012", ids{rulebook.AcceptedWhileBlocked}, atFurther,
		func(e *edit) bool {
			return e.put(e.party(" on ", true), "$S <1 >1 <$offer >$offer train 9W99", "$S <1 >1 <$cancel >$cancel train 9W99")
		}},
	{"a gang on a line that is given up", "common practice", ids{rulebook.PartyNotProtected}, atFurther,
		func(e *edit) bool {
			return e.put(e.pick(BlockageKind, "absolute", "blockage-up"), `party "J. Dunn" on $in towards $S number 99 repeated`)
		}},
	{"authority not repeated back", "Parikawa 2012 and Wiri 2012", ids{rulebook.AuthorityIncomplete}, atFurther,
		func(e *edit) bool {
			i := e.pick(PartyKind, "absolute", " repeated")
			return e.change(i, " repeated", "", i)
		}},
	{"clear reported by another than went on", "Parikawa 2012 and Wiri 2012", ids{rulebook.PartyDiffers}, atFurther,
		func(e *edit) bool {
			i := e.pick(PartyKind, "absolute", `"B. Wood" clear`)
			return e.change(i, "B. Wood", "B. Woods", i)
		}},
	{"line clear given with the occupation key out", "Subsidiary Rule (India) 13.03.1.4", ids{rulebook.AcceptedWhileBlocked}, atFurtherToken,
		func(e *edit) bool {
			return e.put(e.pick(BlockageKind, "token", "key out"), "$S <1 >1 <$offer >$offer train 9W99", "$S <1 >1 <$cancel >$cancel train 9W99")
		}},
	{"points wound and not clamped", "GERT8000-TS3 3.4.1 as in study cards; GSR 1933 rule 77(b)", ids{rulebook.PointsNotSecured}, atFurther,
		func(e *edit) bool {
			i := e.pickIf(Apparatus, "", func(i int) bool { return strings.HasPrefix(e.Acts[i].Body, "clamped") })
			return e.drop(i, i, min(i+30, len(e.Acts)-1))
		}},
	{"ground frame out with a train on the line", "common practice", ids{rulebook.GroundFrameOut}, atFurther,
		func(e *edit) bool {
			return e.put(e.pick(EnterIn, "absolute", ""), `ground-frame "$S frame" out`, `ground-frame "$S frame" in`)
		}},
	{"past the section signal without line clear", "W. H. Mills; Railway block code", ids{rulebook.SignalOffWithoutLineClear}, atFurther,
		func(e *edit) bool {
			return e.put(e.pickIf(ClearOut, "absolute", func(i int) bool { return !e.offeredSince(i) }), `train 9W99 moved to Yard`, `train 9W99 authorised past "$S starting" "arm will not clear"`, "train 9W99 put away")
		}},
	{"sent over a line to be examined, and not told", "Railway Clearing House, rule 217(c)", ids{rulebook.LineNotExamined}, atFurther,
		func(e *edit) bool {
			i := e.pick(Warned, "absolute", "to look")
			return e.drop(i, i, e.next(i, EnterOut))
		}},
	{"sent without the message it must hear", "common practice", ids{rulebook.MessageNotDelivered}, atFurther,
		func(e *edit) bool {
			i := e.pick(Hearing, "", " heard")
			return e.drop(i, i, e.next(i, EnterOut))
		}},
	{"stopped, examined, and not fit to go on", "early list of bell codes; that it is booked is common practice", ids{rulebook.UnfitTrainSent}, atFurther,
		func(e *edit) bool {
			i := e.pickIf(Examining, "", func(i int) bool { return strings.Contains(e.Acts[i].Body, " fit") && e.leavesAfter(i) > 0 })
			return i >= 0 && e.change(i, " fit", " unfit", e.leavesAfter(i))
		}},
	{"stopped, and sent on without what was found", "early list of bell codes; that it is booked is common practice", ids{rulebook.ExaminationNotBooked}, atFurther,
		func(e *edit) bool {
			i := e.pickIf(Examining, "", func(i int) bool { return strings.Contains(e.Acts[i].Body, " fit") && e.leavesAfter(i) > 0 })
			return i >= 0 && e.drop(i, i, e.leavesAfter(i))
		}},
	{"joined to a train at another place", "common practice", ids{rulebook.TrainsNotTogether}, atFurther,
		func(e *edit) bool {
			return e.put(e.pick(Arrived, "absolute", `at "Platform`), "train 9W99 moved to Yard", "train 9W99 joined to $X")
		}},
	{"section given up with the assisting engine in it", "General Rules (India) 14.10; Winwick Junction, 28 September 1934", ids{rulebook.AssistingEngineInSection}, atFurther,
		func(e *edit) bool {
			i := e.pickIf(Arrived, "absolute", func(i int) bool {
				return strings.HasSuffix(e.Acts[i].Train, "B") && !strings.Contains(e.Acts[i].Body, "signal")
			})
			if i < 0 {
				return false
			}
			e.Acts = slices.Delete(e.Acts, i+1, i+2)
			return e.drop(i, i, e.find(i, 1, func(a *Act) bool { return a.Kind == ClearOut }))
		}},
	{"section given up with the rear part in it", "signalbox.org ch. 9; General Rules (India) 6.09(4)", ids{rulebook.OutOfSectionTailLampNotSeen}, atFurther,
		func(e *edit) bool {
			i := e.pickIf(Arrived, "absolute", func(i int) bool { return strings.HasSuffix(e.Acts[i].Train, "R") })
			if i < 0 {
				return false
			}
			e.Acts = slices.Delete(e.Acts, i+1, i+2)
			return e.drop(i, i, e.find(i, 1, func(a *Act) bool { return a.Kind == ClearIn }))
		}},
	{"release used with a train in the section", "TS1 3.7 as in study cards; Southerham Junction, 15 June 1976", ids{rulebook.ReleaseTrainInSection}, atFurther,
		func(e *edit) bool {
			return e.put(e.pick(EnterIn, "absolute", ""), `released "$S lock" welwyn for $S told Control "no line clear"`)
		}},
	{"release used, and Control not told", "TS1 3.7 as in study cards", ids{rulebook.ReleaseNotTold}, atFurther,
		func(e *edit) bool {
			i := e.pick(Remark, "", "told Control")
			return e.change(i, " told Control", "", i)
		}},
	{"counter of a release put back", "Block Working Manual part A 2.6", ids{rulebook.CounterDiffers}, atFurther,
		func(e *edit) bool {
			i := e.pick(Remark, "absolute", "counter 42-43")
			return e.change(i, "42-43", "41-42", i)
		}},
	{"the detained train's man has not signed", "Rule 55", ids{rulebook.DetainedEntryIncomplete}, atFurther,
		func(e *edit) bool {
			i := e.pick(Detained, "absolute", " signed")
			return e.change(i, " signed", "", i)
		}},
}

// party picks an entry about a party on the line towards the box, or on the one away.
func (e *edit) party(words string, in bool) int {
	return e.pickIf(PartyKind, "absolute", func(i int) bool {
		for _, n := range neighbours {
			if n.name == e.Acts[i].Section && in {
				return strings.Contains(e.Acts[i].Body, words+n.in+" ")
			}
		}
		return false
	})
}

// leavesAfter is the entry of train entering section of the train of entry i, over
// whichever section it goes; -1 for none.
func (e *edit) leavesAfter(i int) int {
	for j := i + 1; j < len(e.Acts); j++ {
		if e.Acts[j].Kind == EnterOut && e.Acts[j].Train == e.Acts[i].Train {
			return j
		}
	}
	return -1
}

// offeredSince says whether line clear for the next train stands when entry i is written.
func (e *edit) offeredSince(i int) bool {
	n := e.find(i, 1, func(a *Act) bool { return a.Kind == OfferOut || a.Kind == ClearOut || a.Kind == EnterOut })
	return n >= 0 && e.Acts[n].Kind != OfferOut
}
