package compare

import (
	"math"
	"testing"

	"fairhand/block"
)

// The vote finds a difference anywhere within reach to half a bin, and prefers a
// smaller one where two have about as many votes.
func TestVote(t *testing.T) {
	elect := func(votes map[int]int) float64 {
		var c course
		var v ballot
		for diff, n := range votes {
			for range n {
				v.add(diff)
			}
		}
		c.next(&v, voteDrift)
		return c.back(func(int) ballot { return v })[0]
	}
	for _, diff := range []int{-voteReach, -voteReach + voteBin, -600, -31, 0, 29, 31, 600, voteReach - voteBin, voteReach} {
		if secs := elect(map[int]int{diff: 1}); math.Abs(secs-float64(diff)) > voteBin/2 {
			t.Errorf("one vote for %d s: %v s", diff, secs)
		}
	}
	for name, c := range map[string]struct {
		votes map[int]int
		secs  float64
	}{
		"nobody":                    {nil, 0},
		"nearer of two alike":       {map[int]int{1200: 10, -300: 10}, -300},
		"more votes further off":    {map[int]int{1200: 20, -300: 10}, 1200},
		"the mean of those near it": {map[int]int{300: 3, 330: 1}, 307.5},
		"not those further away":    {map[int]int{300: 8, 450: 1}, 300},
	} {
		if secs := elect(c.votes); secs != c.secs {
			t.Errorf("%s: %v", name, secs)
		}
	}
}

// A course drifts from ballot to ballot, and is set where that is worth it: not for
// one ballot, which may be chance.
func TestCourse(t *testing.T) {
	course := func(diffs ...int) []float64 {
		c := course{sets: true}
		vote := func(turn int) (v ballot) {
			for range voteTurn {
				v.add(diffs[turn])
			}
			return v
		}
		for turn := range diffs {
			v := vote(turn)
			c.next(&v, voteDrift)
		}
		return c.back(vote)
	}
	for _, c := range []struct{ in, want []int }{
		{[]int{0, 0, 0}, []int{0, 0, 0}},
		{[]int{0, 60, 120, 180}, []int{0, 60, 120, 180}},
		{[]int{0, 0, 0, 3600, 3600, 3600}, []int{0, 0, 0, 3600, 3600, 3600}},
		{[]int{0, 0, 0, 3600, 0, 0, 0}, []int{0, 0, 0, 0, 0, 0, 0}},
		{[]int{-7200, -7200, 0, 0}, []int{-7200, -7200, 0, 0}},
	} {
		for i, secs := range course(c.in...) {
			if math.Abs(secs-float64(c.want[i])) > voteBin {
				t.Errorf("%v: %v", c.in, secs)
			}
		}
	}
}

func TestWhole(t *testing.T) {
	for at, want := range map[block.Time]block.Time{0: 0, 59: 0, 60: 1, -1: -1, -60: -1, -61: -2} {
		if got := whole(at, 60); got != want {
			t.Errorf("whole minutes of %d: %d, want %d", at, got, want)
		}
	}
}

// Between two matched signals the difference is in proportion; before the first
// and after the last it stays; a setting is a step half way, or where the entry
// stands.
func TestDifferenceAt(t *testing.T) {
	d := table{{0, 1000, 1000, 10}, {10, 2000, 2000, 20}, {20, 3000, 3000, 200}}
	for at, want := range map[block.Time]float64{0: 10, 1000: 10, 1250: 12.5, 1500: 15, 2000: 20, 2499: 20, 2500: 200, 3000: 200, 9000: 200} {
		if got := d.at(at); math.Abs(got-want) > 1e-9 {
			t.Errorf("at %d: %v, want %v", at, got, want)
		}
	}
	back := table{{0, 1000, 1000, 10}, {10, 3000, 3000, 20}, {20, 3000, 1500, 200}} // put back to 1500
	for x, want := range map[struct {
		entry int32
		at    block.Time
	}]float64{{-1, 1000}: 10, {10, 3000}: 20, {14, 2900}: 20, {16, 1600}: 200, {30, 2500}: 200} {
		if got := back.of(x.entry, x.at); got != want {
			t.Errorf("%v: %v, want %v", x, got, want)
		}
	}
	for late, want := range map[block.Time]float64{placeReach: 20, placeReach + 1: 200, placeReach + 2000: 200} {
		if got := d.of(0, 1000+late); got != want {
			t.Errorf("written %d s late: %v, want %v", late, got, want)
		}
	}
	d[2].secs = 20 + settingJump // the most that is not a setting
	if got := d.at(2500); got != 42.5 {
		t.Errorf("a drift of %d s: %v", settingJump, got)
	}
	if got := (table{}).at(5) + (table{}).of(3, 5); got != 0 {
		t.Errorf("nothing known: %v", got)
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
		if got := middle(append([]float64(nil), c.v...), inlier); got != c.want {
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
