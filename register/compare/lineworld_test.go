package compare

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"fairhand/block"
)

// Lines of boxes, worked once and written down in as many books as there are boxes, by
// clocks of their own: every kind of difference planted alone, in trains that lie far
// enough apart for each finding to be known as that of one plant.

// lineBox is a box of the line; its sections follow.
const lineBox = "railway: Test Railway\nbox: Box%d\ntimezone: UTC\nrules: british-later\nsections:\n"

const (
	lineDouble = "  - neighbour: Box%d\n    method: absolute\n    lines: [{name: Up Main, way: %s}, {name: Down Main, way: %s}]\n    allow: [restricted-acceptance]\n"
	lineToken  = "  - neighbour: Box%d\n    method: token\n    lines: [{name: Single}]\n    tokens: {charge: \"1-12\", here: %q}\n"
)

// lineEntry is one entry of a book as it is to stand in it.
type lineEntry struct {
	at, written block.Time // by true time; written 0 for at once
	train       int        // that it is about
	section     int
	what        string // offer, enter, out, draw, told, restore, leave, come
	text        string
	by          block.Time // the entry gives a time so much wrong
}

type lineWorld struct {
	rng    *rand.Rand
	boxes  int
	token  bool
	books  [][]lineEntry
	trains int
	ahead  []float64 // of each clock, seconds
	drift  []float64 // seconds an hour
	set    func(box int, at block.Time) float64

	seconds [2]bool // which of the first two boxes writes them
	twice   [3]int  // entries of the second box, from one to before another, written again before a third
}

func lineName(n int) string { return fmt.Sprintf("%dT%02d", 1+n/100, n%100) }

// simLine works a line for some days.
func simLine(seed uint64, boxes, days int, token bool) *lineWorld {
	w := &lineWorld{rng: rand.New(rand.NewPCG(seed, 11)), boxes: boxes, token: token, books: make([][]lineEntry, boxes)}
	for k := range boxes {
		w.ahead = append(w.ahead, []float64{0, 97, -140}[k%3])
		w.drift = append(w.drift, []float64{0, -2, 1.5}[k%3])
	}
	in := make([][2][]int, boxes)
	for k := range in {
		in[k] = [2][]int{{1, 2, 3, 4, 5, 6}, {7, 8, 9, 10, 11, 12}}
	}
	for at := simStart + 5*3600; at < simStart+block.Time(days)*86400-2*3600; w.trains++ {
		end := w.run(w.trains, at, w.trains%2 == 0, in)
		if token {
			at = end + w.secs(60, 300)
		} else {
			at += w.secs(500, 900)
		}
		if (at-simStart)%86400 < 5*3600 {
			at = (at-simStart)/86400*86400 + simStart + 5*3600
		}
	}
	for k := range w.books {
		slices.SortStableFunc(w.books[k], func(a, b lineEntry) int { return int(a.at - b.at) })
	}
	return w
}

func (w *lineWorld) secs(least, most int) block.Time {
	return block.Time(least + w.rng.IntN(most-least+1))
}

// run takes a train from one end to the other, and says when it is out of the last
// section.
func (w *lineWorld) run(n int, at block.Time, up bool, in [][2][]int) block.Time {
	name, code := lineName(n), []string{"3-1", "1-3-1", "4", "3-2"}[w.rng.IntN(4)]
	path := make([]int, w.boxes)
	for k := range path {
		if path[k] = k; !up {
			path[k] = w.boxes - 1 - k
		}
	}
	put := func(box, section int, at block.Time, what, format string, a ...any) {
		w.books[box] = append(w.books[box], lineEntry{at: at + w.secs(0, 8), train: n, section: section, what: what, text: fmt.Sprintf(format, a...)})
	}
	enter := at + w.secs(90, 200)
	for k := range path[1:] {
		s, r := path[k], path[k+1]
		sec := min(s, r)
		ring := func(at block.Time, from, to int, what, code string, attention bool) {
			say, hear := ">"+code+" <"+code, "<"+code+" >"+code
			if attention {
				say, hear = ">1 <1 "+say, "<1 >1 "+hear
			}
			put(from, sec, at, what, "Box%d %s train %s", to, say, name)
			put(to, sec, at, what, "Box%d %s train %s", from, hear, name)
		}
		ring(enter-w.secs(60, 80), s, r, "offer", code, true)
		token := 0
		if w.token {
			side := 0
			if s > r {
				side = 1
			}
			i := w.rng.IntN(len(in[sec][side]))
			token = in[sec][side][i]
			in[sec][side] = slices.Delete(in[sec][side], i, i+1)
			in[sec][1-side] = append(in[sec][1-side], token)
			put(s, sec, enter-45, "draw", "Box%d token %d out", r, token)
			put(r, sec, enter-40, "told", "Box%d token %d out there", s, token)
		}
		if k == 0 {
			put(s, sec, enter, "leave", "train %s departed for Box%d", name, r)
		}
		ring(enter+12, s, r, "enter", "2", false)
		come := enter + w.secs(240, 420)
		if k+2 < len(path) {
			put(r, sec, come, "come", "train %s passed for Box%d complete", name, path[k+2])
		} else {
			put(r, sec, come, "come", "train %s arrived complete", name)
			put(r, sec, come+90, "away", "train %s put away", name)
		}
		if w.token {
			put(r, sec, come+30, "restore", "Box%d token %d in", s, token)
		}
		ring(come+48, r, s, "out", "2-1", true)
		enter = come + 5
	}
	return enter + 180
}

// clock is the time that a box writes.
func (w *lineWorld) clock(box int, at block.Time) block.Time {
	off := w.ahead[box] + w.drift[box]*float64(at-simStart)/3600
	if w.set != nil {
		off += w.set(box, at)
	}
	if box < 2 && w.seconds[box] {
		return at + block.Time(math.Round(off))
	}
	return (at + block.Time(math.Round(off)) + 30) / 60 * 60
}

// text is the book of a box, in the order in which it was written, and the entries in
// that order.
func (w *lineWorld) text(box int) (string, []lineEntry) {
	list := slices.Clone(w.books[box])
	when := func(e *lineEntry) block.Time { return max(e.at, e.written) }
	slices.SortStableFunc(list, func(a, b lineEntry) int { return int(when(&a) - when(&b)) })
	if page := w.twice; box == 1 && page[2] > 0 {
		list = slices.Insert(list, page[2], list[page[0]:page[1]]...)
	}
	var b strings.Builder
	day := ""
	for i := range list {
		e := &list[i]
		at := w.clock(box, e.at) + e.by
		t := time.Unix(int64(at), 0).UTC()
		if d := t.Format(time.DateOnly); d != day {
			day = d
			fmt.Fprintf(&b, "date %s\n", d)
		}
		fmt.Fprintf(&b, "%s %s", strings.TrimSuffix(t.Format(time.TimeOnly), ":00"), e.text)
		if e.written != 0 {
			fmt.Fprintf(&b, " written %s", time.Unix(int64(w.clock(box, e.written)), 0).UTC().Format("15:04"))
		}
		b.WriteByte('\n')
	}
	return b.String(), list
}

func (w *lineWorld) compare(t *testing.T) (*Chain, [][]lineEntry) {
	t.Helper()
	var books []*Book
	var lists [][]lineEntry
	for k := range w.boxes {
		text, list := w.text(k)
		books, lists = append(books, decode(t, []byte(w.boxFile(k)), []byte(text))), append(lists, list)
	}
	c, err := Line(books...)
	if err != nil {
		t.Fatal(err)
	}
	return c, lists
}

// boxFile is the box file of a box.
func (w *lineWorld) boxFile(k int) string {
	file := fmt.Sprintf(lineBox, k)
	for _, o := range []int{k - 1, k + 1} {
		if o < 0 || o >= w.boxes {
			continue
		}
		out, in, here := "out", "in", "1-6"
		if o < k {
			out, in, here = "in", "out", "7-12"
		}
		if w.token {
			file += fmt.Sprintf(lineToken, o, here)
		} else {
			file += fmt.Sprintf(lineDouble, o, out, in)
		}
	}
	return file
}

// pick is the entry of a train in a book's section.
func (w *lineWorld) pick(box, section, train int, what string) int {
	return slices.IndexFunc(w.books[box], func(e lineEntry) bool {
		return e.train == train && e.section == section && e.what == what
	})
}
