package compare

import (
	"fmt"
	"math"
	"testing"

	"fairhand/block/rulebook"
	"fairhand/register/registertest"
)

// TestClockSetWrong: a clock that is set, forgotten or changed by up to two hours,
// either way and for part of a day, is found as such, and breeds no finding beside
// it. An hour from two in the morning until half past seven is a night of the
// clock change that one box has forgotten. The clock is known to a tenth of what
// it was set wrong by, and to ten seconds.
func TestClockSetWrong(t *testing.T) {
	spans := [][2]float64{{6, 11.5}, {15.2, 17.6}, {0, 13}, {12, 40}}
	settings := []float64{3600, -5400, 1200, -7200, -1200, 2400, -2400, -3600, 5400, 7200}
	each := registertest.Depth(13, 1) // every combination, or one in thirteen of some
	for n, by := range settings[:registertest.Depth(6, len(settings))] {
		findings, told, runs, worst := 0, 0, 0, 0.0
		for k, at := range spans {
			for i, c := range simCases {
				if (n+2*k+i)%each > 0 {
					continue
				}
				opt := c.opt
				opt.days, opt.every, opt.ahead, opt.drift, opt.wrong = 1, 9, 25, 2, wrongly{at[0], at[1], by}
				for i, b := range opt.booking {
					if b == "" {
						opt.booking[i] = "exchanges"
					}
				}
				w := simulate(t, uint64(3400+k), opt)
				p, err := Two(w.book(t, 0), w.book(t, 1))
				if err != nil {
					t.Fatal(err)
				}
				runs++
				set := false
				for _, f := range p.Findings {
					if f.Rule == rulebook.ClockOffset {
						set = true
						continue
					}
					findings++
					t.Logf("%v min, %s, hours %v: %s %s", by/60, c.name, at, f.Rule, f.Text)
				}
				if set {
					told++
				}
				for _, x := range p.Clocks {
					mid := x.From + (x.To-x.From)/2
					worst = max(worst, math.Abs(x.At(mid)-w.clockOf(1, mid)))
				}
			}
		}
		fmt.Printf("set by %+4.0f min: %2d of %d told, %d findings beside it, clock within %.0f s\n", by/60, told, runs, findings, worst)
		if told < runs || findings > 0 {
			t.Errorf("set by %+.0f min: %d of %d told, %d findings beside it", by/60, told, runs, findings)
		}
	}
}

// TestClockSetOnABranch: the same for a morning of few trains, as one box of a single
// line has them: two dozen signals tell it, and fifteen where the clock is soon right.
func TestClockSetOnABranch(t *testing.T) {
	for _, by := range []float64{1200, -1200, -1500, 1800, -2400, 3600, -3600} {
		for seed := range uint64(8) {
			until := 36.0
			if seed >= 4 {
				until = 33.4
			}
			opt := simOptions{method: "token", booking: [2]string{"exchanges", "exchanges"}, named: true, days: 2, every: 50, wrong: wrongly{29.4, until, by}}
			w := simulate(t, 3500+seed, opt)
			p, err := Two(w.book(t, 0), w.book(t, 1))
			if err != nil {
				t.Fatal(err)
			}
			if got := rules(p.Findings); got != string(rulebook.ClockOffset) {
				t.Errorf("set by %+.0f min, until %v, seed %d: found %q", by/60, until, seed, got)
			}
		}
	}
}
