package compare

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"fairhand/register/registertest"
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
		for turn := range registertest.Depth(2, 10) { // the seconds of the trains pass all of the minute in each
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

// Two clocks that were the same minutes apart all week, as books in whole minutes can tell,
// are one line and one finding, told by the middle of what the days say.
func TestSteadyClocksAreToldOnce(t *testing.T) {
	var east, west []string
	for day := 4; day < 11; day++ {
		east, west = append(east, fmt.Sprintf("date 2026-06-%02d", day)), append(west, fmt.Sprintf("date 2026-06-%02d", day))
		for i := range 40 {
			at := 6*3600 + i*900
			late := 0
			if (i*7+day)%8 < day%3 { // heard in the next minute, on some days more often
				late = 60
			}
			east = append(east, fmt.Sprintf("%s Westbeck >2", clockTime(at)[:5]))
			west = append(west, fmt.Sprintf("%s Eastmoor <2", clockTime(at + 60 + late)[:5]))
		}
	}
	p := twoBooks(t, "signals", east, west)
	if words, found := p.clockWords(), rules(p.Findings); len(words) != 1 || found != "clock-offset" {
		t.Errorf("%d stretches told in %d lines, found %s\n%s", len(p.Clocks), len(words), found, strings.Join(words, "\n"))
	}
}

// A clock that is minutes out by the morning and set at nine each day, in whole minutes,
// and now and then heard in the next: the few signals before nine are of the old time.
func TestClockSetEachDay(t *testing.T) {
	for turn := range 10 {
		var east, west []string
		for day := 4; day < 8; day++ {
			east, west = append(east, fmt.Sprintf("date 2026-06-%02d", day)), append(west, fmt.Sprintf("date 2026-06-%02d", day))
			for i := range 49 {
				at := 5*3600 + 1800 + i*1300 + (i*i*53+turn*7)%11*60
				ahead := 60 + 8*((at+15*3600)%86400)/3600
				if (i*7+day+turn)%4 == 0 {
					ahead += 60
				}
				east = append(east, clockTime(at)[:5]+" Westbeck >2")
				west = append(west, clockTime(at + ahead)[:5]+" Eastmoor <2")
			}
		}
		if p := twoBooks(t, "signals", east, west); rules(p.Findings) != "clock-offset" {
			t.Errorf("turn %d:\n%s", turn, listing(p))
		}
	}
}
