package compare

import (
	"fmt"
	"iter"
	"math"
	"slices"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// Entry is one entry of one of the books. Its number is 0 when that book has none.
type Entry struct {
	Seq int64
	At  block.Time // by that book's clock
}

// Finding is one thing in which two books disagree; of what it has of each that of the
// book given first stands first.
type Finding struct {
	Rule     rulebook.RuleID
	Severity rulebook.Severity
	At       block.Time // when, by the first book's clock
	Entries  [2]Entry   // what it is about, in each book
	Rests    [2][]int64 // entries it rests on, in each book
	Section  string     // "Coldbeck - Ennerholme"
	Train    string
	Text     string
	Expected string
	Ref      string

	late float64 // by how many seconds the second book has it later than the first
	part bool    // of a signal that both have
}

// Pair is the comparison of two neighbours' books.
type Pair struct {
	First, Second *Book
	Clocks        []Clock // in order of time; none when nothing could be matched
	Tolerance     block.Time
	Signals       [2]int // bell signals of the section in each book, so far as compared
	Matched       int    // signals that both have
	Common        Common
	Findings      []Finding

	diff  *difference
	a, b  *line
	named bool // the books name trains alike
	// twoWays: they name most trains differently.
	twoWays bool
	alias   map[string][]string // what a train of a name is also called in either book
	pair    pairing

	holes []hole
	backs []setBackBy                   // of the first clock, as the second book shows it
	begun [2]map[rulebook.Meaning]begun // by the book that has it

	turned [][2]int       // elements of the second book, turned here
	sets   map[int32]bool // exchanges of the first book whose other beats are told at once
	outOf  []outOfStep    // stretches whose names are not compared

	beside [2][]int // findings of what goes with signals and one book has alone
}

// Section names the section compared.
func (p *Pair) Section() string { return p.First.Box.Name + " - " + p.Second.Box.Name }

// Two compares the books of two neighbouring boxes, and marks in both what is worked out of
// it: a book is in one comparison at a time. Each must have a section to
// the other.
func Two(first, second *Book) (*Pair, error) {
	i, j := first.Box.SectionIndex(second.Box.Name), second.Box.SectionIndex(first.Box.Name)
	if i < 0 || j < 0 {
		have, lacks := first, second
		if i < 0 {
			have, lacks = second, first
		}
		return nil, fmt.Errorf("%s has no section to %s: compare the books of neighbouring boxes, and see that the name of the box in one box file is the neighbour's in the other", lacks.Box.Name, have.Box.Name)
	}
	p := &Pair{First: first, Second: second, begun: [2]map[rulebook.Meaning]begun{{}, {}}}
	p.Tolerance = block.Minute + (first.step+second.step)/2
	signals := first.Box.Booking == block.BookSignals || second.Box.Booking == block.BookSignals
	p.a, p.b = lines(&first.sides[i], &second.sides[j], signals)
	p.Signals = [2]int{len(p.a.el), len(p.b.el)}
	p.match()
	p.turnArrows()
	p.findOutOfStep()
	p.measureCommon()
	if !p.Fits() && p.Signals != [2]int{} {
		return p, nil // one finding for each signal would only hide that
	}
	p.findHoles()
	p.findBacks()
	p.judge()
	p.tellTurned()
	p.names()
	p.movements(0)
	p.movements(1)
	p.working([2]*side{&first.sides[i], &second.sides[j]})
	p.lamps([2]*side{&first.sides[i], &second.sides[j]})
	p.outside()
	p.repeated()
	p.tellHoles()
	p.tokens(&first.sides[i], &second.sides[j], i, j)
	p.scattered()
	p.wholeTrains()
	slices.SortStableFunc(p.Findings, func(a, b Finding) int { return int(a.At - b.At) })
	return p, nil
}

// match aligns the books and measures the clocks, twice: first by the vote, with
// room for what a day's drift and a setting of the clock do to it, and then by
// what was found.
func (p *Pair) match() {
	p.elected(float64(p.Tolerance) + 150)
	p.measured()
	p.pair = pairing{} // made anew
	p.pair = align(p.a, p.b, p.diff, float64(p.Tolerance))
	p.measured()
	p.Common.paired, p.Matched = 0, 0
	for i, j := range p.pair.each() {
		p.Common.paired++
		if p.a.el[i].key == p.b.el[j].key {
			p.Matched++
		}
	}
}

// setWorth is how many more signals must be matched by the setting of a clock for
// it to be believed: a time-table that comes again every hour makes an hour
// missing in one book look like one (common practice). Half of that will do where the
// books name trains alike, since of another hour's train the name tells.
const setWorth = 6

// elected takes the vote, with settings of a clock where those match more, and what
// is matched by it.
func (p *Pair) elected(tol float64) {
	p.named = p.a.namesOf(p.b)
	calm, free := vote(p.a, p.b, p.named)
	p.diff, p.pair = calm, align(p.a, p.b, calm, tol)
	if free == nil {
		return
	}
	pair, worth := align(p.a, p.b, free, tol), setWorth
	if p.named {
		worth /= 2
	}
	set, any := p.fitting(pair, free, tol)
	still, all := p.fitting(p.pair, calm, tol)
	if set-worth*free.first.sets() > still && any+setWorth >= all {
		p.diff, p.pair = free, pair
	}
}

// telling are the pairs that tell the time: signals that are the same in both books.
func (p *Pair) telling(q pairing) iter.Seq2[int, int] {
	return func(yield func(int, int) bool) {
		for i, j := range q.each() {
			if p.a.el[i].counts() && p.a.el[i].key == p.b.el[j].key && !yield(i, j) {
				return
			}
		}
	}
}

// fitting is how many signals match within the tolerance by a difference, less those
// that name another train where the books name trains alike; and how many there are by
// whatever name: a clock that is set does not take any away, names out of step do.
func (p *Pair) fitting(q pairing, d *difference, tol float64) (n, any int) {
	for i, j := range p.telling(q) {
		if math.Abs(float64(p.b.el[j].at-p.a.el[i].at)-d.first.of(p.a.bell(i).entry, p.a.el[i].at)) > tol {
			continue
		}
		any++
		if !p.named || mayBeOne(p.a.el[i].name, p.b.el[j].name) {
			n++
		} else {
			n--
		}
	}
	return n, any
}

// measured measures the clocks by what is matched, if anything is.
func (p *Pair) measured() {
	n := 0
	for range p.telling(p.pair) {
		n++
	}
	if n == 0 {
		return
	}
	d, said := &difference{first: make(table, 0, n), second: make(table, 0, n)}, make([]float64, 0, n)
	p.diff = nil // measured anew: it need not be held meanwhile
	for i, j := range p.telling(p.pair) {
		a, b := &p.a.el[i], &p.b.el[j]
		d.first = append(d.first, knot{entry: a.entry, at: a.reached, gave: a.at})
		d.second = append(d.second, knot{entry: b.entry, at: b.reached, gave: b.at})
		said = append(said, float64(b.at-a.at))
	}
	gained := d.measure(said)
	p.diff, p.Clocks = d, d.stretches(said, gained, p.rounding(), p.First.Location)
}

// rounding is the standard deviation, in seconds, that the rounding of the times of both
// books gives to their difference: that of an even spread over each step.
func (p *Pair) rounding() float64 {
	a, b := float64(p.First.step), float64(p.Second.step)
	return math.Sqrt((a*a + b*b) / 12)
}

// add completes a finding and keeps it.
func (p *Pair) add(id rulebook.RuleID, f Finding, text, expected string) {
	r, _ := rulebook.RuleNamed(id)
	f.Rule, f.Severity, f.Section = id, r.Severity, p.Section()
	f.Text, f.Expected, f.Ref = text, expected, p.First.Box.Rules.Cite(r, false)
	f.restsOnce()
	p.Findings = append(p.Findings, f)
}

// restsOnce puts the entries that a finding rests on in their order, each once.
func (f *Finding) restsOnce() {
	for k := range f.Rests {
		slices.Sort(f.Rests[k])
		f.Rests[k] = slices.Compact(f.Rests[k])
	}
}

// books are the two books by index.
func (p *Pair) books() [2]*Book { return [2]*Book{p.First, p.Second} }

// lines are what they have of the section, and matches the element of the other that each
// of it is, -1 for none.
func (p *Pair) lines() [2]*line     { return [2]*line{p.a, p.b} }
func (p *Pair) matches() [2][]int32 { return [2][]int32{p.pair.toB, p.pair.toA} }

// byFirst is the time of an entry of a book by the first clock.
func (p *Pair) byFirst(book int, n noted) block.Time {
	if book == 1 {
		return p.diff.firstOf(n)
	}
	return n.at
}

// run is a time of the first book as a clock has it that is never put back: that which was
// has an hour, or part of one, twice. What its own times do not show, as where it was put
// back by less than the next train was away, the other book's do.
func (p *Pair) run(entry int32, at block.Time) block.Time {
	return at + by(p.First.backs, entry) + by(p.backs, entry)
}

// findBacks notes where the second clock is further ahead of the first than just before:
// the one was put on, which does no harm here, or the other back.
func (p *Pair) findBacks() {
	all := block.Time(0)
	for i := 1; i < len(p.diff.first); i++ {
		if gone := block.Time(p.diff.first[i].secs - p.diff.first[i-1].secs); gone >= setBack {
			all += gone
			p.backs = append(p.backs, setBackBy{p.diff.first[i].entry, all})
		}
	}
}

// about is a finding about entries of a book, at the time of the first of them.
func (p *Pair) about(book int, all ...noted) Finding {
	f := Finding{At: p.byFirst(book, all[0])}
	f.rests(book, all...)
	return f
}

// aboutBoth is a finding about an entry of each book.
func (p *Pair) aboutBoth(a, b noted) Finding {
	f := p.about(0, a)
	f.rests(1, b)
	return f
}

// rests has a finding rest on entries of a book; it is about the first of them.
func (f *Finding) rests(book int, all ...noted) {
	for _, n := range all {
		if f.Rests[book] == nil {
			f.Entries[book] = Entry{n.seq, n.at}
		}
		f.Rests[book] = append(f.Rests[book], n.seq)
	}
}

// said is where the book has something: the time and the entry.
func (b *Book) said(n noted) string {
	return b.clock(n.at) + " (" + b.entry(n.seq) + ")"
}
