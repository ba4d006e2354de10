package compare

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"

	"fairhand/block"
)

// trouble is something that is otherwise in the books of a line, drawn by chance: of a
// line of either kind, or of a double line (double) or one of tokens (token) alone.
type trouble struct {
	name          string
	double, token bool
	do            func(w *lineWorld, rng *rand.Rand)
}

var troubles = []trouble{
	{"plants", false, false, func(w *lineWorld, rng *rand.Rand) { w.plantSome(rng, 2+rng.IntN(6)) }},
	{"few plants", false, false, func(w *lineWorld, rng *rand.Rand) { w.plantSome(rng, 1) }},
	{"times to the minute", false, false, (*lineWorld).exact},
	{"off by round times", false, false, func(w *lineWorld, rng *rand.Rand) {
		for range []int{1, 3, 6, 30}[rng.IntN(4)] {
			book := w.books[rng.IntN(w.boxes)]
			book[rng.IntN(len(book))].by += round(rng) * block.Time(1-2*rng.IntN(2))
		}
	}},
	{"a name used again", false, false, func(w *lineWorld, rng *rand.Rand) {
		for range 1 + rng.IntN(3) {
			n, as := rng.IntN(w.trains), lineName(rng.IntN(w.trains))
			for k := range w.books {
				for i := range w.books[k] {
					if e := &w.books[k][i]; e.train == n {
						e.text = strings.ReplaceAll(e.text, lineName(n), as)
					}
				}
			}
		}
	}},
	{"tokens where there are none", true, false, func(w *lineWorld, rng *rand.Rand) {
		w.put(rng.IntN(2), w.moment(rng), fmt.Sprintf("Box%d token %d out", rng.IntN(2), rng.IntN(4)))
	}},
	{"minutes guessed", false, false, func(w *lineWorld, rng *rand.Rand) { guesses(rng.IntN(w.boxes), 1+rng.IntN(3))(w) }},
	{"times in fives", false, false, func(w *lineWorld, rng *rand.Rand) { inFivesOf(rng.IntN(w.boxes))(w) }},
	{"a page gone", false, false, func(w *lineWorld, rng *rand.Rand) {
		from := 5 + 7*rng.Float64()
		pageGone(rng.IntN(w.boxes), from, from+0.2+1.5*rng.Float64())(w)
	}},
	{"a beginning or an end gone", false, false, func(w *lineWorld, rng *rand.Rand) {
		at := 5.2 + 4*rng.Float64()
		and(pageGone(rng.IntN(2), -1, at), pageGone(rng.IntN(2), at+1+3*rng.Float64(), 99))(w)
	}},
	{"tokens numbered otherwise", false, true, func(w *lineWorld, rng *rand.Rand) {
		numberedOn(rng.IntN(2), []int{100, 12, -1}[rng.IntN(3)], rng.IntN(2) == 0)(w)
	}},
	{"a clock set", false, false, (*lineWorld).setWrong},
	{"a clock that gains", false, false, func(w *lineWorld, rng *rand.Rand) {
		box := rng.IntN(w.boxes)
		w.drift[box], w.ahead[box] = float64(rng.IntN(160)-80), float64(rng.IntN(1200)-600)
	}},
	{"in seconds", false, false, func(w *lineWorld, rng *rand.Rand) { w.seconds = [2]bool{rng.IntN(2) == 0, true} }},
	{"a page twice", false, false, func(w *lineWorld, rng *rand.Rand) {
		at := rng.IntN(len(w.books[1]) / 2)
		w.twice = [3]int{at, at + 8 + rng.IntN(20), at + 30}
	}},
	{"names out of step", false, false, func(w *lineWorld, rng *rand.Rand) { w.rename(rng, func(n int) string { return lineName(n + 1) }) }},
	{"other names", false, false, func(w *lineWorld, rng *rand.Rand) {
		w.rename(rng, func(n int) string { return fmt.Sprintf("6F%02d", n) })
	}},
	{"names exchanged", false, false, func(w *lineWorld, rng *rand.Rand) {
		a := rng.IntN(w.trains - 1)
		b := a + 1 + rng.IntN(2)
		w.inSome(rng, a, b+1, func(e *lineEntry) {
			e.text = strings.NewReplacer(lineName(a), lineName(b), lineName(b), lineName(a)).Replace(e.text)
		})
	}},
	{"no names", false, false, func(w *lineWorld, rng *rand.Rand) {
		w.stretch(rng, func(e *lineEntry) {
			if at := strings.Index(e.text, " train "); at > 0 && strings.ContainsAny(e.text, "<>") {
				e.text = e.text[:at]
			}
		})
	}},
	{"arrows turned", false, false, func(w *lineWorld, rng *rand.Rand) {
		w.stretch(rng, func(e *lineEntry) { e.text = strings.NewReplacer("<", ">", ">", "<").Replace(e.text) })
	}},
	{"other beats", false, false, func(w *lineWorld, rng *rand.Rand) {
		w.stretch(rng, func(e *lineEntry) {
			e.text = strings.NewReplacer("3-1 ", "2-2-1 ", "1-3-1 ", "4-4 ", "3-2 ", "5 ").Replace(e.text)
		})
	}},
	{"a train at another time", false, false, func(w *lineWorld, rng *rand.Rand) {
		n, by := rng.IntN(w.trains), block.Time(rng.IntN(50)-25)*60
		w.inSome(rng, n, n+1, func(e *lineEntry) { e.by += by })
	}},
	{"a train left out", false, false, func(w *lineWorld, rng *rand.Rand) {
		n, box := rng.IntN(w.trains), rng.IntN(w.boxes)
		w.books[box] = slices.DeleteFunc(w.books[box], func(e lineEntry) bool { return e.train == n && (e.what != "come" || n%2 == 0) })
	}},
	{"call attention left out", false, false, func(w *lineWorld, rng *rand.Rand) {
		w.stretch(rng, func(e *lineEntry) { e.text = strings.NewReplacer(">1 <1 ", "", "<1 >1 ", "").Replace(e.text) })
	}},
	{"acknowledgements left out", false, false, func(w *lineWorld, rng *rand.Rand) {
		w.stretch(rng, func(e *lineEntry) {
			if f := strings.Fields(e.text); e.what == "enter" && len(f) > 2 && f[2][1:] == f[1][1:] {
				e.text = strings.Join(slices.Delete(f, 2, 3), " ")
			}
		})
	}},
	{"a bell to an entry", false, false, (*lineWorld).split},
	{"written late", false, false, func(w *lineWorld, rng *rand.Rand) {
		w.stretch(rng, func(e *lineEntry) {
			if rng.IntN(4) == 0 {
				e.written = e.at + block.Time(120+rng.IntN(1500))
			}
		})
	}},
	{"cancelled", false, false, func(w *lineWorld, rng *rand.Rand) {
		w.rung(rng, [2]string{">1 <1 >3-1 <3-1 train 9Z01", ">3-5 <3-5 train 9Z01"})
	}},
	{"obstructed", false, false, func(w *lineWorld, rng *rand.Rand) { w.rung(rng, [2]string{">6 <6", ">1 <1 >2-1 <2-1"}) }},
	{"refused", false, false, func(w *lineWorld, rng *rand.Rand) { w.rung(rng, [2]string{">1 <1 >3-1", "<3-5-5 >3-5-5"}) }},
	{"worked otherwise", true, false, func(w *lineWorld, rng *rand.Rand) { w.worked(rng) }},
	{"tokens counted", false, true, (*lineWorld).count},
	{"a train renamed, or not run", false, false, func(w *lineWorld, rng *rand.Rand) {
		n, box := rng.IntN(w.trains), rng.IntN(w.boxes)
		text := []string{"train %s will not run", "train %s renamed 9Z09"}[rng.IntN(2)]
		if i := slices.IndexFunc(w.books[box], func(e lineEntry) bool { return e.train == n }); i >= 0 {
			w.put(box, w.books[box][i].at+block.Time(rng.IntN(900)), fmt.Sprintf(text, lineName(n)))
		}
	}},
}

// trouble has so many things be otherwise, and says which.
func (w *lineWorld) trouble(rng *rand.Rand, n int) string {
	var how []string
	for len(how) < n {
		x := &troubles[rng.IntN(len(troubles))]
		if x.token && !w.token || x.double && w.token {
			continue
		}
		x.do(w, rng)
		how = append(how, x.name)
	}
	for k := range w.books {
		slices.SortStableFunc(w.books[k], func(a, b lineEntry) int { return int(a.at - b.at) })
	}
	return strings.Join(how, ", ")
}

// shorten leaves so many trains of the line.
func (w *lineWorld) shorten(trains int) {
	w.trains = min(w.trains, trains)
	for k := range w.books {
		w.books[k] = slices.DeleteFunc(w.books[k], func(e lineEntry) bool { return e.train >= w.trains })
	}
}

func (w *lineWorld) plantSome(rng *rand.Rand, n int) {
	for range 20 * n {
		p, section, train := &linePlants[rng.IntN(len(linePlants))], rng.IntN(w.boxes-1), rng.IntN(w.trains)
		plant := p.plant
		if p.kind == "exchange invented" {
			plant = (*lineWorld).invent
		}
		if (!p.token || w.token) && plant(w, section+rng.IntN(2), section, train) {
			if n--; n == 0 {
				return
			}
		}
	}
}

// inSome does something to the entries of some trains in one of the books.
func (w *lineWorld) inSome(rng *rand.Rand, from, to int, do func(e *lineEntry)) {
	book := w.books[rng.IntN(w.boxes)]
	for i := range book {
		if e := &book[i]; e.train >= from && e.train < to {
			do(e)
		}
	}
}

// stretch does something to one of the books, for some trains after each other.
func (w *lineWorld) stretch(rng *rand.Rand, do func(e *lineEntry)) {
	from := rng.IntN(w.trains)
	w.inSome(rng, from, from+2+rng.IntN(w.trains), do)
}

// rename names some trains after each other otherwise in one of the books.
func (w *lineWorld) rename(rng *rand.Rand, to func(n int) string) {
	w.stretch(rng, func(e *lineEntry) { e.text = strings.ReplaceAll(e.text, lineName(e.train), to(e.train)) })
}

func (w *lineWorld) setWrong(rng *rand.Rand) {
	of, from, by := rng.IntN(w.boxes), simStart+block.Time(6*3600+rng.IntN(5*3600)), float64(rng.IntN(10_800)-5400)
	switch rng.IntN(3) {
	case 0:
		by /= 30
	case 1:
		by = float64(round(rng)) * float64(1-2*rng.IntN(2))
	}
	to := from + block.Time(1200+rng.IntN(6*3600))
	w.set = func(box int, at block.Time) float64 {
		if box == of && at >= from && at < to {
			return by
		}
		return 0
	}
}

// exact has every clock be right to the minute, or some minutes off.
func (w *lineWorld) exact(rng *rand.Rand) {
	for k := range w.books {
		w.ahead[k], w.drift[k] = float64(60*(rng.IntN(4)-1)), 0
		for i := range w.books[k] {
			w.books[k][i].at -= w.books[k][i].at % 60
		}
	}
}

// round is a time that limits here are of, or a minute beside it.
func round(rng *rand.Rand) block.Time {
	return block.Time([]int{1, 2, 3, 5, 10, 15, 20, 30, 60, 90, 120, 150, 360}[rng.IntN(13)]+rng.IntN(3)-1) * block.Minute
}

// split writes the bells of exchanges as so many entries of their own, some seconds apart.
func (w *lineWorld) split(rng *rand.Rand) {
	box := rng.IntN(w.boxes)
	var out []lineEntry
	for _, e := range w.books[box] {
		f := strings.Fields(e.text)
		if n := slices.Index(f, "train"); n > 3 && rng.IntN(3) > 0 {
			cut, rest := 1+rng.IntN(n-1), e
			e.text, rest.text = strings.Join(append(slices.Clone(f[:cut]), f[n:]...), " "), f[0]+" "+strings.Join(f[cut:], " ")
			if cut > 1 {
				rest.at += block.Time(rng.IntN(200))
				out = append(out, e)
			}
			e = rest
		}
		out = append(out, e)
	}
	w.books[box] = out
}

// put writes a line into a book, as of a train that there is none of.
func (w *lineWorld) put(box int, at block.Time, text string) {
	w.books[box] = append(w.books[box], lineEntry{at: at, train: -1, text: text})
}

// moment is one within the time of the trains.
func (w *lineWorld) moment(rng *rand.Rand) block.Time {
	last := w.books[0][len(w.books[0])-1].at
	return simStart + 5*3600 + block.Time(rng.Int64N(max(int64(last-simStart-5*3600), 1)))
}

// rung has signals rung between the first two boxes, the second some time after the first: some
// are in both books, some in one.
func (w *lineWorld) rung(rng *rand.Rand, signals [2]string) {
	for range 1 + rng.IntN(3) {
		at, first, later := w.moment(rng), rng.IntN(2), round(rng)
		for k, bells := range signals {
			for side := range 2 {
				if rng.IntN(4) > 0 {
					heard := bells
					if side == 1 {
						heard = strings.NewReplacer("<", ">", ">", "<").Replace(bells)
					}
					box := first ^ side
					w.put(box, at+block.Time(k)*later+block.Time(rng.IntN(2)*rng.IntN(90)), fmt.Sprintf("Box%d %s", 1-box, heard))
				}
			}
		}
	}
}

// worked has the first section worked otherwise for a while, by the words of both books or of one.
func (w *lineWorld) worked(rng *rand.Rand) {
	changes := [][2]string{{`blockage "Up Main" towards Box%d`, `blockage-up "Up Main" towards Box%d`}, {`Box%d working by pilot "J. Bell"`, "Box%d working normal"}, {"Box%d working by message", "Box%d working normal"}, {"Box%d occupation-key out", "Box%d occupation-key in"},
		{`obstruct "Up Main" Box%d "wagon foul"`, `clear "Up Main" Box%d`}, {`obstruct "Down Main" Box%d "wagon foul"`, `clear "Down Main" Box%d`}}
	for range 1 + rng.IntN(3) {
		at, change, later := w.moment(rng), changes[rng.IntN(len(changes))], round(rng)
		for k, text := range change {
			for box := range 2 {
				if rng.IntN(4) > 0 {
					w.put(box, at+block.Time(k)*later+block.Time(rng.IntN(2)*rng.IntN(300)), fmt.Sprintf(text, 1-box))
				}
			}
		}
	}
}

// count has the tokens of the first section counted at both ends, not always rightly.
func (w *lineWorld) count(rng *rand.Rand) {
	for range 2 + rng.IntN(4) {
		at, here := w.moment(rng), 4+rng.IntN(4)
		for box, n := range [2]int{here, 12 - here + rng.IntN(2)} {
			text := fmt.Sprintf("Box%d count %d", 1-box, n)
			if rng.IntN(2) == 0 {
				text += fmt.Sprintf(" there %d", 12-n)
			}
			w.put(box, at+block.Time(rng.IntN(2))*round(rng), text)
		}
		if rng.IntN(3) == 0 {
			w.put(rng.IntN(2), at, fmt.Sprintf("Box%d token %d moved %s", 0, 1+rng.IntN(12), []string{"here", "away"}[rng.IntN(2)]))
		}
	}
}
