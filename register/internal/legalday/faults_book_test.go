package legalday

import (
	"strings"

	"fairhand/block/rulebook"
)

// otherFaults are faults of shunting, closing, and working without bells.
var otherFaults = []Fault{
	{"shunt not withdrawn", "signalbox.org ch. 8", ids{rulebook.ShuntNotWithdrawn, rulebook.OfferedBeforeOutOfSection}, atDouble,
		func(e *edit) bool {
			i := e.pick(ShuntBell, "absolute", ">8")
			return e.drop(i, i-3, e.find(i, 1, func(a *Act) bool { return a.Kind == OfferOut }))
		}},
	{"shunt withdrawn and still out", "signalbox.org ch. 8", nil, atDouble,
		func(e *edit) bool {
			i := e.pick(ShuntBell, "absolute", ">8")
			return e.move(i, e.find(i, -1, func(a *Act) bool { return a.Kind == Arrived && a.Train == e.Acts[i].Train }))
		}},
	{"shunt into the section not signalled", "signalbox.org ch. 8", ids{rulebook.EnteredWithoutAcceptance}, atDouble,
		func(e *edit) bool {
			i := e.pick(ShuntBell, "absolute", ">8")
			if i < 0 {
				return false
			}
			k := e.before(i, ShuntBell)
			return e.drop(i, k, i) && e.drop(k, k, k+12)
		}},
	{"closed with a train signalled", "signalbox.org ch. 10", ids{rulebook.ClosedWhileSignalled}, atDouble,
		func(e *edit) bool {
			return e.put(e.pick(EnterIn, "absolute", ""), "$S >1 <1 >7-5-5 <7-5-5", "$S >1 <1 >5-5-5 <5-5-5")
		}},
	{"tested with a train accepted, double line", "from memory; Block Working Manual Part A 7.3", ids{rulebook.TestingWhileSignalled}, atDouble,
		func(e *edit) bool { return e.put(e.acceptedIn("absolute"), "$S >1 <1 >16 <16") }},
	{"left with no message", "Block Working Manual Part A 8.4 to 8.6", ids{rulebook.WorkingByMessageNoMessage}, atMessage,
		func(e *edit) bool {
			i := e.pick(Message, "absolute", `message from`)
			for n := 0; n < 50 && i >= 0 && !strings.Contains(e.Acts[i].Body, "line clear"); n++ {
				i = e.pick(Message, "absolute", `message from`)
			}
			return e.drop(i, i, e.next(i, Departed))
		}},
	{"came with no message at all", "Block Working Manual Part A 8.6", nil, atMessage,
		func(e *edit) bool {
			i := e.pick(Message, "absolute", `message to`)
			for n := 0; n < 50 && i >= 0 && !strings.Contains(e.Acts[i].Body, "line clear"); n++ {
				i = e.pick(Message, "absolute", `message to`)
			}
			return e.drop(i, i, e.next(i, Arrived))
		}},
	{"normal working with a train not reported in", "Block Working Manual Part A 8.10(b)", ids{rulebook.SectionNotProvedClear}, atMessage,
		func(e *edit) bool {
			i := e.pickIf(Working, "absolute", func(i int) bool { return strings.Contains(e.Acts[i].Body, "normal") })
			k := e.find(i, -1, func(a *Act) bool {
				return a.Kind == Message && strings.Contains(a.Body, "from") && strings.Contains(a.Body, "arrived")
			})
			return e.drop(k, k, i)
		}},
	{"left without the pilot", "Great Southern Railways 1933, rules 191 and 192", ids{rulebook.PilotMissing}, atPilot,
		func(e *edit) bool {
			i := e.pickIf(Departed, "token", func(i int) bool { return strings.Contains(e.Acts[i].Body, "riding") })
			return e.change(i, ` "T. Hale riding"`, "", i)
		}},
	{"pilot at the other end", "tablet regulations 1890, clause 23", ids{rulebook.PilotMissing}, atPilot,
		func(e *edit) bool {
			i := e.pickIf(Departed, "token", func(i int) bool { return strings.Contains(e.Acts[i].Body, "riding") })
			return e.put(i, `train 0W09 departed for $S "T. Hale riding"`)
		}},
	{"single line working, left without the pilot", "Great Southern Railways 1933, rule 192", ids{rulebook.PilotMissing}, atSingleLine,
		func(e *edit) bool {
			i := e.pickIf(Departed, "absolute", func(i int) bool { return strings.Contains(e.Acts[i].Body, "riding") })
			return e.change(i, ` "T. Hale riding"`, "", i)
		}},
	{"single line working, no form of the pilot", "tablet regulations 1890, clause 23", ids{rulebook.PilotFormMissing}, atSingleLine,
		func(e *edit) bool {
			i := e.pick(Working, "absolute", "form 3")
			k := e.find(i, 1, func(a *Act) bool { return a.Kind == Departed })
			return k >= 0 && strings.Contains(e.Acts[k].Body, "riding") && e.change(i, " form 3", "", k)
		}},
	{"single line working ended with a train on the line", "Subsidiary Rule (India) 11.05.10", ids{rulebook.SectionNotProvedClear}, atSingleLine,
		func(e *edit) bool {
			i := e.pick(Working, "absolute", "form 3")
			k := e.find(i, 1, func(a *Act) bool { return a.Kind == EnterOut })
			return k >= 0 && e.put(k, "$S working normal")
		}},
	{"single line working ended with a train accepted over the line", "Subsidiary Rule (India) 11.05.10", ids{rulebook.WorkingChangedTrainSignalled}, atSingleLine,
		func(e *edit) bool {
			i := e.pick(Working, "absolute", "form 3")
			k := e.find(i, 1, func(a *Act) bool { return a.Kind == OfferOut || a.Kind == OfferIn })
			return k >= 0 && e.put(k, "$S working normal")
		}},
}

// bookFaults are faults of keeping the box and the book.
var bookFaults = []Fault{
	{"worked with nobody on duty", "TS1 1.3; Quintinshill 1915", ids{rulebook.NobodyOnDuty}, atDouble,
		func(e *edit) bool {
			i := e.alone(ClearIn, "")
			return e.put(i, `duty off "A. Fell"`, accept, cancelled, `duty on "A. Fell"`)
		}},
	{"worked by one who may not", "London & North Eastern form 1009/1; St James 1913", ids{rulebook.NotQualified}, atDouble,
		func(e *edit) bool { return e.put(e.pick(ClearIn, "", ""), `duty on "T. Lad"`, `duty off "T. Lad"`) }},
	{"train not handed over", "TS1 1.3", ids{rulebook.HandoverIncomplete}, atFullDay,
		func(e *edit) bool {
			i := e.pick(Carried, "", "")
			k := e.duty(i)
			if i < 0 || !e.drop(i, k, k+60) {
				return false
			}
			return true
		}},
	{"clock not checked", "register instructions, Quintinshill papers; Shrivenham 1936", ids{rulebook.ClockUnchecked}, atFullDay,
		func(e *edit) bool {
			i := e.pick(Clock, "", "slow")
			return e.drop(i, 0, i+120) && e.drop(1, 0, i+120)
		}},
	{"worked when closed", "signalbox.org ch. 10", ids{rulebook.BoxClosed}, atDouble,
		func(e *edit) bool { return e.put(e.alone(ClearIn, ""), "box closed", accept, cancelled, "box open") }},
	{"switched out with one neighbour not told", "signalbox.org ch. 10", ids{rulebook.ClosedWithoutSignal}, atFullDay,
		func(e *edit) bool {
			i := e.pick(Box, "", "switched out")
			return e.drop(i-1, i-1, i)
		}},
	{"offered a train when switched out", "signalbox.org ch. 10", ids{rulebook.BoxClosed}, atFullDay,
		func(e *edit) bool {
			i := e.pick(Box, "", "switched out")
			return e.put(i, "Coldbeck <1 >1 <3-1 >3-1 train 9W99", "Coldbeck <1 >1 <3-5 >3-5 train 9W99")
		}},
	{"written twenty minutes late", "Quintinshill 1915", ids{rulebook.EntryLate}, atDouble,
		func(e *edit) bool {
			i := e.alone(ClearIn, "")
			if !e.put(i, `note "platelayers out of the section"`) {
				return false
			}
			e.Acts[i+1].Written, e.Acts[i+1].At = e.Acts[i+1].At, e.Acts[i+1].At-20*Minute
			return true
		}},
	{"over disconnected points", "Great Southern Railways 1933, rule 77(b) and (c)", ids{rulebook.GearDisconnectedTrainPassed}, atDouble,
		func(e *edit) bool {
			i := e.pick(Passed, "", "passed")
			if i < 0 {
				return false
			}
			e.write(i, `reconnected "Points 5"`)
			e.ahead(i, `disconnected "Points 5"`)
			return e.due(i+1, i+1)
		}},
	{"reminder lifted with the train standing", "TS1 3.5; Quintinshill 1915", ids{rulebook.ReminderRemovedEarly}, atDouble,
		func(e *edit) bool {
			i := e.pick(Arrived, "", "Loop")
			return e.put(i, `reminder on "Lever 5" "$X standing at Loop"`, `reminder off "Lever 5"`)
		}},
}

// duty is the signing on of the relief after entry i.
func (e *edit) duty(i int) int {
	for j := max(i, 0); j < len(e.Acts); j++ {
		if e.Acts[j].Kind == Duty {
			return j
		}
	}
	return -1
}
