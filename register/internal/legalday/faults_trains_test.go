package legalday

import (
	"strings"

	"fairhand/block/rulebook"
)

// enteringFaults are faults of trains that leave.
var enteringFaults = []Fault{
	{"left with no line clear", "signalbox.org ch. 8; W. H. Mills", ids{rulebook.EnteredWithoutAcceptance}, atDouble,
		func(e *edit) bool {
			i := e.acceptedOut("absolute")
			return e.drop(i, i, e.next(i, EnterOut))
		}},
	{"another train went", "Hawes Junction 1910", ids{rulebook.WrongTrainEntered, rulebook.EnteredWithoutAcceptance}, atDouble,
		func(e *edit) bool {
			i := e.pickIf(Departed, "absolute", func(i int) bool { return e.accepted(i) })
			k, j := e.next(i, EnterOut), e.next(i, ClearOut)
			if k < 0 || j < 0 {
				return false
			}
			e.write(j, "train $X put away")
			for _, n := range []int{i, k, j} {
				e.Acts[n].Name = "0W09"
			}
			return e.due(i, k)
		}},
	{"a second train on one line clear", "one train, one line clear: from memory; signalbox.org ch. 8", ids{rulebook.EnteredWithoutAcceptance, rulebook.WrongTrainEntered}, atDouble,
		func(e *edit) bool { return e.put(e.pick(EnterOut, "absolute", ""), "train 0W09 departed for $S") }},
	{"entering not sent", "W. H. Mills, about 1898", ids{rulebook.EnteringNotSent}, atDouble,
		func(e *edit) bool {
			i := e.pickIf(Departed, "absolute", func(i int) bool { return e.accepted(i) })
			return e.drop(e.next(i, EnterOut), i, e.next(i, ClearOut))
		}},
	{"entering not sent for a train that passed", "W. H. Mills, about 1898", ids{rulebook.EnteringNotSent}, atDouble,
		func(e *edit) bool {
			i := e.pick(EnterOut, "absolute", "")
			for n := 0; n < 50 && i > 0 && e.Acts[i-1].Kind != Passed; n++ {
				i = e.pick(EnterOut, "absolute", "")
			}
			if i < 1 || e.Acts[i-1].Kind != Passed {
				return false
			}
			return e.drop(i, i-1, e.next(i, ClearOut))
		}},
	{"entering sent twice", "token-line table, W-23", ids{rulebook.EnteringTwice}, atDouble,
		func(e *edit) bool { return e.put(e.pick(EnterOut, "absolute", ""), "$S >2 <2") }},
	{"entering not answered", "tablet regulations 1890, clause 4", ids{rulebook.NotAcknowledged}, atDouble,
		func(e *edit) bool {
			i := e.pick(EnterOut, "absolute", "")
			return e.change(i, " <2", "", e.next(i, ClearOut))
		}},
	{"cancelled after entering", "signaller study cards, cancelling", ids{rulebook.CancelledAfterEntering}, atDouble,
		func(e *edit) bool {
			return e.put(e.pick(EnterOut, "absolute", ""), "$S >1 <1 >$cancel <$cancel train $X")
		}},
	{"cancelled after entering, towards us", "signaller study cards, cancelling", ids{rulebook.CancelledAfterEntering}, atDouble,
		func(e *edit) bool {
			return e.put(e.pick(EnterIn, "absolute", ""), "$S <1 >1 <$cancel >$cancel train $X")
		}},
	{"driver not warned under the warning arrangement", "signalbox.org ch. 5", ids{rulebook.TrainNotWarned}, atDouble,
		func(e *edit) bool {
			i := e.pick(Warned, "absolute", "home signal only")
			return e.drop(i, i, e.next(i, EnterOut))
		}},
	{"sent onto an obstructed line", "signaller study cards, obstruction danger; GSR 1933 rule 178", nil, atDouble,
		func(e *edit) bool {
			i := e.acceptedOut("absolute")
			k := e.next(i, EnterOut)
			if k < 0 {
				return false
			}
			j := e.next(i, ClearOut)
			e.write(j, "clear $out $S")
			e.ahead(i, `obstruct $out $S "tree on the line"`)
			return e.due(i+1, k+1)
		}},
	{"sent onto a line blockage", "TS1 13.2", nil, atDouble,
		func(e *edit) bool {
			i := e.blockage("out")
			return e.put(i, "$S >1 <1 >$offer <$offer train 0W09", "train 0W09 departed for $S", "$S >2 <2 train 0W09", "$S <1 >1 <$clear >$clear train 0W09")
		}},
	{"sent after obstruction danger", "signaller study cards, obstruction danger: signals to danger", nil, atDouble, sentAfter("6", 2)},
	{"sent against a runaway", "TS1 2.2 as in study cards; Chapel-en-le-Frith 1957", nil, atDouble, sentAfter("2-5-5", 1)},
	{"section signal off with no line clear", "W. H. Mills; Railway block code", ids{rulebook.SignalOffWithoutLineClear}, atDouble,
		func(e *edit) bool {
			return e.put(e.alone(ClearOut, ""), `signal "$S starting" off`, `signal "$S starting" on`)
		}},
	{"section signal off twice", "one pull for one line clear: from memory", ids{rulebook.SignalOffTwice}, atDouble,
		func(e *edit) bool {
			return e.put(e.acceptedOut("absolute"), `signal "$S starting" off`, `signal "$S starting" on`, `signal "$S starting" off`, `signal "$S starting" on`)
		}},
	{"arrived with no entering", "token-line table, W-36; GNR 1897", ids{rulebook.EnteringNotSent}, atDouble,
		func(e *edit) bool {
			i := e.pick(EnterIn, "absolute", "")
			return e.drop(i, i-1, e.next(i, ClearIn))
		}},
	{"arrived and never accepted", "signalbox.org ch. 8; Railway block code", ids{rulebook.EnteredWithoutAcceptance}, atDouble,
		func(e *edit) bool {
			i := e.acceptedIn("absolute")
			k := e.next(i, EnterIn)
			return e.drop(i, i, k)
		}},
}

// sentAfter sends the train that is accepted all the same, after a bell of the box in advance
// by which it must be held. The fault is due from so many entries behind the acceptance.
func sentAfter(beats string, behind int) func(*edit) bool {
	return func(e *edit) bool {
		i := e.acceptedOut("absolute")
		k, j := e.next(i, EnterOut), e.next(i, ClearOut)
		if j < 0 {
			return false
		}
		e.write(j, "$S <1 >1 <$removed >$removed")
		e.write(i, "$S <"+beats+" >"+beats)
		return e.due(i+behind, k+1)
	}
}

// accepted says whether the departure of entry i is one on line clear.
func (e *edit) accepted(i int) bool {
	return e.before(i, OfferOut) >= 0 && e.next(i, EnterOut) == i+1
}

// clearingFaults are faults of trains that come, of their tail lamps, and of
// obstructions.
var clearingFaults = []Fault{
	{"out of section before the train is here", "Winwick 1934; Thirsk 1892", ids{rulebook.OutOfSectionTrainNotArrived}, atDouble,
		func(e *edit) bool { return e.clearedBefore("absolute") }},
	{"out of section, tail lamp not looked for", "Shrivenham 1936; signalbox.org ch. 9", ids{rulebook.OutOfSectionTailLampNotSeen}, atDouble,
		func(e *edit) bool {
			i := e.pick(Arrived, "absolute", " complete")
			j := e.next(i, ClearIn)
			return e.change(i, " complete", "", j)
		}},
	{"out of section for a train not found complete", "signaller study cards, tail lamp", ids{rulebook.OutOfSectionTailLampNotSeen}, atDouble,
		func(e *edit) bool {
			i := e.pick(Entire, "absolute", "")
			return e.drop(i, i, e.next(i, ClearIn))
		}},
	{"no tail lamp, box in rear not told", "signaller study cards, tail lamp", ids{rulebook.TailLampNotReported}, atDouble,
		func(e *edit) bool {
			i := e.pick(LampBell, "absolute", ">4-5")
			return e.drop(i, i-6, e.next(i, ClearIn))
		}},
	{"no tail lamp or lamp out, box in advance not told", "signaller study cards, tail lamp", ids{rulebook.TailLampNotReported, rulebook.TailLampOutNotReported}, atDouble,
		func(e *edit) bool {
			i := e.pick(LampBell, "absolute", ">9")
			return e.drop(i, i-4, e.next(i, ClearOut))
		}},
	{"tail lamp signals to the wrong sides", "signaller study cards, tail lamp; early BR list", ids{rulebook.WrongSideSignal}, atDouble,
		func(e *edit) bool {
			i := e.pick(LampBell, "absolute", ">4-5")
			return e.change(i, ">4-5 <4-5", ">9 <9", i)
		}},
	{"train beside a section in doubt not stopped", "signaller study cards, tail lamp: stop it, tell the driver", ids{rulebook.SectionNotProvedClear}, atDouble,
		func(e *edit) bool {
			i := e.pick(Warned, "absolute", "without tail lamp")
			return e.drop(i, i, e.next(i, EnterOut))
		}},
	{"offered again after 4-5", "signaller study cards, tail lamp", ids{rulebook.OfferedBeforeOutOfSection, rulebook.SectionNotProvedClear}, atDouble,
		func(e *edit) bool { return e.put(e.pick(EnterOut, "absolute", ""), "$S <1 >1 <4-5 >4-5", offer) }},
	{"out of section with the train within the clearing point", "Wikipedia, Absolute block signalling", ids{rulebook.OutOfSectionClearingPointFouled}, atDouble,
		func(e *edit) bool {
			i := e.pick(Arrived, "absolute", " complete")
			j := e.next(i, ClearIn)
			if j < 0 {
				return false
			}
			_, rest, _ := strings.Cut(e.Acts[i].Body, " at ")
			place, _, _ := strings.Cut(strings.TrimPrefix(rest, `"`), `"`)
			e.write(j, `train $X moved to "Platform 1"`)
			return e.change(i, place, e.Acts[i].Section+" home", j)
		}},
	{"out of section with no train", "token-line table, W-12; common practice", ids{rulebook.OutOfSectionNoTrain}, atDouble,
		func(e *edit) bool { return e.put(e.alone(ClearIn, ""), "$S >1 <1 >$clear <$clear") }},
	{"out of section received with no train", "token-line table, W-12", ids{rulebook.OutOfSectionNoTrain}, atDouble,
		func(e *edit) bool { return e.put(e.alone(ClearOut, ""), "$S <1 >1 <$clear >$clear") }},
	{"here sooner than any train can run", "common practice", ids{rulebook.RunningTimeShort}, atTimed,
		func(e *edit) bool {
			i := e.pick(Arrived, "absolute", " complete")
			k := e.before(i, EnterIn)
			if k < 0 || !e.move(i, k+1) {
				return false
			}
			e.Acts[k+1].At = e.Acts[k].At
			return e.due(k+1, e.next(k, ClearIn))
		}},
	{"obstruction danger not sent", "signaller study cards, obstruction danger; Shrivenham 1936", ids{rulebook.ObstructionDangerNotSent}, atDouble,
		func(e *edit) bool {
			i := e.pick(Obstruction, "absolute", "wagon sheet")
			return e.drop(i+1, i, e.find(i, 1, func(a *Act) bool { return a.Kind == UnblockBell }))
		}},
	{"obstruction danger minutes late", "Shrivenham 1936: about 13 minutes", ids{rulebook.ObstructionDangerNotSent}, atDouble,
		func(e *edit) bool {
			i := e.pick(Obstruction, "absolute", "wagon sheet")
			if i < 0 || e.Acts[i+1].Kind != BlockBell || e.Acts[i].At < 7*3600 {
				return false
			}
			e.Acts[i].At -= 180
			for i > 0 && e.Acts[i-1].At > e.Acts[i].At {
				e.Acts[i-1], e.Acts[i] = e.Acts[i], e.Acts[i-1]
				i--
			}
			return e.due(i, e.find(i, 1, func(a *Act) bool { return a.Kind == BlockBell }))
		}},
	{"removed with the obstruction still there", "signaller study cards, obstruction danger", ids{rulebook.ObstructionDangerNotRemoved}, atDouble,
		func(e *edit) bool {
			i := e.pick(Obstruction, "absolute", "clear ")
			k := e.find(i, 1, func(a *Act) bool { return a.Kind == UnblockBell })
			if k < 0 {
				return false
			}
			e.write(k, e.Acts[i].Body)
			return e.drop(i, i, k)
		}},
	{"blockage given with a train in the section", "Staircase 2011 and Otira 2013; TS1 13.2", ids{rulebook.BlockageTrainInSection}, atDouble,
		func(e *edit) bool {
			return e.put(e.pick(EnterIn, "absolute", ""), `blockage $in towards $S "person in charge J. Wray"`, "blockage-up $in towards $S")
		}},
	{"stop and examine received, train let through", "early BR list: 7; trade notes 1.3", nil, atDouble,
		func(e *edit) bool {
			i := e.pick(Passed, "", "passed")
			return e.put(e.before(i, EnterIn), "$S <1 >1 <7 >7") && e.due(e.last, e.last+20)
		}},
}

// clearedBefore gives out of section before the train is booked in.
func (e *edit) clearedBefore(method string) bool {
	i := e.pickIf(Arrived, method, func(i int) bool { return strings.Contains(e.Acts[i].Body, " complete") && e.next(i, ClearIn) > i })
	return e.move(e.next(i, ClearIn), i)
}
