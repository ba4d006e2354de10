package legalday_test

import (
	"fmt"
	"maps"
	"slices"
	"testing"

	"fairhand/block/rulebook"
	"fairhand/register/internal/legalday"
)

// TestLegalDayHours writes one hour for another in so many entries below each other, named and
// not: one slip of the pen, which is to be one finding and no danger. Counted are those of which
// more is found, a danger apart.
func TestLegalDayHours(t *testing.T) {
	tried, got := map[string]int{}, map[string]int{}
	for _, naming := range []legalday.Naming{legalday.NameAll, legalday.NameNone} {
		for o, rng := range slipDays() {
			o.Naming = naming
			day := legalday.Make(o)
			for _, lines := range []int{1, 2, 4, 12, 30} {
				for _, by := range []int{-1, 1} {
					d := *day
					d.Acts = slices.Clone(day.Acts)
					from := len(d.Acts)/4 + rng.IntN(len(d.Acts)/2)
					for i := from; i < min(from+lines, len(d.Acts)); i++ {
						d.Acts[i].At += by * 60 * legalday.Minute
					}
					hour := map[int]string{-1: "before", 1: "after"}[by]
					key := fmt.Sprintf("%d entries an hour %s", lines, hour)
					tried[key]++
					found := checkedDay(t, &d)
					danger := slices.ContainsFunc(found, func(f dayFinding) bool { return f.severity == rulebook.Danger })
					if danger {
						got[key+", danger"]++
					}
					if len(found) > 1 {
						got[key+", more than one"]++
						t.Logf("%s: %s from %s", key, o.Methods, d.Acts[from].Line())
						for _, f := range found {
							t.Logf("\t%d %s: %s", f.line, f.rule, f.text)
						}
					}
				}
			}
		}
	}
	for _, k := range slices.Sorted(maps.Keys(tried)) {
		t.Logf("%-30s %4d written, %3d with more than one finding, %3d with a danger", k, tried[k], got[k+", more than one"], got[k+", danger"])
	}
	holdKnown(t, "hours", got)
}
