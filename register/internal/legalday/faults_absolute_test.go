package legalday

import (
	"strings"

	"fairhand/block/rulebook"
)

// What a train nobody has is made to do: accepted, and cancelled again so that
// the rest of the day is regular.
const (
	accept    = "$S <1 >1 <$offer >$offer train 9W99"
	cancelled = "$S <1 >1 <$cancel >$cancel train 9W99"
	offer     = "$S >1 <1 >$offer train 9W99"
)

// acceptingFaults are faults of offering and accepting.
var acceptingFaults = []Fault{
	{"accepted with a train in the section", "Winwick 1934: none asked for or given before out of section", ids{rulebook.AcceptedSectionOccupied}, atDouble,
		func(e *edit) bool { return e.put(e.pick(EnterIn, "absolute", ""), accept, cancelled) }},
	{"accepted with a train in the section, early set", "Great Northern 1897; Regulation 4", ids{rulebook.AcceptedSectionOccupied}, atEarly,
		func(e *edit) bool { return e.put(e.pick(EnterIn, "absolute", ""), accept, cancelled) }},
	{"accepted twice", "London & North Eastern form 1009/1: only with the indicator normal", ids{rulebook.AcceptedTwice}, atDouble,
		func(e *edit) bool { return e.put(e.acceptedIn("absolute"), accept, cancelled) }},
	{"accepted while blocked back inside", "signalbox.org ch. 3", ids{rulebook.AcceptedWhileBlocked}, atDouble,
		func(e *edit) bool { return e.put(e.pick(BlockBell, "absolute", ">2-4 <2-4"), accept, cancelled) }},
	{"accepted while blocked back outside", "signaller study cards, blocking back", ids{rulebook.AcceptedWhileBlocked}, atDouble,
		func(e *edit) bool { return e.put(e.pick(BlockBell, "absolute", ">3-3 <3-3"), accept, cancelled) }},
	{"accepted under warning while blocked back outside", "signaller study cards, blocking back: under no circumstances", ids{rulebook.AcceptedWhileBlocked}, atDouble,
		func(e *edit) bool {
			return e.put(e.pick(BlockBell, "absolute", ">3-3 <3-3"), "$S <1 >1 <3-2 >3-5-5 <3-5-5 train 9W99", cancelled)
		}},
	{"accepted under obstruction danger", "signaller study cards, obstruction danger", ids{rulebook.AcceptedWhileBlocked}, atDouble,
		func(e *edit) bool {
			return e.put(e.pickIf(BlockBell, "absolute", func(i int) bool { return strings.Contains(e.Acts[i].Body, ">6 <6") && !e.taken(i) }), accept, cancelled)
		}},
	{"accepted onto a line blockage", "TS1 13.2.4", ids{rulebook.AcceptedWhileBlocked}, atDouble,
		func(e *edit) bool { return e.put(e.blockage("in"), accept, cancelled) }},
	{"offered onto a line blockage", "TS1 13.2.4", ids{rulebook.OfferedWhileBlocked}, atDouble,
		func(e *edit) bool { return e.put(e.blockage("out"), offer) }},
	{"offered while blocked back outside there", "signalbox.org ch. 3: not offered while blocked back", ids{rulebook.OfferedWhileBlocked}, atDouble,
		func(e *edit) bool { return e.put(e.pick(BlockBell, "absolute", "<3-3 >3-3"), offer) }},
	{"accepted with the clearing point fouled", "TS3 3.4.1 as in study cards; Quintinshill 1915", ids{rulebook.AcceptedClearingPointFouled}, atDouble,
		func(e *edit) bool {
			i := e.acceptedIn("absolute")
			if i < 0 {
				return false
			}
			e.write(i, "train Pilot moved to Yard")
			e.ahead(i, `train Pilot moved to "$S home"`)
			return e.due(i+1, i+1)
		}},
	{"standing within the clearing point, not blocked back", "signalbox.org ch. 3; Quintinshill 1915", ids{rulebook.NotBlockedBack}, atDouble,
		func(e *edit) bool {
			i := e.pick(BlockBell, "absolute", ">2-4 <2-4")
			m := e.find(i, 1, func(a *Act) bool { return a.Kind == Moved })
			return e.drop(e.find(i, 1, func(a *Act) bool { return a.Kind == UnblockBell }), i, m) && e.drop(i, m-1, m)
		}},
	{"answered by other beats", "Feather, Signal box bell codes: an acknowledgement repeats the code", ids{rulebook.AcknowledgedWrongly}, atDouble,
		func(e *edit) bool { return e.put(e.alone(ClearIn, ""), "$S <1 >1 <4 >3-1 train 9W99") }},
	{"offered before out of section", "Winwick 1934", ids{rulebook.OfferedBeforeOutOfSection}, atDouble,
		func(e *edit) bool { return e.put(e.pick(EnterOut, "absolute", ""), offer) }},
	{"offered and taken before out of section", "Winwick 1934", ids{rulebook.OfferedBeforeOutOfSection}, atDouble,
		func(e *edit) bool {
			return e.put(e.pick(EnterOut, "absolute", ""), "$S >1 <1 >$offer <$offer train 9W99", "$S >1 <1 >$cancel <$cancel train 9W99")
		}},
	{"no call attention", "Railway block code; Feather", ids{rulebook.CallAttentionOmitted}, atDouble,
		func(e *edit) bool {
			i := e.acceptedIn("absolute")
			return i >= 0 && e.change(i, "<1 >1 ", "", i)
		}},
	{"beats in no table", "Block Working Manual Part A 2.5: what is not understood is not answered", ids{rulebook.CodeUnknown}, atDouble,
		func(e *edit) bool { return e.put(e.alone(ClearIn, ""), "$S <1 >1 <7-7-7 >7-7-7") }},
	{"a train not described again after 5-3", "from memory", ids{rulebook.WrongDescriptionNotFollowed, rulebook.EnteredWithoutAcceptance}, atDouble,
		func(e *edit) bool {
			i := e.acceptedIn("absolute")
			return e.put(i, "$S <1 >1 <5-3 >5-3 train $X") && e.due(i+1, e.next(i, EnterIn))
		}},
	{"blocked back with a train accepted", "the trade's own table: nothing signalled when the line is blocked back", ids{rulebook.BlockingBackTrainSignalled}, atDouble,
		func(e *edit) bool {
			return e.put(e.acceptedIn("absolute"), "$S >1 <1 >2-4 <2-4", "$S >1 <1 >$removed <$removed")
		}},
	{"nothing to remove", "common practice", ids{rulebook.NothingToRemove, rulebook.OutOfSectionNoTrain}, atDouble,
		func(e *edit) bool { return e.put(e.alone(ClearIn, ""), "$S >1 <1 >2-1-2 <2-1-2") }},
	{"cancelled, nothing signalled", "token-line table: cancelling with nothing to cancel", ids{rulebook.CancelledNothing}, atDouble,
		func(e *edit) bool { return e.put(e.alone(ClearIn, ""), "$S <1 >1 <$cancel >$cancel") }},
}

// acceptedIn is an acceptance of a train that then comes.
func (e *edit) acceptedIn(method string) int {
	return e.pickIf(OfferIn, method, func(i int) bool {
		return strings.Contains(e.Acts[i].Body, " >") && strings.Count(e.Acts[i].Body, " ") == 4 && e.next(i, EnterIn) > i && e.next(i, CancelIn) < 0
	})
}

// acceptedOut is one of a train that goes.
func (e *edit) acceptedOut(method string) int {
	return e.pickIf(OfferOut, method, func(i int) bool {
		return strings.Count(e.Acts[i].Body, " ") == 4 && e.next(i, EnterOut) > i && e.next(i, CancelOut) < 0
	})
}

// alone is an entry after which nothing is signalled on the lines of its section
// for some minutes.
func (e *edit) alone(k Kind, words string) int {
	return e.pickIf(k, "", func(i int) bool { return strings.Contains(e.Acts[i].Line(), words) && e.idleAfter(i) })
}

// idleAfter says whether the section of entry i is empty both ways once it is
// done, by the entries before it.
func (e *edit) idleAfter(i int) bool {
	var in, out, shut bool
	for _, a := range e.Acts[:i+1] {
		if a.Section != e.Acts[i].Section {
			continue
		}
		switch a.Kind {
		case OfferIn:
			in = true
		case ClearIn, CancelIn:
			in = false
		case OfferOut:
			out = true
		case ClearOut, CancelOut:
			out = false
		case BlockBell, ShuntBell, BlockageKind:
			shut = !strings.Contains(a.Body, ">8") && !strings.Contains(a.Body, "-up ") && !strings.Contains(a.Body, ">2-5")
		case UnblockBell:
			shut = false
		}
	}
	return !in && !out && !shut
}

// taken says whether a train is signalled towards us at entry i.
func (e *edit) taken(i int) bool {
	j := e.find(i, -1, func(a *Act) bool { return a.Kind == OfferIn || a.Kind == ClearIn || a.Kind == CancelIn })
	return j >= 0 && e.Acts[j].Kind == OfferIn
}

// blockage is a line blockage of the line towards us or from us.
func (e *edit) blockage(way string) int {
	return e.pickIf(BlockageKind, "absolute", func(i int) bool {
		for _, n := range neighbours {
			line := n.in
			if way == "out" {
				line = n.out
			}
			if n.name == e.Acts[i].Section && strings.HasPrefix(e.Acts[i].Body, "blockage "+line+" ") {
				return true
			}
		}
		return false
	})
}
