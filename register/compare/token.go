package compare

import (
	"cmp"
	"slices"

	"fairhand/block"
)

// move is a change of a token's place as one book has it.
type move struct {
	noted
	order  block.Time // time of its place in the book
	number int
	what   handling
	here   bool // at the instrument of the book's own box
	sure   sureness
	late   bool // written later than it happened
}

// placed is the movement at the time of its place.
func (m *move) placed() noted { return noted{seq: m.seq, at: m.order, entry: m.entry} }

// sureness is how sure it is at which instrument a token was.
type sureness uint8

const (
	guessed sureness = iota
	offered          // it follows an offer of the box that draws
	written          // the entry says so
)

// handling is what was done with a token.
type handling uint8

const (
	drawn handling = iota
	restored
	placed // put into an instrument by the technician
	away   // taken, lost, found or damaged: in neither instrument
)

// count is a count of tokens in the instrument here and, as told, in the other
// (-1 not told).
type count struct {
	noted
	here, there int
}

// moveOf reads a token entry.
func moveOf(ev *block.Event) (move, bool) {
	m := move{number: ev.Number, here: !ev.Far, late: ev.Written != 0}
	if ev.Far {
		m.sure = written
	}
	switch ev.Kind {
	case block.TokenOut:
		m.what = drawn
	case block.TokenIn:
		m.what = restored
	case block.TokenMovedHere:
		m.what, m.here = placed, true
	case block.TokenMovedAway:
		m.what, m.here = placed, false
	case block.TokenTaken, block.TokenLost, block.TokenFound, block.TokenDamaged:
		m.what = away
	default:
		return m, false
	}
	return m, true
}

// places says at which instrument each token was drawn, which an entry need not: a draw
// follows the offer of the box that draws. It gives each movement the time of its place in
// the book, so that a wrong one does not put it before another; late entries keep their own.
// times are of the entries' places.
func (s *side) places(times []block.Time) {
	last, k := int32(-1), 0 // the exchange of the last offer, the next bell
	var at block.Time
	for i := range s.moves {
		m := &s.moves[i]
		m.order = m.at
		if !m.late {
			m.order = times[m.entry]
		}
		for ; k < len(s.bells) && s.bells[k].entry < m.entry; k++ {
			if x := &s.exchanges[s.bells[k].exchange]; x.offer {
				last, at = s.bells[k].exchange, times[s.bells[k].entry]
			}
		}
		if m.what == drawn && m.here && last >= 0 {
			m.here = s.exchanges[last].sent
			if times[m.entry]-at <= waitAnswer {
				m.sure = offered
			}
		}
	}
}

// agree settles draws that each book has at its own instrument, or each at the
// other's, because the offer before them is missing in one.
func (p *Pair) agree(a, b *side, order []block.Time) {
	type drawing struct {
		*move
		at block.Time // in the order of journeys
	}
	var draws []drawing
	for i := range b.moves {
		if m := &b.moves[i]; m.what == drawn {
			draws = append(draws, drawing{m, order[i]})
		}
	}
	slices.SortStableFunc(draws, func(x, y drawing) int { return cmp.Compare(x.at, y.at) })
	for i := range a.moves {
		x := &a.moves[i]
		if x.what != drawn {
			continue
		}
		at := p.run(x.entry, x.order)
		for _, y := range between(draws, at-2*p.Tolerance, at+2*p.Tolerance, func(m *drawing) block.Time { return m.at }) {
			if y.number != x.number || y.here != x.here {
				continue
			}
			if x.sure >= y.sure {
				y.here = !x.here
			} else {
				x.here = !y.here
			}
		}
	}
}

// journey is one handling of a token as both books tell it.
type journey struct {
	number int
	what   handling
	first  bool       // at the first box's instrument
	at     block.Time // by the first clock
	order  block.Time // the same, were it never put back
	moves  [2]*move   // in the first book and the second, nil for none
}

// own is the index of the book whose own instrument it was.
func (j *journey) own() int {
	if j.first {
		return 0
	}
	return 1
}

// placedBetween gives the second book's token movements times of the first clock, were it never
// put back, each between those that the first book has of the bells around it: in the order
// that both books have, whatever is wrong with the times of either, or was with a clock.
func (p *Pair) placedBetween(moves []move) []block.Time {
	out, next := make([]block.Time, len(moves)), 0
	known := func(j, step int) *bell { // the nearest that way that both have, as the first book has it
		for ; j >= 0 && j < len(p.b.el); j += step {
			if i := p.pair.toA[j]; i >= 0 {
				return p.a.bell(int(i))
			}
		}
		return nil
	}
	for i := range moves {
		m := &moves[i]
		for next < len(p.b.el) && p.b.bell(next).entry < m.entry {
			next++
		}
		out[i] = p.diff.firstOf(m.placed())
		before, after := known(next-1, -1), known(next, 1)
		if before == nil {
			continue
		}
		out[i] = p.run(before.entry, out[i])
		if after != nil && !m.late {
			from, to := p.run(before.entry, before.at), p.run(after.entry, after.at)
			out[i] = min(max(out[i], min(from, to)), max(from, to))
		}
	}
	return out
}

// placedFirst has the first book's token movements at their own times where these lie between
// those of the bells around them: where its clock was put back by so little that its own times
// do not show it, that of their place is not known before both books are laid together.
func (p *Pair) placedFirst(moves []move) {
	next := 0
	for i := range moves {
		m := &moves[i]
		for next < len(p.a.el) && p.a.bell(next).entry < m.entry {
			next++
		}
		if m.late || next == 0 || next == len(p.a.el) {
			continue
		}
		before, after := p.a.bell(next-1), p.a.bell(next)
		if at := p.run(m.entry, m.at); at >= p.run(before.entry, before.at) && at <= p.run(after.entry, after.at) {
			m.order = m.at
		}
	}
}

// journeys lays both books' token movements together, in their order.
func (p *Pair) journeys(sides [2]*side) []*journey {
	p.placedFirst(sides[0].moves)
	second := p.placedBetween(sides[1].moves)
	p.agree(sides[0], sides[1], second)
	var all, told []*journey
	for k, s := range sides {
		for i := range s.moves {
			m := &s.moves[i]
			j := &journey{number: m.number, what: m.what, first: m.here == (k == 0), at: p.byFirst(k, m.placed()), order: p.run(m.entry, m.order)}
			if k == 1 {
				j.order = second[i]
			}
			j.moves[k] = m
			if m.what <= placed && j.own() != k {
				told = append(told, j)
				continue
			}
			all = append(all, j)
		}
	}
	byTime := func(a, b *journey) int { return cmp.Compare(a.order, b.order) }
	slices.SortStableFunc(all, byTime)
	slices.SortStableFunc(told, byTime)
	all = append(all, p.join(all, told)...)
	slices.SortStableFunc(all, byTime)
	return all
}

// tellReach is how far apart the two books may have one drawing of a token.
const tellReach = 20 * block.Minute

// join gives each handling the entry of the box that was told of it, first with
// the same number and then, at the same time, with another. What is left of the
// told ones is returned: the box itself has no entry of them.
func (p *Pair) join(all, told []*journey) (alone []*journey) {
	for _, same := range [...]bool{true, false} {
		reach := tellReach
		if !same {
			reach = 2 * p.Tolerance
		}
		left := told[:0:0]
		for _, t := range told {
			if j := nearest(all, t, same, reach); j != nil && (same || t.what != placed) {
				j.moves[1-j.own()] = t.moves[1-t.own()]
			} else {
				left = append(left, t)
			}
		}
		told = left
	}
	return told
}

// nearest finds the handling that t tells of, not yet told.
func nearest(all []*journey, t *journey, same bool, reach block.Time) *journey {
	var best *journey
	for _, j := range between(all, t.order-reach, t.order+reach, func(j **journey) block.Time { return (*j).order }) {
		if j.what != t.what || j.first != t.first || (j.number == t.number) != same || j.moves[1-j.own()] != nil {
			continue
		}
		if best == nil || dist(j.order, t.order) < dist(best.order, t.order) {
			best = j
		}
	}
	return best
}

func dist(a, b block.Time) block.Time { return max(a-b, b-a) }
