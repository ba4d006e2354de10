package compare

import (
	"cmp"
	"iter"

	"fairhand/block/rulebook"
)

// Match is a bell signal that both books have.
type Match struct {
	Code          rulebook.Code
	Sent          bool // by the first box
	Train         string
	First, Second Entry
	Ahead         float64 // seconds by which the second clock was ahead then, as measured from the signals around
}

// Matches gives the signals that both books have, without call attention and
// acknowledgements, in the order of the first book. None of books that do not fit.
func (p *Pair) Matches() iter.Seq[Match] {
	return func(yield func(Match) bool) {
		if !p.Fits() {
			return
		}
		for i, j := range p.telling(p.pair) {
			x, y := p.a.bell(i), p.b.bell(j)
			m := Match{
				Code: p.a.side.codes[x.code], Sent: x.sent, Train: cmp.Or(p.First.trainName(x), p.Second.trainName(y)), Ahead: p.diff.first.of(x.entry, x.at),
				First: Entry{x.seq, x.at}, Second: Entry{y.seq, y.at},
			}
			if !yield(m) {
				return
			}
		}
	}
}
