package legalday_test

import (
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"fairhand/block/rulebook"
	"fairhand/register/internal/legalday"
)

// asLeftOut are faults of which the book is that of right working with one entry left out,
// or the remark of one: the offer, the token drawn, the ticket written, who rode with the
// train, its return, the report that it is through, obstruction danger of which the end is belled. They are found as a danger, and answered when what follows shows the
// step: by an irregular finding there, which stays open.
var asLeftOut = map[string]bool{
	"left with no line clear": true, "left with no token": true, "left with neither staff nor ticket": true,
	"left without the pilot": true, "single line working, left without the pilot": true,
	"token put back with the train away": true, "normal working with a train not reported in": true,
	"left with no message": true, "obstruction danger not sent": true,
}

// faultFurther is how many findings beside its own a fault may lead to that are
// not told to follow from it.
const faultFurther = 3

// TestLegalDayFaults breaks one regulation a day: each must be found on the entry
// that breaks it or on the one that proves it, and must stay open.
func TestLegalDayFaults(t *testing.T) {
	if n := len(legalday.Faults()); n < 60 {
		t.Errorf("%d kinds of fault, want 60", n)
	}
	got, found, made, beyond := map[string]int{}, 0, 0, 0
	for _, f := range legalday.Faults() {
		tries, hits, most := faultOn(t, f)
		if tries == 0 {
			t.Errorf("%s: no day has a place for it", f.Name)
		}
		made, found = made+tries, found+hits
		got[f.Name+" | missed"], got[f.Name+" | further"] = tries-hits, max(0, most-faultFurther)
		if most > faultFurther {
			beyond++
		}
		t.Logf("%-62s found %d of %d, at most %2d further | %v | %s", f.Name, hits, tries, most, f.Rules, f.Source)
	}
	t.Logf("%d kinds of fault, %d made, %d missed; %d kinds lead to more than %d further findings", len(legalday.Faults()), made, made-found, beyond, faultFurther)
	holdKnown(t, "faults", got)
}

// faultOn makes a fault on some days.
func faultOn(t *testing.T, f legalday.Fault) (tries, hits, most int) {
	o := f.Box
	for seed := 0; seed < 40 && tries < max(2, days()/20); seed++ {
		o.Seed = uint64(seed)
		d := legalday.Make(o)
		broken, first, last, ok := f.On(d, rand.New(rand.NewPCG(7, uint64(seed))))
		if !ok {
			continue
		}
		tries++
		found := foundOnDay(t, broken)
		hit := slices.IndexFunc(found, func(g dayFinding) bool {
			i := broken.EntryOf(g.line)
			return i >= first && i <= last && (opens(broken, g) || asLeftOut[f.Name] && saidMissing(found, g)) && (f.Rules == nil || slices.Contains(f.Rules, rulebook.RuleID(g.rule)))
		})
		further := len(found)
		for i, g := range found {
			if i == hit || g.follows || g.answered {
				further--
			}
		}
		if most = max(most, further); hit >= 0 {
			hits++
		}
		if os.Getenv("FAIRHAND_SHOW") == f.Name && (hit < 0 || further > faultFurther) {
			for _, g := range found {
				t.Logf("line %d %s %s", g.line, g.rule, g.text)
			}
			t.Logf("due on lines %d to %d\n%s", broken.LineOf(first), broken.LineOf(last), around(broken, dayFinding{line: broken.LineOf(first)}))
		}
	}
	return tries, hits, most
}

// opens says whether a finding stays open; or is answered within its minute, whose entries
// read in another order are right working: the order on paper proves nothing there, and the
// finding is on record.
func opens(d *legalday.Day, f dayFinding) bool {
	if !f.answered {
		return true
	}
	i, by := d.EntryOf(f.line), d.EntryOf(f.by)
	return i >= 0 && by >= 0 && d.Acts[i].At/60 == d.Acts[by].At/60
}

// saidMissing says whether a danger is answered by an irregular finding that stays open.
func saidMissing(found []dayFinding, g dayFinding) bool {
	return g.severity == rulebook.Danger && slices.ContainsFunc(found, func(h dayFinding) bool {
		return h.line == g.by && h.severity == rulebook.Irregular && !h.answered
	})
}
