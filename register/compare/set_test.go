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
	// One combination in three, so that each setting is tried in every span, with every kind of
	// book in some, and each kind of book in every span: or one in thirteen of some.
	each := registertest.Depth(13, 3)
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
			// Of the first book as well, if it is put back by more than the next trains are away:
			// less is not known from its times alone.
			for first := range 1 + int(math.Abs(by)/3600) {
				p, err := Two(w.book(t, first), w.book(t, 1-first))
				if err != nil {
					t.Fatal(err)
				}
				if got := rules(p.Findings); got != string(rulebook.ClockOffset) {
					t.Errorf("set by %+.0f min, until %v, seed %d, book %d first: found %q\n%s", by/60, until, seed, first, got, listing(p))
				}
			}
		}
	}
}

// TestClockOfAQuietLine: a clock that gains or loses much, left to itself or set right
// every morning, and few trains to tell it by: it is told, at most three times in six days, with
// nothing beside it.
func TestClockOfAQuietLine(t *testing.T) {
	each := registertest.Depth(4, 1) // named or not, in seconds or minutes: one of the four, or all
	for k, c := range []struct {
		method       string
		every, drift float64 // minutes between trains, about; seconds gained in an hour
		resets       bool
	}{
		{"absolute", 9, 60, true}, {"absolute", 90, 30, true}, {"absolute", 90, 60, true}, {"absolute", 90, -40, false}, {"absolute", 220, 30, true},
		{"absolute", 220, 60, true}, {"absolute", 220, -40, false}, {"token", 60, 60, true}, {"token", 90, 30, true}, {"token", 90, -60, true}, {"token", 200, 60, true},
	} {
		for n := k % each; n < 4; n += each {
			opt := simOptions{method: c.method, booking: [2]string{"exchanges", "exchanges"}, named: n%2 == 0, seconds: n/2 == 0, days: 6, every: int(c.every), drift: c.drift, resets: c.resets}
			if !c.resets {
				opt.days = 3 // in more it would be hours off
			}
			w := simulate(t, 3900+uint64(n), opt)
			p, err := Two(w.book(t, 0), w.book(t, 1))
			if err != nil {
				t.Fatal(err)
			}
			said := map[rulebook.RuleID]int{}
			for _, f := range p.Findings {
				said[f.Rule]++
			}
			offsets := said[rulebook.ClockOffset]
			if delete(said, rulebook.ClockOffset); !p.Fits() || offsets == 0 || offsets > 3 || len(said) > 0 {
				t.Errorf("%+v, named %v, seconds %v: fits %v, %d of clocks, beside them %v", c, opt.named, opt.seconds, p.Fits(), offsets, said)
			}
		}
	}
}
