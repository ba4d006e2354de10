package compare

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/registertest"
)

// A turn of duty in a plant: hours of the first day, of the working.
const turnFrom, turnTo = 7, 15

func inTurn(at block.Time) bool {
	hour := float64(at-simStart) / 3600
	return hour > turnFrom && hour < turnTo
}

// throughTurn changes each entry of a book in a turn.
func throughTurn(box int, do func(e *lineEntry)) func(*lineWorld) {
	return func(w *lineWorld) {
		for i := range w.books[box] {
			if e := &w.books[box][i]; inTurn(e.at) {
				do(e)
			}
		}
	}
}

// turnedArrows writes the arrows of an entry the wrong way.
func turnedArrows(e *lineEntry) { e.text = strings.NewReplacer("<", ">", ">", "<").Replace(e.text) }

// nameOf gives an entry the name of a train so many after its own.
func nameOf(by int) func(*lineEntry) {
	return func(e *lineEntry) { e.text = strings.ReplaceAll(e.text, lineName(e.train), lineName(e.train+by)) }
}

// otherSet has the classes of an entry in other beats.
func otherSet(e *lineEntry) {
	e.text = strings.NewReplacer("3-1 ", "2-2 ", "1-3-1 ", "5 ", "<4 ", "<3-1-1 ", ">4 ", ">3-1-1 ", "3-2 ", "2-2-1 ").Replace(e.text)
}

// swapped has each two entries of a turn in the opposite order.
func swapped(w *lineWorld) {
	list := w.books[1]
	for i := 0; i+1 < len(list); i += 2 {
		if a, b := list[i].at, list[i+1].at; inTurn(a) {
			list[i], list[i+1] = list[i+1], list[i]
			list[i].at, list[i].by, list[i+1].at, list[i+1].by = a, b-a, b, a-b
		}
	}
}

// setFrom puts the clock of a box wrong from the middle of the first day on.
func setFrom(box int, by float64) func(*lineWorld) {
	return func(w *lineWorld) {
		w.set = func(of int, at block.Time) float64 {
			if of == box && at > simStart+11*3600 {
				return by
			}
			return 0
		}
	}
}

// TestOneCause: what is otherwise in one book for a whole turn of duty, or from a moment on, is
// told once to each neighbour, beside the clocks and now and then a bell or two where it begins
// or ends; on lines of two and three boxes.
func TestOneCause(t *testing.T) {
	const bells, names, missing = rulebook.BellDiffers, rulebook.NameDiffers, rulebook.BellMissing
	for _, c := range []struct {
		name string
		do   func(*lineWorld)
		want rulebook.RuleID // nothing where it is empty
		says string
	}{
		{"clean", func(*lineWorld) {}, "", ""},
		{"arrows turned", throughTurn(1, turnedArrows), bells, "both as sent, or both as received: the arrows stand the wrong way in one of the books"},
		{"arrows of the first turned", throughTurn(0, turnedArrows), bells, "the arrows stand the wrong way"},
		{"names by one train", throughTurn(1, nameOf(1)), names, "they are out of step in one of the books"},
		{"names by one train of each way", throughTurn(0, nameOf(-2)), names, "they are out of step in one of the books"},
		{"names of no other train", throughTurn(1, nameOf(500)), names, " trains differently from 2026-05-04 07:"},
		{"beats of another set", throughTurn(1, otherSet), bells, "as by two sets of codes: "},
		{"the same all day", func(w *lineWorld) {
			for i := range w.books[0] {
				otherSet(&w.books[0][i])
			}
		}, bells, " is 3-1"},
		{"each two entries in the opposite order", swapped, "", ""},
		{"an hour fast from eleven", setFrom(1, 3600), "", ""},
		{"an hour slow from eleven", setFrom(1, -3600), "", ""},
		{"the first an hour slow from eleven", setFrom(0, -3600), "", ""},
		{"one in seconds", func(w *lineWorld) { w.seconds[1] = true }, "", ""},
		{"the other in seconds", func(w *lineWorld) { w.seconds[0] = true }, "", ""},
		{"a page twice", func(w *lineWorld) { w.twice = [3]int{60, 90, 90} }, missing, "stands twice"},
		{"a page twice, the second further on", func(w *lineWorld) { w.twice = [3]int{60, 75, 115} }, missing, "stands twice"},
	} {
		most, told := 0, 0
		for seed := range lineSeeds(t) {
			for k := range 4 { // a double line and tokens, two boxes and three
				w := simLine(12000+seed, 2+k%2, 1, k > 1)
				c.do(w)
				ch, _ := w.compare(t)
				for n, p := range ch.Pairs {
					got := slices.DeleteFunc(slices.Clone(p.Findings), func(f Finding) bool { return f.Rule == rulebook.ClockOffset })
					most, told = max(most, len(got)), told+len(got)
					once := 0
					for i := range got {
						if got[i].Rule == c.want && strings.Contains(got[i].Text, c.says) {
							once++
						}
					}
					concerned := n == 0 || !strings.Contains(c.name, "first") && !strings.Contains(c.name, "the same") && !strings.Contains(c.name, "each way")
					if want := c.want != "" && concerned; !p.Fits() || want && (once != 1 || len(got) > 3) || !want && len(got) > 0 {
						t.Errorf("%s, seed %d, world %d, pair %d: fits %v, found\n%.2000s", c.name, seed, k, n, p.Fits(), listing(p))
					}
				}
			}
		}
		fmt.Printf("%-40s at most %d for a pair, %d in all\n", c.name, most, told)
	}
}

// TestArrowsTurned: the same of arrows in books of signals and of exchanges, with and without
// names of trains, and on a single line, where a token is drawn at the end that an offer came
// from.
func TestArrowsTurned(t *testing.T) {
	for n, c := range simCases {
		for seed := range uint64(registertest.Depth(1, 8)) {
			opt := c.opt
			opt.days, opt.every, opt.ahead, opt.drift = 1, 12, 25, 2
			for i, b := range opt.booking {
				if b == "" {
					opt.booking[i] = "exchanges"
				}
			}
			opt.named = opt.named && seed%4 < 2
			w := simulate(t, 13000+100*uint64(n)+seed, opt)
			list, turned := w.books[seed%2], 0
			for i := range list {
				if inTurn(list[i].At) {
					for k := range list[i].Bells {
						list[i].Bells[k].Sent = !list[i].Bells[k].Sent
						turned++
					}
				}
			}
			p, err := Two(w.book(t, 0), w.book(t, 1))
			if err != nil {
				t.Fatal(err)
			}
			got := slices.DeleteFunc(slices.Clone(p.Findings), func(f Finding) bool { return f.Rule == rulebook.ClockOffset })
			once := 0
			for _, f := range got {
				if strings.Contains(f.Text, "the arrows stand the wrong way") {
					once++
				}
			}
			if !p.Fits() || once != 1 || len(got) > 3 || turned < 100 {
				t.Errorf("%s, seed %d, %d bells turned: fits %v, found\n%.2000s", c.name, seed, turned, p.Fits(), listing(p))
			}
		}
	}
}

// TestStretches: a stretch begins and ends with what shows it, is parted from another by as much
// against it as it is to show at the least, and less than that is none.
func TestStretches(t *testing.T) {
	for _, c := range []struct {
		list string // + for, - against, . neither
		want [][2]int
	}{
		{"", nil},
		{"++", nil},
		{"+++", [][2]int{{0, 3}}},
		{"-.+.++.-", [][2]int{{2, 6}}},
		{"++-+-+.+", [][2]int{{0, 8}}},
		{"+-+-+-++-", nil},
		{"+++--+++", [][2]int{{0, 8}}}, {"+++--++", [][2]int{{0, 3}}},
		{"+++---+++", [][2]int{{0, 3}, {6, 9}}},
		{"++++-+---.++.+-", [][2]int{{0, 4}, {10, 14}}},
	} {
		got := stretches(len(c.list), func(i int) int { return map[byte]int{'+': 1, '-': -1, '.': 0}[c.list[i]] }, 3)
		if !slices.Equal(got, c.want) {
			t.Errorf("%q: %v, want %v", c.list, got, c.want)
		}
	}
}
