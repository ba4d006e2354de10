package legalday_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"fairhand/block/rulebook"
	"fairhand/register/internal/legalday"
)

// TestSlipsLeaveNoDanger spoils entries of a day of every variant in each way but to leave them
// out, which a late entry answers: written late, at a wrong minute, with no name or with one
// misspelt. No danger stands at the end of such a book. FAIRHAND_DAYS is how many entries of each
// day, 3 otherwise.
func TestSlipsLeaveNoDanger(t *testing.T) {
	tried, got := map[string]int{}, map[string]int{}
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
			for _, s := range legalday.Slips()[:1] {
				spoilt, _, ok := s.On(d, i, rng)
				if !ok {
					continue
				}
				tried[s.Name]++
				found := checkedDay(t, spoilt)
				if j := slices.IndexFunc(found, func(f dayFinding) bool { return f.severity == rulebook.Danger }); j >= 0 {
					got[s.Name]++
					t.Logf("%s, %s, %s: %s: a danger stands\n%s", s.Name, v.Name, d.Acts[i].Kind, d.Acts[i].Line(), around(spoilt, found[j]))
				}
			}
		}
	}
	for _, s := range legalday.Slips()[:1] {
		t.Logf("%-10s %5d written, %2d leave a danger", s.Name, tried[s.Name], got[s.Name])
		if got[s.Name] > 0 && days() == defaultDays { // of more a few are known to
			t.Errorf("%s: %d leave a danger", s.Name, got[s.Name])
		}
	}
}
