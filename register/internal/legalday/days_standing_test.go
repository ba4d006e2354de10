package legalday_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"fairhand/block/rulebook"
	"fairhand/register/internal/legalday"
)

// TestSlipsLeaveNoDanger spoils entries of a day of every variant in each way: written late, at a
// wrong minute, with no name or with one misspelt, no danger stands at the end of such a book. Of
// entries left out, which a late entry answers, those after which one does are counted by their
// kind; and none is worth more than three. FAIRHAND_DAYS is how many entries of each day, 3 otherwise.
func TestSlipsLeaveNoDanger(t *testing.T) {
	tried, got, out := map[string]int{}, map[string]int{}, map[string]int{}
	for n, v := range legalday.Variants() {
		o := v.Options
		o.Seed, o.Last = uint64(8000+n), 11
		if o.Night {
			o.Last = 15
		}
		rng := rand.New(rand.NewPCG(8000, uint64(n)))
		d := legalday.Make(o)
		for range days() {
			i := rng.IntN(len(d.Acts))
			for _, s := range legalday.Slips() {
				spoilt, _, ok := s.On(d, i, rng)
				if !ok {
					continue
				}
				tried[s.Name]++
				found := slices.DeleteFunc(checkedDay(t, spoilt), func(f dayFinding) bool { return f.severity != rulebook.Danger })
				if len(found) == 0 {
					continue
				}
				got[s.Name]++
				t.Logf("%s, %s, %s: %s: %d dangers stand\n%s", s.Name, v.Name, d.Acts[i].Kind, d.Acts[i].Line(), len(found), around(spoilt, found[0]))
				if s.Name != "left out" {
					continue
				}
				if out[string(d.Acts[i].Kind)]++; len(found) > slipTargets[s.Name] {
					t.Errorf("one entry left out is worth %d dangers", len(found))
				}
			}
		}
	}
	for _, s := range legalday.Slips() {
		t.Logf("%-10s %5d written, %2d leave a danger", s.Name, tried[s.Name], got[s.Name])
		if got[s.Name] > 0 && s.Name != "left out" && days() == defaultDays { // of more a few are known to
			t.Errorf("%s: %d leave a danger", s.Name, got[s.Name])
		}
	}
	holdKnown(t, "leftout", out)
}
