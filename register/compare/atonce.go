package compare

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// What is otherwise in a book for a part of the time, as a turn of duty or a page, is told
// once: its arrows the wrong way, its trains by the names of others, its beats those of
// another set of codes.

// stretches gives the parts of a list, from one place to before another, in which something
// shows by at least so much: score is above 0 where it does, below where it does not.
func stretches(n int, score func(int) int, least int) (all [][2]int) {
	from, end, sum, most := 0, 0, 0, 0
	for i := 0; i <= n; i++ {
		if i < n {
			if sum += score(i); sum > most {
				most, end = sum, i+1
			}
			if sum > 0 && most-sum < least {
				continue
			}
		}
		if most >= least {
			all = append(all, [2]int{from, end})
			i = end - 1
		}
		from, sum, most = i+1, 0, 0
	}
	return all
}

// stretchLeast is by how many signals a stretch must show what is told of it as one
// (common practice).
const stretchLeast = 10

// atOne says whether two signals are one and at one time by one clock.
func (p *Pair) atOne(i, j int32) bool {
	return p.a.el[i].key == p.b.el[j].key && math.Abs(p.late(int(i), int(j))) <= float64(p.Tolerance)
}

// turnArrows finds where one of the books has its arrows the wrong way: what the one has
// sent, the other has sent too. The second is then taken with its own turned, and the books
// are laid to each other again; it is as before where that makes no more of them agree.
func (p *Pair) turnArrows() {
	odd := 0
	for j, i := range p.pair.toA {
		if p.b.el[j].counts() && (i < 0 || !p.atOne(i, int32(j))) {
			odd++
		}
	}
	if odd < stretchLeast {
		return
	}
	all := p.mirrored()
	if all == nil {
		return
	}
	_, before := p.fitting(p.pair, p.diff, float64(p.Tolerance))
	p.turn(all)
	if _, now := p.fitting(p.pair, p.diff, float64(p.Tolerance)); now < before+stretchLeast {
		p.turn(all)
		return
	}
	p.turned = all
	p.turnDraws()
}

// turn turns the arrows of some stretches of the second book.
func (p *Pair) turn(all [][2]int) {
	for _, s := range all {
		for j := s[0]; j < s[1]; j++ {
			p.b.el[j].key ^= fromFirst
			p.b.el[j].topic ^= fromFirst
		}
	}
	p.match()
}

// mirrored are the stretches of the second book, in whole exchanges, whose signals the first
// has at the same time the other way. The clocks are measured for it by signals of either
// way: what is turned would have no vote, and trains of another time would have theirs.
func (p *Pair) mirrored() [][2]int {
	eitherWay := func(l *line) *line {
		c := *l
		c.el = slices.Clone(l.el)
		for i := range c.el {
			c.el[i].key &^= fromFirst
		}
		return &c
	}
	d, _ := vote(eitherWay(p.a), eitherWay(p.b), p.named)
	times := map[uint32][]block.Time{}
	for i := range p.a.el {
		if e := &p.a.el[i]; e.counts() {
			times[e.key] = append(times[e.key], e.at)
		}
	}
	for _, list := range times {
		slices.Sort(list)
	}
	has := func(key uint32, at block.Time) bool {
		return len(between(times[key], at-p.Tolerance, at+p.Tolerance, func(t *block.Time) block.Time { return *t })) > 0
	}
	all := stretches(len(p.b.el), func(j int) int {
		e := &p.b.el[j]
		if !e.counts() {
			return 0
		}
		at := d.firstOf(e.noted)
		switch same, other := has(e.key, at), has(e.key^fromFirst, at); {
		case same && !other:
			return -1
		case other && !same:
			return 1
		}
		return 0
	}, stretchLeast)
	for i := range all {
		s := &all[i]
		for s[0] > 0 && p.b.el[s[0]-1].exchange == p.b.el[s[0]].exchange {
			s[0]--
		}
		for s[1] < len(p.b.el) && p.b.el[s[1]].exchange == p.b.el[s[1]-1].exchange {
			s[1]++
		}
	}
	return all
}

// inTurned are the signals of a turned stretch that both books have.
func (p *Pair) inTurned(s [2]int) (pairs [][2]int) {
	for j := s[0]; j < s[1]; j++ {
		if i := p.pair.toA[j]; i >= 0 && p.b.el[j].counts() {
			pairs = append(pairs, [2]int{int(i), j})
		}
	}
	return pairs
}

// turnDraws has tokens of such a stretch drawn at the other end, in the book in which most
// would have been put in where they had been drawn: it is that one whose arrows are turned.
func (p *Pair) turnDraws() {
	for _, s := range p.turned {
		pairs := p.inTurned(s)
		if len(pairs) == 0 {
			continue
		}
		var draws [2][]*move
		for k, l := range p.lines() {
			from, to := l.bell(pairs[0][k]).entry, l.bell(pairs[len(pairs)-1][k]).entry
			stayed, last := 0, map[int]*move{}
			for i := range l.side.moves {
				m := &l.side.moves[i]
				if m.entry < from || m.entry > to {
					continue
				}
				d := last[m.number]
				switch {
				case m.what == drawn && m.sure == offered:
					last[m.number], draws[k] = m, append(draws[k], m)
				case m.what == restored && d != nil && d.here == m.here:
					stayed++
				case m.what == restored && d != nil:
					stayed--
				}
			}
			if stayed <= 0 {
				draws[k] = nil
			}
		}
		for _, list := range draws {
			for _, m := range list {
				m.here = !m.here
			}
		}
	}
}

// tellTurned tells once of each stretch in which a book has its arrows the wrong way.
func (p *Pair) tellTurned() {
	for _, s := range p.turned {
		pairs := p.inTurned(s)
		if len(pairs) == 0 {
			continue
		}
		f, from, to := p.stretch(pairs)
		p.add(rulebook.BellDiffers, f, fmt.Sprintf("%s and %s have %d signals from %s to %s both as sent, or both as received: the arrows stand the wrong way in one of the books",
			p.First.Box.Name, p.Second.Box.Name, len(pairs), from, to), "one box sending and the other receiving")
	}
}

// stretch is a finding about many signals, and from when to when they are in the first book.
func (p *Pair) stretch(pairs [][2]int) (f Finding, from, to string) {
	f = p.both(pairs)
	f.Train = ""
	first, last := p.a.bell(pairs[0][0]).noted, p.a.bell(pairs[len(pairs)-1][0]).noted
	return f, p.First.moment(first.at) + " (" + p.First.entry(first.seq) + ")", p.First.moment(last.at) + " (" + p.First.entry(last.seq) + ")"
}

// inRow is how many trains, of a stretch in which hardly any is named alike, are told as one
// (common practice).
const inRow = 4

// outOfStep is a stretch in which the books name trains otherwise, one after the other, as
// when each has got the name of the next.
type outOfStep struct {
	trains []misnamed
	pairs  [][2]int
}

// findOutOfStep finds such stretches, and lays the books to each other again by the other
// names alone: those of a stretch would only lead astray. Two trains that have each other's
// name are none of it, however many such there are: each two are a slip of their own.
func (p *Pair) findOutOfStep() {
	all, same := p.misnamed()
	if len(all) < inRow || p.otherwise(all, same) {
		return
	}
	two := exchanged(all)
	of := map[int]int{} // misnamed train by the element of the first book
	for k := range all {
		if _, slip := two[k]; slip {
			continue
		}
		for _, x := range all[k].signals {
			of[x[0]] = k
		}
	}
	var named [][2]int
	for i, j := range p.pair.each() {
		if a, b := &p.a.el[i], &p.b.el[j]; a.name != unnamed && b.name != unnamed && partOf(a.key) >= signal && shared(a.key) == shared(b.key) {
			named = append(named, [2]int{i, j})
		}
	}
	for _, s := range stretches(len(named), func(i int) int {
		if _, other := of[named[i][0]]; other {
			return 1
		}
		return -1
	}, stretchLeast) {
		var o outOfStep
		had := map[int]bool{}
		for _, x := range named[s[0]:s[1]] {
			if k, other := of[x[0]]; other {
				if !had[k] {
					had[k], o.trains = true, append(o.trains, all[k])
				}
				o.pairs = append(o.pairs, x)
			}
		}
		if len(o.trains) >= inRow {
			p.outOf = append(p.outOf, o)
		}
	}
	for _, o := range p.outOf {
		from, to := len(p.b.el), 0
		for _, x := range o.pairs {
			from, to = min(from, x[1]), max(to, x[1])
		}
		for j := from; j <= to; j++ {
			p.b.el[j].name = unnamed
		}
	}
	if p.outOf != nil {
		p.match()
	}
}

// tellOutOfStep tells once of such a stretch.
func (p *Pair) tellOutOfStep(o outOfStep) {
	firsts, step := map[string]bool{}, 0
	for _, m := range o.trains {
		firsts[m.first] = true
	}
	for _, m := range o.trains {
		if firsts[m.second] {
			step++
		}
	}
	f, from, to := p.stretch(o.pairs)
	text := fmt.Sprintf("the books name %d trains differently from %s to %s, such as %s in the book of %s and %s in that of %s",
		len(o.trains), from, to, o.trains[0].first, p.First.Box.Name, o.trains[0].second, p.Second.Box.Name)
	if 2*step > len(o.trains) {
		text += "; most have there the name of another train of that time: they are out of step in one of the books"
	}
	p.add(rulebook.NameDiffers, f, text, "one name for a train in both books")
}

// otherSets tells once of stretches in which the books have other beats for nearly every
// train, as when one goes by another set of codes, and gives the exchanges of the first book
// that are told by that.
func (p *Pair) otherSets() map[int32]bool {
	var offers [][2]int
	differ := map[uint16]bool{} // codes of the first book that the second has otherwise
	code := func(key uint32) uint16 { return uint16(key) }
	other := func(x [2]int) bool { return code(p.a.el[x[0]].key) != code(p.b.el[x[1]].key) }
	for i, j := range p.pair.each() {
		a, b := &p.a.el[i], &p.b.el[j]
		if partOf(a.key) != signal || partOf(b.key) != signal || (a.key^b.key)&fromFirst != 0 ||
			!p.a.side.exchanges[a.exchange].offer && !p.b.side.exchanges[b.exchange].offer {
			continue
		}
		x := [2]int{i, j}
		offers = append(offers, x)
		if other(x) {
			differ[code(a.key)] = true
		}
	}
	told := map[int32]bool{}
	for _, s := range stretches(len(offers), func(i int) int {
		switch x := offers[i]; {
		case other(x):
			return 1
		case differ[code(p.a.el[x[0]].key)]:
			return -1
		}
		return 0
	}, stretchLeast) {
		pairs := slices.DeleteFunc(slices.Clone(offers[s[0]:s[1]]), func(x [2]int) bool { return !other(x) })
		var such []string
		for _, x := range pairs {
			a, b := p.a.bell(x[0]), p.b.bell(x[1])
			told[a.exchange] = true
			if words := string(p.a.side.codes[a.code]) + " is " + string(p.b.side.codes[b.code]); !slices.Contains(such, words) && len(such) < 4 {
				such = append(such, words)
			}
		}
		f, from, to := p.stretch(pairs)
		p.add(rulebook.BellDiffers, f, fmt.Sprintf("%s and %s have other beats for %d trains from %s to %s, as by two sets of codes: %s",
			p.First.Box.Name, p.Second.Box.Name, len(pairs), from, to, strings.Join(such, ", ")), "one set of bell codes in both boxes, and the beats of it in both books")
	}
	return told
}
