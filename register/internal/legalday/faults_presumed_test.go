package legalday

import (
	"slices"
	"strconv"
	"strings"

	"fairhand/block/rulebook"
)

// presumedFaults are faults that a step not booked would explain, were it not for what
// the book has beside: the time, the other trains, or the step itself, booked later. The
// day ends with them. What is found must stand.
var presumedFaults = []Fault{
	{Name: "let in behind a train of which nothing more is booked", Source: "Winwick 1934", Rules: ids{rulebook.AcceptedSectionOccupied}, Box: atDouble,
		make: story("absolute", 2, "0 $S <1 >1 <$offer >$offer train 9W98", "4 $S <2 >2 train 9W98", "6 $S <1 >1 <$offer >$offer train 9W99", "9 $S <2 >2 train 9W99",
			"18 train 9W99 arrived complete", "19 $S >1 <1 >$clear <$clear train 9W99")},
	{Name: "let in two minutes behind another", Source: "Winwick 1934", Rules: ids{rulebook.OfferedBeforeOutOfSection}, Box: atTimed,
		make: story("absolute", 2, "0 $S >1 <1 >$offer <$offer train 9W98", "4 $S >2 <2 train 9W98", "6 $S >1 <1 >$offer <$offer train 9W99", "9 $S >2 <2 train 9W99",
			"18 $S <1 >1 <$clear >$clear train 9W99")},
	{Name: "let in behind another, out of section sent afterwards", Source: "Winwick 1934", Rules: ids{rulebook.AcceptedSectionOccupied}, Box: atEarly,
		make: story("absolute", 3, "0 $S <1 >1 <$offer >$offer train 9W98", "4 $S <2 >2 train 9W98", "10 train 9W98 arrived complete", "11 $S <1 >1 <$offer >$offer train 9W99", "13 $S <2 >2 train 9W99",
			"20 train 9W99 arrived complete", "21 $S >1 <1 >$clear <$clear train 9W99", "24 $S >1 <1 >$clear <$clear train 9W98")},
	{Name: "accepted while blocked back, removed by 2-1 afterwards", Source: "signalbox.org ch. 3", Rules: ids{rulebook.AcceptedWhileBlocked}, Box: atDouble,
		make: story("absolute", 1, "0 $S >1 <1 >2-4 <2-4", "2 $S <1 >1 <$offer >$offer train 9W98", "5 $S >1 <1 >2-1 <2-1", "10 $S <2 >2 train 9W98",
			"20 train 9W98 arrived complete", "21 $S >1 <1 >$clear <$clear train 9W98")},
	{Name: "accepted while blocked back, removed when the train had gone", Source: "signalbox.org ch. 3", Rules: ids{rulebook.AcceptedWhileBlocked}, Box: atEarly,
		make: story("absolute", 1, "0 $S >1 <1 >2-4 <2-4", "2 $S <1 >1 <$offer >$offer train 9W98", "10 $S <2 >2 train 9W98",
			"20 train 9W98 arrived complete", "21 $S >1 <1 >$clear <$clear train 9W98", "25 $S >1 <1 >2-1 <2-1")},
	{Name: "let in both ways, tokenless, in two minutes", Source: "Abermule, 26 January 1921", Rules: ids{rulebook.OpposingAcceptance}, Box: atTokenless,
		make: story("tokenless", 3, "0 $S >1 <1 >$offer <$offer train 9W98", "2 train 9W98 departed for $S", "2 $S >2 <2 train 9W98", "3 $S <1 >1 <$offer >$offer train 9W99", "4 $S <2 >2 train 9W99",
			"13 train 9W99 arrived complete", "14 $S >1 <1 >$clear <$clear train 9W99")},
	{Name: "by telephone: let in behind a train of which nothing more is booked", Source: "V3 1962, 214", Rules: ids{rulebook.AcceptedSectionOccupied}, Box: atTelephone,
		make: story("telephone", 2, "0 $S <offer >accept train 9W98", "4 $S <entering train 9W98", "6 $S <offer >accept train 9W99", "9 $S <entering train 9W99",
			"18 train 9W99 arrived complete", "19 $S >arrived train 9W99")},
	{Name: "axle counter: line clear before the section is shown free", Source: "Block Working Manual Part B 3.5(A)", Rules: ids{rulebook.AcceptedSectionOccupied, rulebook.OfferedBeforeOutOfSection}, Box: atCounter,
		make: story("axle-counter", 2, "0 $S <offer >accept train 9W98 pn 98", "8 train 9W98 arrived from $S complete", "10 $S <offer >accept train 9W99 pn 99", "11 $S indicator free",
			"18 train 9W99 arrived from $S complete", "18 $S indicator free")},
	{Name: "by message: line clear before the train in front is reported in", Source: "Block Working Manual Part A 8.6", Rules: ids{rulebook.AcceptedSectionOccupied}, Box: atDouble,
		make: story("absolute", 5, `0 $S working by message "bells failed"`, `1 message to $S "line clear for 9W97"`, "8 train 9W97 arrived from $S no-tail-lamp",
			`9 message to $S "9W97 no tail lamp, stop all trains"`, `12 note "sent to look"`, `13 message to $S "line clear for 9W99"`, "20 train 9W99 arrived from $S complete", `21 message to $S "9W99 arrived complete"`)},
	{Name: "by message: sent although refused", Source: "Block Working Manual Part A 8.4", Rules: ids{rulebook.WorkingByMessageNoMessage}, Box: atDouble,
		make: story("absolute", 2, `0 $S working by message "bells failed"`, `1 message from $S "line not clear for 9W98"`, "3 train 9W98 departed for $S", `9 message from $S "9W98 arrived complete"`)},
}

// Stands says whether nothing booked later may answer what is found of a fault.
func (f *Fault) Stands() bool {
	return slices.ContainsFunc(presumedFaults, func(p Fault) bool { return p.Name == f.Name })
}

// story ends the day when a section is empty both ways, and goes on with entries that
// have the minute since before them: the finding is due on the one of that number.
func story(method string, due int, lines ...string) func(*edit) bool {
	return func(e *edit) bool {
		i := max(e.aloneOn(ClearIn, method), e.aloneOn(ClearOut, method))
		if i < 0 {
			return false
		}
		e.Acts = slices.Clip(e.Acts[:i+1])
		for _, l := range lines {
			minute, text, _ := strings.Cut(l, " ")
			n, err := strconv.Atoi(minute)
			if err != nil {
				return false
			}
			e.write(len(e.Acts)-1, text)
			e.Acts[len(e.Acts)-1].Section, e.Acts[len(e.Acts)-1].At = e.Acts[i].Section, e.Acts[i].At+(n+1)*Minute
		}
		return e.due(i+1+due, i+1+due)
	}
}

// aloneOn is alone on a section worked by the method.
func (e *edit) aloneOn(k Kind, method string) int {
	return e.pickIf(k, method, func(i int) bool { return e.idleAfter(i) })
}
