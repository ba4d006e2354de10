package compare

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/calendar"
	"fairhand/register/each"
)

// judge says where the two books' bells disagree, one finding for each exchange
// and kind of difference.
func (p *Pair) judge() {
	p.clocks()
	explained := p.acceptances()
	p.sets = p.otherSets()
	p.exchanges(p.a, func(x exchangeSpan) { p.judgeFirst(x, explained[0]) })
	p.exchanges(p.b, func(x exchangeSpan) {
		if !explained[1][x.exchange] {
			p.missing(x)
		}
	})
	p.leftOut()
}

// exchangeSpan is the elements of one exchange in one book.
type exchangeSpan struct {
	l        *line
	exchange int32
	from, to int // elements
}

func (p *Pair) exchanges(l *line, do func(exchangeSpan)) {
	for i := 0; i < len(l.el); {
		x := exchangeSpan{l: l, exchange: l.bell(i).exchange, from: i}
		for i < len(l.el) && l.bell(i).exchange == x.exchange {
			i++
		}
		x.to = i
		do(x)
	}
}

func (l *line) bell(i int) *bell { return l.el[i].bell }

// coverage is the time, by the first clock, for which there are both books.
func (p *Pair) coverage() (from, to block.Time) {
	from = max(p.First.First, p.diff.inFirst(p.Second.First)) - p.Tolerance
	to = min(p.First.Last, p.diff.inFirst(p.Second.Last)) + p.Tolerance
	return from, to
}

// common is the time of an element by the first book's clock.
func (p *Pair) common(l *line, i int) block.Time {
	return p.byFirst(l.of, l.bell(i).noted)
}

// judgeFirst judges an exchange of the first book and what it was matched with.
func (p *Pair) judgeFirst(x exchangeSpan, explained map[int32]bool) {
	if explained[x.exchange] {
		return
	}
	p.missing(x)
	var other, times, all [][2]int
	for i := x.from; i < x.to; i++ {
		j := int(p.pair.toB[i])
		if j < 0 {
			continue
		}
		all = append(all, [2]int{i, j})
		if shared(p.a.el[i].key) != shared(p.b.el[j].key) {
			other = append(other, [2]int{i, j})
		} else if math.Abs(p.late(i, j)) > float64(p.Tolerance) {
			times = append(times, [2]int{i, j})
		}
	}
	if !p.sets[x.exchange] {
		p.differs(other)
	}
	p.timeDiffers(times)
	p.numbersDiffer(all)
}

// late is how far the second book is behind the first at a matched signal by one
// clock, in seconds.
func (p *Pair) late(i, j int) float64 {
	return p.diff.apart(p.a.bell(i).noted, p.b.bell(j).noted)
}

// both makes a finding of matched signals.
func (p *Pair) both(pairs [][2]int) Finding {
	a, b := p.a.bell(pairs[0][0]), p.b.bell(pairs[0][1])
	f := Finding{At: a.at, Train: cmp.Or(p.First.trainName(a), p.Second.trainName(b))}
	for _, x := range pairs {
		for k, l := range p.lines() {
			f.rests(k, l.bell(x[k]).noted)
		}
	}
	return f
}

// describe tells bells of one exchange in words: by the signal where it is among
// them, else one by one.
func (s *side) describe(bells []*bell, other string) string {
	var parts []string
	for _, b := range bells {
		words := partWords[b.part] + string(s.codes[b.code]) + " received from " + other
		if b.sent {
			words = partWords[b.part] + string(s.codes[b.code]) + " sent to " + other
		}
		if b.part == signal {
			return words
		}
		parts = append(parts, words)
	}
	return strings.Join(parts, ", ")
}

var partWords = [...]string{
	attention: "call attention ", ready: "its acknowledgement ", signal: "", repeated: "the acknowledgement ",
	answer: "the answer ", answered: "the acknowledgement of the answer ",
}

func (p *Pair) differs(pairs [][2]int) {
	if len(pairs) == 0 {
		return
	}
	i, j := pairs[0][0], pairs[0][1]
	a, b := p.a.bell(i), p.b.bell(j)
	f := p.both(pairs)
	expected := "the same beats in both books"
	if shared(p.a.el[i].key)|fromFirst == shared(p.b.el[j].key)|fromFirst {
		expected = "one box sending and the other receiving"
	}
	p.add(rulebook.BellDiffers, f, fmt.Sprintf("%s has %s at %s; %s has %s at %s", p.First.Box.Name, p.a.side.describe([]*bell{a}, p.Second.Box.Name), p.First.said(a.noted),
		p.Second.Box.Name, p.b.side.describe([]*bell{b}, p.First.Box.Name), p.Second.said(b.noted)), expected)
}

func (p *Pair) timeDiffers(pairs [][2]int) {
	if len(pairs) == 0 {
		return
	}
	i, j := pairs[0][0], pairs[0][1]
	a, b := p.a.bell(i), p.b.bell(j)
	f := p.both(pairs)
	f.late = p.late(i, j)
	bells := each.Of(pairs, func(x [2]int) *bell { return p.a.bell(x[0]) })
	text := fmt.Sprintf("%s times %s %s, %s %s: %s apart after the difference of the clocks", p.First.Box.Name, p.a.side.describe(bells, p.Second.Box.Name),
		p.First.said(a.noted), p.Second.Box.Name, p.Second.said(b.noted), p.apart(p.late(i, j)))
	if who := p.outOfOrder(i, j); who != "" {
		text += "; the entry of " + who + " stands out of the order of its book"
	}
	p.add(rulebook.TimeDiffers, f, text, fmt.Sprintf("times within %s by one clock", span(float64(p.Tolerance))))
}

// outOfOrder names the box whose entry is not between the entries around it in
// its own book, when only one is not: that time is likely the wrong one.
func (p *Pair) outOfOrder(i, j int) string {
	a, b := !inOrder(p.a, i), !inOrder(p.b, j)
	switch {
	case a && !b:
		return p.First.Box.Name
	case b && !a:
		return p.Second.Box.Name
	}
	return ""
}

func inOrder(l *line, i int) bool {
	seq, at := l.bell(i).seq, l.el[i].at
	k := i
	for k >= 0 && l.bell(k).seq == seq {
		k--
	}
	if k >= 0 && l.el[k].at > at {
		return false
	}
	for k = i; k < len(l.el) && l.bell(k).seq == seq; {
		k++
	}
	return k >= len(l.el) || l.el[k].at >= at
}

// acceptances reports trains that one book has accepted in full and the other under
// restriction, or refused. It gives the exchanges in each book whose differences are
// told by that.
func (p *Pair) acceptances() [2]map[int32]bool {
	explained := [2]map[int32]bool{{}, {}}
	for i, j := range p.pair.each() {
		if partOf(p.a.el[i].key) != signal || partOf(p.b.el[j].key) != signal {
			continue
		}
		a, b := p.a.bell(i), p.b.bell(j)
		x, y := &p.a.side.exchanges[a.exchange], &p.b.side.exchanges[b.exchange]
		if x.accept == y.accept || min(x.accept, y.accept) == unanswered { // as what is no offer is
			continue
		}
		f := p.both([][2]int{{i, j}})
		f.Rests[0], f.Rests[1] = append(f.Rests[0], x.seq), append(f.Rests[1], y.seq)
		there := acceptanceWords[y.accept]
		if x.accept != refused {
			there = strings.TrimPrefix(there, "accepted ")
		}
		p.add(rulebook.AcceptanceDiffers, f, fmt.Sprintf("%s has the train %s (%s, %s), %s %s (%s, %s)",
			p.First.Box.Name, acceptanceWords[x.accept], p.First.entry(x.seq), p.First.clock(a.at), p.Second.Box.Name, there, p.Second.entry(y.seq), p.Second.clock(b.at)),
			"the same acceptance in both books")
		explained[0][a.exchange], explained[1][b.exchange] = true, true
	}
	return explained
}

var acceptanceWords = map[acceptance]string{full: "accepted in full", restricted: "accepted under restricted acceptance", refused: "refused"}

// clock writes a time as fine as the book does: two books are compared to the
// second where both have seconds.
func (b *Book) clock(at block.Time) string {
	if b.step >= block.Minute {
		return calendar.Clock(at, b.Location, calendar.NearestMinute) // a time put into another clock lies between minutes
	}
	return calendar.Seconds(at, b.Location)
}

// apart writes how far two times are apart, as fine as the books are.
func (p *Pair) apart(secs float64) string {
	secs = math.Abs(secs)
	if whole := math.Round(secs/60) * 60; max(p.First.step, p.Second.step) >= block.Minute && whole > float64(p.Tolerance) {
		secs = whole // else it would read as no more than the tolerance
	}
	return span(secs)
}

// span writes seconds in words.
func span(secs float64) string {
	s := int(math.Round(secs))
	switch {
	case s < 60:
		return fmt.Sprintf("%d s", s)
	case s%60 == 0:
		return fmt.Sprintf("%d min", s/60)
	}
	return fmt.Sprintf("%d min %d s", s/60, s%60)
}
