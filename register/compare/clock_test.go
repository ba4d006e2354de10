package compare

import (
	"fmt"
	"math"
	"testing"
)

// A steady clock in books of whole minutes is not said to gain or lose, however the
// minutes fall; one that gains more than they can make is.
func TestDriftBeyondRounding(t *testing.T) {
	minutes := func(secs int) string { return clockTime(secs)[:5] }
	for _, c := range []struct {
		drift  float64 // seconds in an hour
		trains int
		most   float64 // that may be said
		least  float64
	}{{0, 12, 0, 0}, {0, 40, 0, 0}, {0, 120, 0, 0}, {20, 60, 26, 14}, {-20, 60, -14, -26}} {
		for turn := range 20 {
			var east, west []string
			for i := range c.trains {
				at := 6*3600 + i*8*3600/c.trains + (i*37+turn*11)%60
				east = append(east, minutes(at)+fmt.Sprintf(" Westbeck >2 train 2T%03d", i))
				west = append(west, minutes(at-180+int(math.Round(c.drift*float64(i*8)/float64(c.trains))))+fmt.Sprintf(" Eastmoor <2 train 2T%03d", i))
			}
			p := twoBooks(t, "signals", east, west)
			if len(p.Clocks) != 1 || p.Clocks[0].Drift > c.most || p.Clocks[0].Drift < c.least {
				t.Errorf("%v s an hour, %d trains, turn %d: %+v", c.drift, c.trains, turn, p.Clocks)
			}
		}
	}
}
