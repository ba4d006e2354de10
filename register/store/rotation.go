package store

import (
	"slices"
	"time"
)

// KeptDays is for how many days every copy is kept; of those before, the last of
// each month is.
const KeptDays = 14

// Superfluous says which of the copies made at these times may be removed at now:
// those older than KeptDays days of which a later one of the same month is older
// than that too. So the newest copy always stays, whatever copy there is from the future
// (a wrong clock), which stays too. Months are those of the
// times' own zone. The order given is kept.
func Superfluous(made []time.Time, now time.Time) []time.Time {
	limit := now.AddDate(0, 0, -KeptDays)
	type month struct {
		year int
		of   time.Month
	}
	last := map[month]time.Time{}
	for _, at := range made {
		if m := (month{at.Year(), at.Month()}); at.Before(limit) && at.After(last[m]) {
			last[m] = at
		}
	}
	return slices.DeleteFunc(slices.Clone(made), func(at time.Time) bool {
		return !at.Before(limit) || at.Equal(last[month{at.Year(), at.Month()}])
	})
}
