package legalday

import (
	"strings"

	"fairhand/block/rulebook"
)

// The boxes of the further methods.
var (
	atTelephone  = Options{Rules: "british-later", Methods: []string{"telephone", "telephone"}, Last: 11}
	atCounter    = Options{Rules: "indian-general", Methods: []string{"axle-counter", "axle-counter"}, Last: 11}
	atPermissive = Options{Rules: "british-later", Methods: []string{"permissive", "permissive"}, Last: 11}
	atDescribed  = Options{Rules: "british-later", Methods: []string{"absolute", "track-circuit"}, Last: 11}
)

// methodFaults are faults of telephone, axle counter, permissive and track circuit block.
var methodFaults = []Fault{
	{"by telephone: accepted before the last is reported in", "V3 1962, 214", ids{rulebook.AcceptedSectionOccupied, rulebook.OfferedBeforeOutOfSection}, atTelephone,
		func(e *edit) bool {
			return e.put(e.pick(EnterIn, "telephone", ""), "$S <offer >accept train 9W99", "$S <cancel train 9W99")
		}},
	{"by telephone: accepted both ways", "V3 1962, 214; Warngau 1975", ids{rulebook.OpposingAcceptance}, atTelephone,
		func(e *edit) bool {
			return e.put(e.said(OfferOut, "telephone"), "$S <offer >accept train 9W99", "$S <cancel train 9W99")
		}},
	{"by telephone: another train reported in", "Andria to Corato 2016", ids{rulebook.WrongTrainReported}, atTelephone,
		func(e *edit) bool { return e.put(e.pick(EnterOut, "telephone", ""), "$S <arrived train 9W99") }},
	{"by telephone: reported in before it is here", "Andria to Corato 2016", ids{rulebook.OutOfSectionTrainNotArrived}, atTelephone,
		func(e *edit) bool { return e.put(e.pick(EnterIn, "telephone", ""), "$S >arrived train $X") }},
	{"by telephone: a message without its train", "Block Working Manual, annexure on paper line clear, 1.1", ids{rulebook.TrainNumberMissing}, atTelephone,
		func(e *edit) bool {
			i := e.said(OfferIn, "telephone")
			return i >= 0 && e.put(i, "$S <cancel")
		}},
	{"axle counter: line clear with no private number", "Block Working Manual Part B 3.5(A)", ids{rulebook.PrivateNumberMissing}, atCounter,
		func(e *edit) bool {
			i := e.said(OfferIn, "axle-counter")
			if i < 0 {
				return false
			}
			tail := e.Acts[i].Tail
			return e.change(i, tail, "", i)
		}},
	{"axle counter: line clear with a train on the section", "Block Working Manual Part B 3.5(A)", ids{rulebook.AcceptedSectionOccupied, rulebook.OfferedBeforeOutOfSection, rulebook.OpposingAcceptance}, atCounter,
		func(e *edit) bool {
			i := e.pick(Departed, "axle-counter", "")
			return e.put(i, "$S >offer <accept train 9W99 pn 99", "$S >cancel train 9W99")
		}},
	{"axle counter: reset with a train in the section", "Block Working Manual Part B, reset", ids{rulebook.CounterResetTrainInSection}, atCounter,
		func(e *edit) bool {
			return e.put(e.pick(Departed, "axle-counter", ""), `$S counter reset pn 98 "counter 1 to 2"`)
		}},
	{"axle counter: shunt key out with line clear given", "Block Working Manual Part B 1.4", ids{rulebook.ShuntKeyTrainSignalled}, atCounter,
		func(e *edit) bool {
			return e.put(e.said(OfferOut, "axle-counter"), "$S shunt-key out", "$S shunt-key in")
		}},
	{"axle counter: shown free with no train through", "Block Working Manual Part B 3.5(A)", ids{rulebook.SectionFreedNoTrain}, atCounter,
		func(e *edit) bool { return e.put(e.said(OfferOut, "axle-counter"), "$S indicator free") }},
	{"permissive: passenger train behind another", "box instructions of the invented railway", ids{rulebook.PermissivePassenger}, atPermissive,
		func(e *edit) bool {
			return e.put(e.pick(EnterIn, "permissive", ""), "$S <1 >1 <3-1 >3-1 train 9W99", "$S <1 >1 <3-5 >3-5 train 9W99")
		}},
	{"permissive: driver behind another not warned", "box instructions of the invented railway", ids{rulebook.PermissiveNotWarned}, atPermissive,
		func(e *edit) bool {
			i := e.pick(Warned, "permissive", "train in front")
			return i >= 0 && e.drop(i, i-1, e.next(i, EnterOut))
		}},
	{"permissive: out of section for a train not arrived", "signalbox.org ch. 1", ids{rulebook.OutOfSectionTrainNotArrived}, atPermissive,
		func(e *edit) bool {
			return e.put(e.pick(EnterIn, "permissive", ""), "$S >1 <1 >2-1 <2-1 train $X")
		}},
	{"track circuit: a train sent that was not described", "regulations of 1992, 2.4", ids{rulebook.TrainNotDescribed}, atDescribed,
		func(e *edit) bool {
			i := e.pickIf(OfferOut, "track-circuit", func(i int) bool { return e.next(i, Departed) > 0 && e.next(i, CancelOut) < 0 })
			return i >= 0 && e.drop(i, i, e.next(i, Departed))
		}},
	{"track circuit: a train sent during the emergency alarm", "TS1 2.2 as in study cards", ids{rulebook.SignalledDuringAlarm}, atDescribed,
		func(e *edit) bool {
			i := e.pick(BlockBell, "track-circuit", "6")
			return e.put(i, "train 9W99 departed for $S")
		}},
	{"track circuit: out of section given", "regulations of 1992, 2", ids{rulebook.CodeNotAuthorised}, atDescribed,
		func(e *edit) bool { return e.put(e.pick(Arrived, "track-circuit", ""), "$S >1 <1 >2-1 <2-1 train $X") }},
}

// said finds an offer in words that was accepted.
func (e *edit) said(k Kind, method string) int {
	return e.pickIf(k, method, func(i int) bool { return strings.Contains(e.Acts[i].Body, "accept") })
}
