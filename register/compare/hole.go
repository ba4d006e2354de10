package compare

import (
	"fmt"
	"slices"

	"fairhand/block"
	"fairhand/block/rulebook"
)

const (
	// holeSpan is how long a book must have no entry at all for what the other has of
	// that time to be told as one missing part, and holeLeast how many exchanges the
	// other must have then: a page or a turn. Less is told signal by signal (common
	// practice).
	holeSpan  = 2 * 60 * block.Minute
	holeLeast = 3
)

// silence is a time without any entry, between two that have one.
type silence struct{ from, to block.Time }

// silences are the times of at least holeSpan at which none of the entries is.
func silences(times []block.Time) (all []silence) {
	times = slices.Clone(times)
	slices.Sort(times)
	for i := 1; i < len(times); i++ {
		if times[i]-times[i-1] >= holeSpan {
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
	alone := p.alone(p.b, p.pair.toA)
	for _, s := range p.First.silences {
		p.hole(hole{book: 0, by: s, from: s.from, to: s.to}, p.b, alone)
	}
	alone = p.alone(p.a, p.pair.toB)
	for _, s := range p.Second.silences {
		p.hole(hole{book: 1, by: s, from: p.diff.inFirst(s.from), to: p.diff.inFirst(s.to)}, p.a, alone)
	}
	slices.SortStableFunc(p.holes, func(a, b hole) int { return int(a.from - b.from) })
}

// lone is an element that the other book has not, by the first clock.
type lone struct {
	element int
	at      block.Time
}

// alone are the elements of a line that are not matched, in order of time.
func (p *Pair) alone(l *line, match []int32) (out []lone) {
	for i, j := range match {
		if j < 0 {
			out = append(out, lone{i, p.common(l, i)})
		}
	}
	slices.SortStableFunc(out, func(a, b lone) int { return int(a.at - b.at) })
	return out
}

// hole keeps a hole in which the line of the other book has enough that is not matched.
func (p *Pair) hole(h hole, l *line, alone []lone) {
	exchanges, last := 0, int32(-1)
	for _, x := range between(alone, h.from-p.Tolerance, h.to+p.Tolerance, func(x *lone) block.Time { return x.at }) {
		h.signals = append(h.signals, x.element)
		if of := l.bell(x.element).exchange; of != last {
			exchanges, last = exchanges+1, of
		}
	}
	if exchanges >= holeLeast {
		p.holes = append(p.holes, h)
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
		lacks, has, l := p.books()[h.book], p.books()[1-h.book], p.a
		if h.book == 0 {
			l = p.b
		}
		x, y := l.bell(h.signals[0]), l.bell(h.signals[len(h.signals)-1])
		p.add(rulebook.BookPartMissing, p.about(1-h.book, x.noted, y.noted), fmt.Sprintf("The book of %s has no entry between %s and %s: %d of the %d signals that %s has, from %s (%s) to %s (%s), are of that time",
			lacks.Box.Name, lacks.moment(h.by.from), lacks.moment(h.by.to), len(h.signals), len(l.el), has.Box.Name, has.moment(x.at), has.entry(x.seq), has.moment(y.at), has.entry(y.seq)),
			"both books of the same time")
	}
}
