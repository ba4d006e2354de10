package compare

import (
	"fmt"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// Common is the time for which there are both books, by the first book's clock,
// and how many signals of each stand outside it. Where they have no time in
// common, To is before From.
type Common struct {
	From, To block.Time
	Inside   [2]int
	Outside  [2]int
	paired   int    // signals of the first book that were laid to one of the second
	telling  [2]int // signals inside that tell the time
	same     int    // of them, in both books at one time
	like     int    // of them, in both books at one time by whatever name
	guessed  int    // of them, in both books with the same name, and at one time but for guessed minutes
}

const (
	// outsideMost is how many signals, and outsideSpan how long a time, may stand
	// outside the other book without a word: books begin and end within a train
	// of each other (common practice).
	outsideMost = 8
	outsideSpan = 15 * block.Minute
	// fitsFrom signals in both books, or more, can tell that they do not belong
	// together: of those that tell the time a smaller share than fitsShare is the same and
	// at the same time, of the same train where the books name trains alike, and a smaller one
	// than fitsNameless by whatever name: names may be out of step for a turn. Of two days
	// with one time-table many more can be laid to each other; of a busy line at work on two
	// days, without names, two in five are the same by chance.
	fitsFrom     = 20
	fitsShare    = 0.5
	fitsNameless = 0.75
	// guessedMost is seconds by which guessed minutes may lie apart in books that name
	// trains alike, of a share of fitsGuessed: on two days with the same trains fewer do.
	guessedMost = 300
	fitsGuessed = 0.85
)

// measureCommon sets what both books have of the time.
func (p *Pair) measureCommon() {
	from, to := p.coverage()
	p.Common.From, p.Common.To = from+p.Tolerance, to-p.Tolerance
	for k, l := range p.lines() {
		for i := range l.el {
			if at := p.common(l, i); at < from || at > to {
				p.Common.Outside[k]++
				continue
			}
			p.Common.Inside[k]++
			if l.el[i].counts() {
				p.Common.telling[k]++
			}
		}
	}
	p.Common.same, p.Common.like = p.fitting(p.pair, p.diff, float64(p.Tolerance))
	if p.named { // the names tell what is the same, where minutes are guessed
		p.Common.guessed, _ = p.fitting(p.pair, p.diff, guessedMost)
	}
}

// Fits says whether the two books can be compared at all. Books of other days, of
// other boxes or without signals cannot: nothing, or next to nothing, is in both.
func (p *Pair) Fits() bool {
	c := &p.Common
	telling := float64(min(c.telling[0], c.telling[1]))
	return c.paired > 0 && c.From <= c.To && (min(c.Inside[0], c.Inside[1]) < fitsFrom || p.named && float64(c.same) >= fitsShare*telling || float64(c.like) >= fitsNameless*telling || float64(c.guessed) >= fitsGuessed*telling)
}

// outside reports the part of one book for which the other has nothing.
func (p *Pair) outside() {
	for k := range p.lines() {
		other := p.books()[1-k]
		p.outsideOf(k, func(at block.Time) bool { return at < p.Common.From-p.Tolerance }, p.Common.From, "begins at "+other.moment(other.First))
		p.outsideOf(k, func(at block.Time) bool { return at > p.Common.To+p.Tolerance }, p.Common.To, "ends at "+other.moment(other.Last))
	}
}

func (p *Pair) outsideOf(k int, out func(block.Time) bool, edge block.Time, does string) {
	l, long, beyond := p.lines()[k], block.Time(0), []int(nil)
	for i := range l.el {
		if out(p.common(l, i)) {
			beyond = append(beyond, i)
		}
	}
	if len(beyond) <= outsideMost {
		return
	}
	for _, i := range []int{beyond[0], beyond[len(beyond)-1]} {
		long = max(long, dist(p.common(l, i), edge))
	}
	if long > outsideSpan+dist(block.Time(p.diff.first.at(edge)), 0) { // less than a clock apart may put beyond the edge of a day
		p.partMissing(k, beyond, does, "stand beyond it")
	}
}

// repeated reports the parts of a book that stand twice in it.
func (p *Pair) repeated() {
	for k, b := range p.books() {
		for _, r := range b.repeated {
			if at := p.byFirst(k, noted{at: r.At}); p.compared(at) {
				p.add(rulebook.BellMissing, Finding{At: at}, fmt.Sprintf("a part of the book of %s stands twice in it: %s; it is compared once", b.Box.Name, r.Again()), "each entry once")
			}
		}
	}
}

// partMissing reports a part of book k, its elements, for which the other has nothing.
func (p *Pair) partMissing(k int, part []int, does, where string) {
	l, has, lacks := p.lines()[k], p.books()[k], p.books()[1-k]
	x, y := l.bell(part[0]), l.bell(part[len(part)-1])
	p.add(rulebook.BookPartMissing, p.about(k, x.noted, y.noted), fmt.Sprintf("The book of %s %s: %d of the %d signals that %s has, from %s (%s) to %s (%s), %s",
		lacks.Box.Name, does, len(part), len(l.el), has.Box.Name, has.moment(x.at), has.entry(x.seq), has.moment(y.at), has.entry(y.seq), where),
		"both books of the same time")
}

// fitWords say for which time both books were compared, or that they were not.
func (p *Pair) fitWords() string {
	c := p.Common
	switch {
	case p.Signals[0] == 0 || p.Signals[1] == 0:
		have := "neither book has"
		for k, n := range p.Signals {
			if n > 0 {
				have = fmt.Sprintf("the book of %s has %d signals with the other box, that of %s has", p.books()[k].Box.Name, n, p.books()[1-k].Box.Name)
			}
		}
		return have + " none: there is nothing to compare"
	case c.To < c.From:
		return fmt.Sprintf("the books have no time in common: that of %s runs from %s to %s, that of %s from %s to %s", p.First.Box.Name, p.First.moment(p.First.First), p.First.moment(p.First.Last),
			p.Second.Box.Name, p.Second.moment(p.Second.First), p.Second.moment(p.Second.Last))
	case !p.Fits():
		return fmt.Sprintf("the books do not fit together: of %d and %d signals, without call attention and acknowledgements, only %d are the same and at the same time, so nothing is said of the rest; see that they are of these two boxes and of the same days",
			c.telling[0], c.telling[1], max(c.same, 0))
	}
	text := fmt.Sprintf("both books run from %s to %s", p.First.moment(c.From), p.First.moment(c.To))
	if c.Outside[0]+c.Outside[1] > 0 {
		text += fmt.Sprintf("; outside it stand %d signals of %s and %d of %s", c.Outside[0], p.First.Box.Name, c.Outside[1], p.Second.Box.Name)
	}
	return text
}
