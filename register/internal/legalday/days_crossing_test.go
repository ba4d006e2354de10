package legalday_test

import (
	"slices"
	"testing"

	"fairhand/register/internal/legalday"
)

// daysWithCrossing are legal days with a user-worked crossing, in three habits.
func daysWithCrossing(n int) (out []*legalday.Day) {
	for seed := range n {
		for _, o := range []legalday.Options{
			{Rules: "british-later", Methods: []string{"absolute", "absolute"}},
			{Rules: "british-later", Methods: []string{"absolute", "token"}},
			{Rules: "british-early", Methods: []string{"absolute", "absolute"}, Habit: legalday.Signals},
		} {
			o.Crossing, o.Seed = true, uint64(seed)
			out = append(out, legalday.Make(o))
		}
	}
	return out
}

// TestLegalDaysWithCrossing: calls worked by the rules raise nothing above advice;
// leave given in front of a train is found on that entry.
func TestLegalDaysWithCrossing(t *testing.T) {
	calls, faults := 0, 0
	for _, d := range daysWithCrossing(days()) {
		for _, a := range d.Acts {
			if a.Kind == legalday.CrossingCall {
				calls++
			}
		}
		if found := checkedDay(t, d); len(found) > 0 {
			t.Fatalf("%+v: a legal day is not read as one\n%s", d.Options, around(d, found[0]))
		}
		for nth := range 3 {
			broken, _, ok := legalday.UserInFrontOfTrain(d, nth)
			if !ok {
				continue
			}
			faults++
			found := checkedDay(t, broken)
			named := 0
			for _, f := range found {
				if f.rule == "crossing-train-approaching" {
					named++
				}
			}
			if named != 1 || len(found) > 2 {
				t.Errorf("%+v, leave to cross in front of a train: %d findings, %d of them its own: %+v", d.Options, len(found), named, found)
			}
		}
	}
	t.Logf("%d entries of calls without a finding; %d faults, each found once", calls, faults)
}

// TestOneCrossingEntryLeftOut: a call, a word or a report not booked raises no more
// than two findings that do not follow from another.
func TestOneCrossingEntryLeftOut(t *testing.T) {
	slips, most := 0, map[int]int{}
	for _, d := range daysWithCrossing(1)[:1] {
		for i, a := range d.Acts {
			if a.Kind != legalday.CrossingCall {
				continue
			}
			slips++
			found := slices.DeleteFunc(checkedDay(t, legalday.Without(d, i)), func(f dayFinding) bool { return f.follows })
			if most[len(found)]++; len(found) > 2 {
				t.Errorf("%+v without %q: %+v", d.Options, a.Body, found)
			}
		}
	}
	t.Logf("%d slips; how many with so many findings: %v", slips, most)
}
