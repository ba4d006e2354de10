package compare

import (
	"cmp"
	"errors"
	"slices"

	"fairhand/block"
)

// Chain is the comparison of boxes along a line.
type Chain struct {
	Books []*Book
	Pairs []*Pair // of each box with the next
	Ways  []Way   // of each train, in order of its first time
}

// Way is one train's way along the line.
type Way struct {
	Name  string // empty when no book names it
	Stops []Stop // in the order in which it came to them
	whole bool   // all of it is booked, under one name
}

// Stop is what one box has of a train.
type Stop struct {
	Box    string
	Train  int // the train's number in that book's state
	Own    Times
	Common Times // by the clock of the first box
	name   string
}

// Times are a train's times at a box; 0 was not recorded.
type Times struct {
	Entered  block.Time // train entering section, on its way here
	Arrived  block.Time // arrived or passed
	Departed block.Time // departed or passed
	Cleared  block.Time // out of the section beyond
}

// First is the earliest of the times, 0 when there is none.
func (t Times) First() block.Time {
	var first block.Time
	for _, x := range [...]block.Time{t.Entered, t.Arrived, t.Departed, t.Cleared} {
		if x != 0 && (first == 0 || x < first) {
			first = x
		}
	}
	return first
}

// Line compares the books of boxes that follow each other along a line, each with
// the next, and follows every train from box to box: by the exchanges that two
// books share, and by its name where they share none. Its pairs have their findings
// and clocks alone: Matches are had from Two.
func Line(books ...*Book) (*Chain, error) {
	if len(books) < 2 {
		return nil, errors.New("a comparison needs the books of two boxes or more, in the order of the line")
	}
	c := new(Chain)
	for i, b := range books {
		c.Books = append(c.Books, b.beside(books[max(i-1, 0)], books[min(i+1, len(books)-1)]))
	}
	for i := range c.Books[1:] {
		p, err := Two(c.Books[i], c.Books[i+1])
		if err != nil {
			return nil, err
		}
		c.Pairs = append(c.Pairs, p)
	}
	var links [][]link
	if !slices.ContainsFunc(c.Pairs, func(p *Pair) bool { return !p.Fits() }) { // else trains of other days would be put together
		for i, p := range c.Pairs {
			links = append(links, append(p.links(), c.byName(i)...))
		}
	}
	for i, b := range c.Books { // what follows has the room of what is found
		b.sides = nil
		if i > 0 {
			p := c.Pairs[i-1]
			p.a, p.b, p.pair = nil, nil, pairing{}
		}
	}
	if links != nil {
		c.ways(links)
	}
	for _, b := range c.Books {
		b.trains, b.passings = nil, nil
	}
	return c, nil
}

// Common turns a time of a box, by its place in the line, into the first box's clock.
func (c *Chain) Common(box int, at block.Time) block.Time {
	for i := box - 1; i >= 0 && at != 0; i-- {
		at = c.Pairs[i].diff.inFirst(at)
	}
	return at
}

// spot is a train in the book of a box.
type spot struct{ box, train int }

// link says that two neighbouring books' trains are one, by so many signals.
type link struct {
	a, b  int
	votes int
}

func (a link) before(b link) int {
	return cmp.Or(cmp.Compare(b.votes, a.votes), cmp.Compare(a.a, b.a), cmp.Compare(a.b, b.b))
}

// ways follows each train by the links of each pair.
func (c *Chain) ways(links [][]link) {
	next := map[spot]spot{} // of each train the one that it is in the next box's book
	linked := map[spot]bool{}
	for i := range links {
		for _, l := range links[i] {
			from, to := spot{i, l.a}, spot{i + 1, l.b}
			if _, used := next[from]; used || linked[to] {
				continue
			}
			next[from], linked[to] = to, true
		}
	}
	for i, b := range c.Books {
		for id := range b.trains {
			s := spot{i, id}
			if linked[s] {
				continue // told from the box before
			}
			var w Way
			back := 0
			for ok := true; ok; s, ok = next[s] {
				c.stop(&w, s)
				back += c.backward(s)
			}
			if back > 0 {
				slices.Reverse(w.Stops)
			}
			w.whole = c.whole(&w)
			if len(w.Stops) > 0 {
				c.Ways = append(c.Ways, w)
			}
		}
	}
	slices.SortFunc(c.Ways, func(a, b Way) int {
		return cmp.Or(cmp.Compare(a.Stops[0].Common.First(), b.Stops[0].Common.First()), cmp.Compare(a.Name, b.Name), cmp.Compare(a.Stops[0].Train, b.Stops[0].Train))
	})
}

// whole says whether a train's way is booked from where it came to these boxes, or began,
// to where it left them, or ended: with a time at each, and one name.
func (c *Chain) whole(w *Way) bool {
	for i := range w.Stops {
		s := &w.Stops[i]
		k := slices.IndexFunc(c.Books, func(b *Book) bool { return b.Box.Name == s.Box })
		t := c.Books[k].trains[s.Train]
		before, after := i > 0, i+1 < len(w.Stops)
		if s.name != w.Name && !c.twoWays(k) || before != c.beside(k, int(t.in)) || after != c.beside(k, int(t.out)) || before && s.Own.Arrived == 0 || after && s.Own.Departed == 0 {
			return false
		}
	}
	return true
}

// twoWays says whether box k and one beside it name trains in two ways: it is told once, and
// each train is known all the same.
func (c *Chain) twoWays(k int) bool {
	return k > 0 && c.Pairs[k-1].twoWays || k < len(c.Pairs) && c.Pairs[k].twoWays
}

// beside says whether a section of a box is one to a box that stands beside it in the line.
func (c *Chain) beside(k, section int) bool {
	return slices.ContainsFunc([]int{k - 1, k + 1}, func(o int) bool {
		return o >= 0 && o < len(c.Books) && section >= 0 && c.Books[k].Box.Sections[section].Neighbour == c.Books[o].Box.Name
	})
}

// backward is positive for a train that goes against the order of the books,
// negative for one that goes with it. Times would not tell: a train leaves one
// box and enters the section to the next in one minute.
func (c *Chain) backward(s spot) int {
	b, n := c.Books[s.box], 0
	t := b.trains[s.train]
	for _, step := range []int{1, -1} {
		if k := s.box + step; k >= 0 && k < len(c.Books) {
			switch int16(b.Box.SectionIndex(c.Books[k].Box.Name)) {
			case t.in:
				n += step
			case t.out:
				n -= step
			}
		}
	}
	return n
}

// links are the trains of two books that share signals, the most first.
func (p *Pair) links() []link {
	votes := map[[2]int]int{}
	for i, j := range p.pair.each() {
		a, b := p.a.bell(i), p.b.bell(j)
		x, y := p.First.trainName(a), p.Second.trainName(b)
		if a.train == 0 || b.train == 0 {
			continue
		}
		votes[[2]int{int(a.train), int(b.train)}]++
		if x == y || x == "" || y == "" {
			votes[[2]int{int(a.train), int(b.train)}] += 3 // names agree, or say nothing
		}
	}
	var out []link
	for k, n := range votes {
		out = append(out, link{k[0], k[1], n})
	}
	slices.SortFunc(out, link.before)
	return out
}

// nameReach is how far apart two boxes may have trains of one name that are
// taken for one train without a shared signal.
const nameReach = 60 * block.Minute

// byName pairs trains of one name that use the section between two boxes.
func (c *Chain) byName(pair int) []link {
	a, b := c.Books[pair], c.Books[pair+1]
	type timed struct {
		at block.Time // by the clock of the first box
		id int
	}
	named := map[string][]timed{} // of each name in order of time: a name comes again every day
	for id, t := range b.trains {
		if t.name != "" && uses(b, t, a.Box.Name) {
			named[t.name] = append(named[t.name], timed{c.Common(pair+1, t.times.First()), id})
		}
	}
	for _, list := range named {
		slices.SortFunc(list, func(x, y timed) int { return cmp.Compare(x.at, y.at) })
	}
	var out []link
	for id, t := range a.trains {
		if t.name == "" || !uses(a, t, b.Box.Name) {
			continue
		}
		at := c.Common(pair, t.times.First())
		for _, x := range between(named[t.name], at-nameReach, at+nameReach, func(x *timed) block.Time { return x.at }) {
			out = append(out, link{id, x.id, -int(dist(x.at, at))})
		}
	}
	slices.SortFunc(out, link.before)
	return out
}

// uses says whether a train came from or went to a neighbour.
func uses(b *Book, t *train, neighbour string) bool {
	i := int16(b.Box.SectionIndex(neighbour))
	return i >= 0 && (t.in == i || t.out == i)
}

// stop adds what a box has of a train. A train that is only a name, without any
// time, is left out.
func (c *Chain) stop(w *Way, s spot) {
	t := c.Books[s.box].trains[s.train]
	own := t.times
	if own.First() == 0 {
		return
	}
	w.Name = cmp.Or(w.Name, t.name)
	common := func(at block.Time) block.Time { return c.Common(s.box, at) }
	w.Stops = append(w.Stops, Stop{Box: c.Books[s.box].Box.Name, Train: s.train, name: t.name, Own: own, Common: Times{
		Entered: common(own.Entered), Arrived: common(own.Arrived), Departed: common(own.Departed), Cleared: common(own.Cleared),
	}})
}
