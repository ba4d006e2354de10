package legalday_test

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"testing"

	"fairhand/block/rulebook"
	"fairhand/register/internal/legalday"
)

// TestLegalDayMisreadings writes one entry of a day for what it was not: each kind of entry, in
// each way, in each method, named and not. Counted are those after which a danger stands for
// which nothing was done wrong; some of them no book decides.
func TestLegalDayMisreadings(t *testing.T) {
	tried, got := map[string]int{}, map[string]int{}
	for _, naming := range []legalday.Naming{legalday.NameAll, legalday.NameNone} {
		for o, rng := range slipDays() {
			o.Naming = naming
			mistake(t, legalday.Make(o), rng, tried, got)
		}
	}
	for _, k := range slices.Sorted(maps.Keys(tried)) {
		t.Logf("%-30s %4d written, %3d leave a danger", k, tried[k], got[k])
	}
	holdKnown(t, "misreadings", got)
}

func mistake(t *testing.T, d *legalday.Day, rng *rand.Rand, tried, got map[string]int) {
	for _, kind := range kindsOf(d) {
		i, ok := oneOf(d, kind, rng)
		if !ok {
			continue
		}
		for _, s := range legalday.Misreadings() {
			spoilt, at, ok := s.On(d, i, rng)
			if !ok {
				continue
			}
			key := fmt.Sprintf("%s, bells %s", s.Name, map[bool]string{true: "not named", false: "named"}[d.Options.Naming == legalday.NameNone])
			tried[key]++
			if j := slices.IndexFunc(checkedDay(t, spoilt), func(f dayFinding) bool { return f.severity == rulebook.Danger }); j >= 0 {
				got[key]++
				t.Logf("%s: %s, %s: %s: a danger stands", key, kind.method, kind.kind, spoilt.Acts[at].Line())
			}
		}
	}
}
