package compare

import (
	"math"
	"testing"

	"fairhand/block"
)

// The vote finds a difference anywhere within reach to half a bin, prefers a
// smaller one where two have about as many votes, and is clear when two voters in
// five are for it.
func TestBallot(t *testing.T) {
	for _, diff := range []int{-voteReach, -voteReach + voteBin, -600, -31, 0, 29, 31, 600, voteReach - voteBin, voteReach} {
		var v ballot
		v.add(diff)
		v.voters = 1
		if secs, clear := v.result(); math.Abs(secs-float64(diff)) > voteBin/2 || !clear {
			t.Errorf("one vote for %d s: %v s, clear %v", diff, secs, clear)
		}
	}
	elect := func(votes map[int]int, voters int) (float64, bool) {
		v := ballot{voters: voters}
		for diff, n := range votes {
			for range n {
				v.add(diff)
			}
		}
		return v.result()
	}
	for name, c := range map[string]struct {
		votes  map[int]int
		voters int
		secs   float64
		clear  bool
	}{
		"nobody":                    {nil, 4, 0, false},
		"two of five":               {map[int]int{300: 2}, 5, 300, true},
		"two of six":                {map[int]int{300: 2}, 6, 300, false},
		"nearer of two alike":       {map[int]int{1200: 10, -300: 10}, 20, -300, true},
		"more votes further off":    {map[int]int{1200: 20, -300: 10}, 30, 1200, true},
		"the mean of those near it": {map[int]int{300: 3, 330: 1}, 4, 307.5, true},
		"not those further away":    {map[int]int{300: 8, 450: 1}, 9, 300, true},
	} {
		if secs, clear := elect(c.votes, c.voters); secs != c.secs || clear != c.clear {
			t.Errorf("%s: %v, %v", name, secs, clear)
		}
	}
	for at, want := range map[block.Time]block.Time{0: 0, 59: 0, 60: 1, -1: -1, -60: -1, -61: -2} {
		if got := whole(at, 60); got != want {
			t.Errorf("whole minutes of %d: %d, want %d", at, got, want)
		}
	}
}

// Between two matched signals the difference is in proportion; before the first
// and after the last it stays; a setting is a step half way.
func TestDifferenceAt(t *testing.T) {
	d := &difference{times: []block.Time{1000, 2000, 3000}, secs: []float64{10, 20, 200}}
	for at, want := range map[block.Time]float64{0: 10, 1000: 10, 1250: 12.5, 1500: 15, 2000: 20, 2499: 20, 2500: 200, 3000: 200, 9000: 200} {
		if got := d.at(at); math.Abs(got-want) > 1e-9 {
			t.Errorf("at %d: %v, want %v", at, got, want)
		}
	}
	d.secs[2] = 20 + settingJump // the most that is not a setting
	if got := d.at(2500); got != 42.5 {
		t.Errorf("a drift of %d s: %v", settingJump, got)
	}
	if got := (&difference{}).at(5); got != 0 {
		t.Errorf("nothing known: %v", got)
	}
	for _, first := range []block.Time{500, 1500, 2400, 4000} {
		second := first + block.Time(math.Round(d.at(first)))
		if got := d.first(second); got != first {
			t.Errorf("%d by the second clock is %d by the first, want %d", second, got, first)
		}
	}
}

// The middle of some values is the mean of those near their median.
func TestMiddle(t *testing.T) {
	for _, c := range []struct {
		v    []float64
		want float64
	}{
		{[]float64{7}, 7},
		{[]float64{10, 20}, 15},
		{[]float64{0, 3, 6}, 3},
		{[]float64{6, 0, 3, 1000}, 3},         // the median 4.5
		{[]float64{0, 0, inlier}, inlier / 3}, // as far as counts
		{[]float64{0, 0, inlier + 1}, 0},      // one second more does not
		{[]float64{0, 500}, 250},              // between two that lie far apart
	} {
		if got := middle(append([]float64(nil), c.v...)); got != c.want {
			t.Errorf("%v: %v, want %v", c.v, got, c.want)
		}
	}
	for _, c := range []struct {
		secs float64
		want string
	}{{0, "0 s"}, {59.4, "59 s"}, {59.6, "1 min"}, {61, "1 min 1 s"}, {120, "2 min"}, {3601, "60 min 1 s"}} {
		if got := span(c.secs); got != c.want {
			t.Errorf("%v s: %q, want %q", c.secs, got, c.want)
		}
	}
}
