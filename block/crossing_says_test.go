package block_test

import (
	"testing"

	"fairhand/block"
)

// TestCrossingSays: what stands at a crossing, whether it is to be seen first, and how long.
func TestCrossingSays(t *testing.T) {
	for _, c := range []struct {
		box   string
		book  []string
		words string
		grave bool
		since block.Time // before the last entry
	}{
		{"WK", nil, "", false, 0},
		{"WK", []string{`10:00 crossing "Station Road" down`, `10:02 note "quiet"`}, "closed to the road", false, 2 * block.Minute},
		{"WK", []string{`10:00 crossing "Station Road" up`, `10:01 crossing "Station Road" obstructed "car"`}, "obstructed; open to the road", true, block.Minute},
		{"UW", []string{`10:00 failure "Mill Lane phone" "dead"`}, "in doubt: its telephone failed", true, 0},
		{"UW", []string{`10:03 crossing "Mill Lane" asked "van" for 3`, `10:04 note "quiet"`}, "waiting: van, 3 minutes", false, block.Minute},
		{"UW", []string{`10:03 crossing "Mill Lane" asked "van" for 3`, `10:03 crossing "Mill Lane" may cross`, `10:05 note "quiet"`}, "crossing: van, 3 minutes", false, 2 * block.Minute},
	} {
		b, s := stateOf(t, c.box, c.book...)
		words, grave, since := block.CrossingSays(b, s, 0, s.Now)
		if since != 0 {
			since = s.Now - since
		}
		if words != c.words || grave != c.grave || since != c.since {
			t.Errorf("%s after %q: %q, grave %v, for %v; want %q, %v, %v", c.box, c.book, words, grave, since, c.words, c.grave, c.since)
		}
	}
}
