package compare

import (
	"iter"
	"math"
	"slices"
	"sort"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/each"
)

// line is what one book has of the section between two boxes, ready to be laid
// beside the other book.
type line struct {
	of   int // 0 for the first book, 1 for the second
	side *side
	el   []element
}

// element is one bell signal in the terms of both books.
type element struct {
	*bell
	key   uint32 // who rang, what part of an exchange, and which beats
	topic uint32 // who began the exchange, and its beats
}

const fromFirst = 1 << 24 // in a key: rung by the first box

func partOf(key uint32) part { return part(key >> 16 & 0xff) }

// counts says whether the element has a vote on the clocks: signals only, since
// call attention is always the same.
func (e *element) counts() bool { p := partOf(e.key); return p == signal || p == answer }

// lines makes both books' elements of one section. With signalsOnly call
// attention and acknowledgements are left out.
func lines(sideA, sideB *side, signalsOnly bool) (*line, *line) {
	codes := map[rulebook.Code]uint32{}
	return elements(0, sideA, signalsOnly, codes), elements(1, sideB, signalsOnly, codes)
}

func elements(of int, s *side, signalsOnly bool, codes map[rulebook.Code]uint32) *line {
	numbers := make([]uint32, len(s.codes)) // of this side's codes, in both books
	for i, c := range s.codes {
		if _, ok := codes[c]; !ok {
			codes[c] = uint32(len(codes))
		}
		numbers[i] = codes[c]
	}
	l, first := &line{of: of, side: s, el: make([]element, 0, len(s.bells))}, of == 0
	for i := range s.bells {
		x := &s.bells[i]
		if signalsOnly && x.part != signal && x.part != answer {
			continue
		}
		ex := &s.exchanges[x.exchange]
		e := element{bell: x, key: uint32(x.part)<<16 | numbers[x.code], topic: numbers[ex.code]}
		if x.sent == first {
			e.key |= fromFirst
		}
		if ex.sent == first {
			e.topic |= fromFirst
		}
		l.el = append(l.el, e)
	}
	for i, at := range l.progress(func(i int) block.Time { return l.el[i].at }) {
		l.el[i].reached = at
	}
	return l
}

// oneTopic says whether two elements may be of one exchange: begun by the same
// box, with the same signal or one that is missing in a book.
func oneTopic(a, b *element) bool {
	return (a.topic^b.topic)&fromFirst == 0 && (a.topic == b.topic || a.topic&0xffff == 0 || b.topic&0xffff == 0)
}

// shared drops the part from a key: a signal may be taken for an acknowledgement
// in a book that lacks the signal before it.
func shared(key uint32) uint32 { return key &^ (0xff << 16) }

// Costs of the alignment. Two signals that are not matched cost twice gapCost,
// so a match is made while it costs less.
const (
	gapCost   = 1000
	otherCode = 1100 // same box and part, other beats, at the same time
	otherBox  = 1700 // same beats, each box says the other rang
	lateFrom  = 500  // same signal, beyond the tolerance of time
	lateTo    = 950
	never     = math.MaxInt32 / 4
	lateReach = 13 * 3600 // seconds: an hour or a half day misread, no more
	bandReach = 15 * 60   // seconds on each side that the alignment looks
	bandMost  = 1024      // signals within it
)

// pairing is the result of an alignment: for each element of the first line the
// element of the second that is the same signal, -1 for none, and back.
type pairing struct {
	toB, toA []int32
}

// each are the pairs, in the order of the first line.
func (p *pairing) each() iter.Seq2[int, int] {
	return func(yield func(int, int) bool) {
		for i, j := range p.toB {
			if j >= 0 && !yield(i, int(j)) {
				return
			}
		}
	}
}

// aligner lays two lines beside each other.
type aligner struct {
	a, b *line
	diff *difference
	tol  float64 // seconds
	off  []float64

	reach float64 // seconds beyond the tolerance for strays without a name
}

// align matches the two lines under a difference of the clocks.
func align(a, b *line, d *difference, tol float64) pairing {
	al := &aligner{a: a, b: b, diff: d, tol: tol, off: make([]float64, len(a.el))}
	for i := range a.el {
		al.off[i] = d.first.of(a.bell(i).entry, a.el[i].at)
	}
	lo, hi := al.band()
	p := al.trace(lo, hi)
	al.strays(&p)
	return p
}

// late is how far element j of the second book is behind element i of the first
// by one clock, in seconds.
func (al *aligner) late(i, j int) float64 {
	return float64(al.b.el[j].at-al.a.el[i].at) - al.off[i]
}

// cost is that of taking i and j for the same signal.
func (al *aligner) cost(i, j int) int32 {
	a, b := &al.a.el[i], &al.b.el[j]
	late := math.Abs(al.late(i, j))
	switch {
	case shared(a.key) == shared(b.key) && late <= al.tol:
		c := int32(200 * late / al.tol)
		if a.key != b.key {
			c += 100
		}
		if !mayBeOne(a.name, b.name) {
			c += 300
		}
		return c
	case shared(a.key) == shared(b.key) && late <= lateReach:
		if !oneTopic(a, b) || !mayBeOne(a.name, b.name) {
			return never
		}
		return lateFrom + int32(min(late-al.tol, 3600)*(lateTo-lateFrom)/3600)
	case late > al.tol:
		return never
	case (a.key^b.key)&fromFirst == 0 && partOf(a.key) >= signal && partOf(b.key) >= signal:
		return otherCode + int32(200*late/al.tol)
	case a.key^b.key == fromFirst && partOf(a.key) == signal:
		return otherBox
	}
	return never
}

// band gives for each number of elements taken from the first line the least and
// most to have been taken from the second: from where the last of them may be matched to
// where the next may be, within reach by the clock. It is always possible to walk from
// end to end within it.
func (al *aligner) band() (lo, hi []int32) {
	n, m := len(al.a.el), len(al.b.el)
	tb := al.b.progress(al.inFirst)
	lo, hi = make([]int32, n+1), make([]int32, n+1)
	for i := range n {
		at := al.a.el[i].reached
		lo[i+1] = int32(sort.Search(m, func(j int) bool { return tb[j] >= at-bandReach }))
		hi[i] = min(lo[i+1]+bandMost, int32(sort.Search(m, func(j int) bool { return tb[j] > at+bandReach })))
	}
	hi[n] = int32(m)
	return lo, hi
}

// inFirst is the time of an element of the second line by the first book's clock.
func (al *aligner) inFirst(j int) block.Time {
	return al.diff.firstOf(al.b.bell(j).noted)
}

// progress is the time by which each element of a line was surely reached, never
// going back: its own, where that lies between those of the entries around it, and
// else the median of five, so that a wrong time does not count.
func (l *line) progress(at func(int) block.Time) []block.Time {
	var times []block.Time               // of entries
	entry := make([]int32, 0, len(l.el)) // of elements
	for i := range l.el {
		if i == 0 || l.bell(i).entry != l.bell(i-1).entry {
			times = append(times, at(i))
		}
		entry = append(entry, int32(len(times)-1))
	}
	sure := steady(times)
	reached := slices.Clone(sure)
	for i, t := range times {
		if t >= sure[max(i-1, 0)] && t <= sure[min(i+1, len(sure)-1)] || i == 0 && t <= sure[0] || i == len(times)-1 && t >= sure[i] {
			reached[i] = t
		}
		if i > 0 {
			reached[i] = max(reached[i], reached[i-1])
		}
	}
	return each.Of(entry, func(e int32) block.Time { return reached[e] })
}

// setBack is how far, and setLong for how many entries, the times of a book must
// go back to be those of a clock that was put back.
const (
	setBack = 5 * block.Minute
	setLong = 11
)

// steady smooths the times of entries in the order of a book: at each the median
// of five, never going back but where the clock was put back.
func steady(times []block.Time) []block.Time {
	out := make([]block.Time, len(times))
	for i := range times {
		var w [5]block.Time
		k := copy(w[:], times[max(0, i-2):min(len(times), i+3)])
		slices.Sort(w[:k])
		out[i] = w[k/2]
		if i > 0 && out[i] < out[i-1] {
			long := slices.Clone(times[i:min(len(times), i+setLong)])
			slices.Sort(long)
			if out[i-1]-long[len(long)/4] < setBack {
				out[i] = out[i-1]
			}
		}
	}
	return out
}

// Steps of the alignment.
const (
	stepMatch = iota
	stepA     // an element of the first line alone
	stepB     // of the second
)

// steps are the steps of a walk cell by cell, row after row of the band: four to the
// byte, as there are many times more cells than signals.
type steps []uint8

func (s steps) set(cell int, step uint8) { s[cell/4] |= step << (cell % 4 * 2) }
func (s steps) of(cell int) uint8        { return s[cell/4] >> (cell % 4 * 2) & 3 }

// trace finds the cheapest walk through the band and reads the pairs off it.
func (al *aligner) trace(lo, hi []int32) pairing {
	n, m := len(al.a.el), len(al.b.el)
	cells := 0
	for i := range lo {
		cells += int(hi[i]-lo[i]) + 1
	}
	walked, from := make(steps, cells/4+1), 0 // of the row
	before, row := []int32(nil), []int32(nil)
	for i := 0; i <= n; i++ {
		w := int(hi[i]-lo[i]) + 1
		row = slices.Grow(row[:0], w)[:w]
		for k := range w {
			j := int(lo[i]) + k
			best, step := int32(never), uint8(stepB)
			if i == 0 && j == 0 {
				best = 0
			}
			if k > 0 && row[k-1]+gapCost < best {
				best = row[k-1] + gapCost
			}
			if i > 0 {
				if p := j - int(lo[i-1]); p < len(before) && p >= 0 && before[p]+gapCost < best {
					best, step = before[p]+gapCost, stepA
				}
				if p := j - 1 - int(lo[i-1]); j > 0 && p >= 0 && p < len(before) {
					if c := before[p] + al.cost(i-1, j-1); c < best {
						best, step = c, stepMatch
					}
				}
			}
			row[k] = best
			walked.set(from+k, step)
		}
		from += w
		before, row = row, before
		al.rebase(before)
	}
	return readBack(n, m, lo, hi, walked, cells)
}

// rebase keeps the numbers of a long book small: only differences matter.
func (al *aligner) rebase(row []int32) {
	least := slices.Min(row)
	for k := range row {
		row[k] = min(row[k]-least, never)
	}
}

func readBack(n, m int, lo, hi []int32, walked steps, cells int) pairing {
	p := pairing{toB: slices.Repeat([]int32{-1}, n), toA: slices.Repeat([]int32{-1}, m)}
	for i, j, end := n, m, cells; j > 0; {
		width := int(hi[i]-lo[i]) + 1
		switch walked.of(end - width + j - int(lo[i])) {
		case stepMatch:
			i, j, end = i-1, j-1, end-width
			p.toB[i], p.toA[j] = int32(j), int32(i)
		case stepA:
			i, end = i-1, end-width
		default:
			j--
		}
	}
	return p
}
