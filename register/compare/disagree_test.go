package compare

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// guesses has a box write minutes that it did not read off the clock.
func guesses(box, most int) func(*lineWorld) {
	return func(w *lineWorld) {
		for i := range w.books[box] {
			w.books[box][i].by += block.Time(w.rng.IntN(2*most+1)-most) * 60
		}
	}
}

// inFivesOf has a box write every time to five minutes.
func inFivesOf(box int) func(*lineWorld) {
	return func(w *lineWorld) {
		for i := range w.books[box] {
			e := &w.books[box][i]
			at := w.clock(box, e.at)
			e.by += (at+150)/300*300 - at
		}
	}
}

// pageGone takes the entries between two hours of the first day out of a book.
func pageGone(box int, from, to float64) func(*lineWorld) {
	return func(w *lineWorld) {
		w.books[box] = slices.DeleteFunc(w.books[box], func(e lineEntry) bool {
			hour := float64(e.at-simStart) / 3600
			return hour > from && hour < to
		})
	}
}

// numberedOn has a box number its tokens so many higher; told says whether it books what
// the other did with them.
func numberedOn(box, by int, told bool) func(*lineWorld) {
	return func(w *lineWorld) {
		for i := range w.books[box] {
			e := &w.books[box][i]
			if at := strings.Index(e.text, "token "); at >= 0 {
				var n int
				fmt.Sscanf(e.text[at:], "token %d", &n)
				e.text = strings.Replace(e.text, fmt.Sprintf("token %d ", n), fmt.Sprintf("token %d ", n+by), 1)
			}
		}
		for k := range w.books {
			w.books[k] = slices.DeleteFunc(w.books[k], func(e lineEntry) bool { return !told && e.what == "told" })
		}
	}
}

// wrongBy gives one exchange of train 30 a time that is so many minutes wrong.
func wrongBy(minutes block.Time) func(*lineWorld) {
	return func(w *lineWorld) { w.books[1][w.pick(1, 0, 30, "enter")].by += minutes * 60 }
}

func and(all ...func(*lineWorld)) func(*lineWorld) {
	return func(w *lineWorld) {
		for _, do := range all {
			do(w)
		}
	}
}

// TestDisagreeThroughout: what is otherwise all over two books, or of a whole page of one, is told
// once, and beside the clocks nothing with it that is not another difference.
func TestDisagreeThroughout(t *testing.T) {
	const time, part, number = rulebook.TimeDiffers, rulebook.BookPartMissing, rulebook.TokenNumberDiffers
	for _, c := range []struct {
		name  string
		token bool
		do    func(*lineWorld)
		want  []rulebook.RuleID
		says  string
	}{
		{"one guesses to three minutes", false, guesses(1, 3), []rulebook.RuleID{time}, "minutes were guessed or rounded"},
		{"both to two", false, and(guesses(0, 2), guesses(1, 2)), []rulebook.RuleID{time}, "beside 261 signals that both books have"},
		{"both to two, of tokens", true, and(guesses(0, 2), guesses(1, 2)), []rulebook.RuleID{time}, "lie more than 2 min and up to "},
		{"both to three", false, and(guesses(0, 3), guesses(1, 3)), []rulebook.RuleID{time}, "minutes were guessed or rounded"},
		{"both to two, and one time wrong", false, and(guesses(0, 2), guesses(1, 2), wrongBy(25)), []rulebook.RuleID{time, time}, ""},
		{"one in fives", false, inFivesOf(1), nil, ""},
		{"one in fives, of tokens", true, inFivesOf(1), nil, ""},
		{"one in fives, and one time wrong", false, and(inFivesOf(1), wrongBy(15)), []rulebook.RuleID{time}, " min apart"},
		{"a page of forty minutes", false, pageGone(1, 12, 12.667), []rulebook.RuleID{part}, "The book of Box1 has no entry between 2026-05-04 "},
		{"the same of tokens", true, pageGone(0, 12, 12.667), []rulebook.RuleID{part}, "The book of Box0 has no entry between 2026-05-04 "},
		{"a page of a busy line", false, pageGone(1, 12, 12.417), []rulebook.RuleID{part}, " are of that time"},
		{"tokens of a series of its own", true, numberedOn(1, 100, true), []rulebook.RuleID{number}, "token 1 of Box0 is token 101 of Box1"},
		{"the same, the other told of none", true, numberedOn(1, 100, false), []rulebook.RuleID{number}, "token 1 of Box0 is token 101 of Box1"},
		{"tokens of a series of the first", true, numberedOn(0, 12, true), []rulebook.RuleID{number}, "token 13 of Box0 is token 1 of Box1"},
		{"an hour that both have", false, and(pageGone(0, 15, 99), pageGone(1, -1, 14)), []rulebook.RuleID{part, part}, ""},
		{"an hour that both have, of tokens", true, and(pageGone(0, 15, 99), pageGone(1, -1, 14)), []rulebook.RuleID{part, part}, ""},
		{"a gain of half an hour a day", false, func(w *lineWorld) { w.drift[1] = 75 }, nil, ""},
	} {
		for seed := range uint64(2) {
			w := simLine(9000+seed, 2, 1, c.token)
			c.do(w)
			ch, _ := w.compare(t)
			p := ch.Pairs[0]
			edges := 0 // what stands within the tolerance of where one book begins or ends
			got := []rulebook.RuleID(nil)
			text := ""
			for _, f := range p.Findings {
				switch {
				case f.Rule == rulebook.ClockOffset:
				case strings.HasPrefix(c.name, "an hour") && dist(f.At, p.Common.From) <= 4*block.Minute, strings.HasPrefix(c.name, "an hour") && dist(f.At, p.Common.To) <= 4*block.Minute:
					edges++
				default:
					got, text = append(got, f.Rule), text+f.Text
				}
			}
			if !p.Fits() || !slices.Equal(got, c.want) && edges == 0 || !strings.Contains(text, c.says) || edges > 2 || len(p.Clocks) > 2 {
				t.Errorf("%s, seed %d: fits %v, %d stretches, found %v\n%.2000s", c.name, seed, p.Fits(), len(p.Clocks), got, listing(p))
			}
		}
	}
}

// TestUnsteady: what lies between values, a fourth of the steps, the widest, left out.
func TestUnsteady(t *testing.T) {
	for _, c := range []struct {
		v    []float64
		want float64
	}{{nil, 0}, {[]float64{7}, 0}, {[]float64{0, 60}, 60}, {[]float64{0, 10, 20, 30, 930}, 10}, {[]float64{0, -10, 0, -30, 0}, 50.0 / 3}, {[]float64{0, 300, 300, 300, 300}, 0}} {
		if got := unsteady(c.v); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%v: %v, want %v", c.v, got, c.want)
		}
	}
}

// TestRoundings: what the times of a book are rounded to; one in fifty may be otherwise, and
// of few entries fives may be chance.
func TestRoundings(t *testing.T) {
	for _, c := range []struct {
		entries      int
		every, other block.Time
		want         block.Time
	}{{40, 300, 300, 300}, {40, 300, 60, 60}, {120, 300, 360, 300}, {19, 300, 300, 60}, {20, 300, 300, 300}, {40, 60, 60, 60}, {40, 90, 90, 30}, {40, 61, 61, 0}} {
		var lines []string
		for i := range c.entries {
			at := 6*3600 + i*int(c.every)
			if i == 1 {
				at = 6*3600 + int(c.other)
			}
			lines = append(lines, clockTime(at)+` note "x"`)
		}
		if p := twoBooks(t, "exchanges", lines, lines); p.First.step != c.want {
			t.Errorf("%d entries, each %d s on, the second %d: to %d s, want %d", c.entries, c.every, c.other, p.First.step, c.want)
		}
	}
}

// TestPutBackOnAQuietLine: a clock put back by less than the next train is away, in the book
// that stands first, does not put a token in before it was drawn.
func TestPutBackOnAQuietLine(t *testing.T) {
	for _, c := range []struct {
		seed  uint64
		every int
		days  int
		by    float64
	}{{4514, 35, 1, -1200}, {4511, 35, 1, -1800}, {4511, 20, 2, -1500}, {4512, 20, 2, -1200}, {4513, 50, 1, -1500}, {4504, 90, 1, -1800}, {4511, 50, 2, -1800}, {4602, 35, 1, -1800}, {4602, 35, 1, -2400}, {4606, 50, 2, -1800}, {4606, 50, 2, -2400}} {
		for _, named := range []bool{true, false} {
			opt := simOptions{method: "token", booking: [2]string{"exchanges", "exchanges"}, named: named, days: c.days, every: c.every, wrong: wrongly{float64(c.days-1)*24 + 13.4, 99, c.by}}
			for first := range 2 {
				w := simulate(t, c.seed, opt)
				p, err := Two(w.book(t, first), w.book(t, 1-first))
				if err != nil || rules(p.Findings) != string(rulebook.ClockOffset) {
					t.Errorf("%+v, named %v, book %d first: %v\n%s", c, named, first, err, listing(p))
				}
			}
		}
	}
}
