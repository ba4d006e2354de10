package compare

import (
	"slices"

	"fairhand/block"
)

// pages are how long a book must have no entry at all for what the other has of that time
// to be told as one missing part, and how many exchanges the other must have then: half a
// page of a quiet box or of a busy one. Less is told signal by signal (common practice).
var pages = [...]struct {
	span      block.Time
	exchanges int
}{{60 * block.Minute, 3}, {30 * block.Minute, 4}, {15 * block.Minute, 6}}

// silence is a time without any entry, between two that have one.
type silence struct{ from, to block.Time }

// silences are the times, long enough for a missing part, at which none of the entries is.
func silences(times []block.Time) (all []silence) {
	times = slices.Clone(times)
	slices.Sort(times)
	for i := 1; i < len(times); i++ {
		if times[i]-times[i-1] >= pages[len(pages)-1].span {
			all = append(all, silence{times[i-1], times[i]})
		}
	}
	return all
}

// hole is a time of which one book has nothing and the other has signals.
type hole struct {
	book     int // that lacks it
	from, to block.Time
	by       silence // by that book's own clock
	signals  []int   // elements of the other book that stand in it
}

// findHoles keeps the holes of both books, in order of time by the first clock.
func (p *Pair) findHoles() {
	for k, of := range p.books() {
		alone := p.alone(1 - k)
		for _, s := range of.silences {
			h := hole{book: k, by: s, from: s.from, to: s.to}
			if k == 1 {
				h.from, h.to = p.diff.inFirst(s.from), p.diff.inFirst(s.to)
			}
			p.hole(h, alone)
		}
	}
	slices.SortStableFunc(p.holes, func(a, b hole) int { return int(a.from - b.from) })
}

// lone is an element that the other book has not, by the first clock.
type lone struct {
	element int
	at      block.Time
}

// alone are the elements of book k that are not matched, in order of time.
func (p *Pair) alone(k int) (out []lone) {
	for i, j := range p.matches()[k] {
		if j < 0 {
			out = append(out, lone{i, p.common(p.lines()[k], i)})
		}
	}
	slices.SortStableFunc(out, func(a, b lone) int { return int(a.at - b.at) })
	return out
}

// hole keeps a hole in which the other book has enough that is not matched.
func (p *Pair) hole(h hole, alone []lone) {
	exchanges, last := 0, int32(-1)
	for _, x := range between(alone, h.from-p.Tolerance, h.to+p.Tolerance, func(x *lone) block.Time { return x.at }) {
		h.signals = append(h.signals, x.element)
		if of := p.lines()[1-h.book].bell(x.element).exchange; of != last {
			exchanges, last = exchanges+1, of
		}
	}
	for _, page := range pages {
		if h.by.to-h.by.from >= page.span && exchanges >= page.exchanges {
			p.holes = append(p.holes, h)
			return
		}
	}
}

// compared says whether both books have the time of a moment of the first clock: of
// what is not in one of them then nothing can be said.
func (p *Pair) compared(at block.Time) bool {
	from, to := p.coverage()
	return at >= from && at <= to && !slices.ContainsFunc(p.holes, func(h hole) bool { return at >= h.from-p.Tolerance && at <= h.to+p.Tolerance })
}

// parted says whether a hole of either book lies between two moments, or over one.
func (p *Pair) parted(from, to block.Time) bool {
	return slices.ContainsFunc(p.holes, func(h hole) bool { return h.to+p.Tolerance >= from && h.from-p.Tolerance <= to })
}

// tellHoles reports each hole once.
func (p *Pair) tellHoles() {
	for _, h := range p.holes {
		lacks := p.books()[h.book]
		p.partMissing(1-h.book, h.signals, "has no entry between "+lacks.moment(h.by.from)+" and "+lacks.moment(h.by.to), "are of that time")
	}
}
