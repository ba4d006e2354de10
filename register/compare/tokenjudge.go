package compare

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/calendar"
)

// tokens follows each token of the section from instrument to instrument through
// both books. i and j are the section's places in the two box files.
func (p *Pair) tokens(a, b *side, i, j int) {
	if p.First.Box.Sections[i].Method.Is().Carries != rulebook.CarriesToken {
		return
	}
	all := p.journeys([2]*side{a, b})
	by := numberedBy(all)
	if by != 0 {
		p.renumbered(all, b, by)
		all = p.journeys([2]*side{a, b})
	}
	p.charges(&p.First.Box.Sections[i].Tokens, &p.Second.Box.Sections[j].Tokens, by)
	p.told(all)
	f := follower{p: p, where: map[int]*journey{}, doubt: map[int]doubt{}}
	for n, t := range all {
		if !p.compared(t.at) || n > 0 && p.parted(all[n-1].at, t.at) {
			f.lose(p.First.Box.Sections[i].Tokens.Charge)
		}
		if p.compared(t.at) {
			f.take(t)
		}
	}
	f.end()
	p.counts([2]*side{a, b}, all, len(p.First.Box.Sections[i].Tokens.Charge))
}

// charges compares what the two box files say of the tokens, which the second numbers by
// so many higher.
func (p *Pair) charges(a, b *block.Tokens, by int) {
	same := func(x, y int) bool { return y == x || y == x+by }
	if !slices.EqualFunc(a.Charge, b.Charge, same) {
		p.add(rulebook.TokenCountDiffers, Finding{At: p.First.First}, fmt.Sprintf("the charge list has %d tokens in the box file of %s and %d in that of %s, or others",
			len(a.Charge), p.First.Box.Name, len(b.Charge), p.Second.Box.Name), "one charge list for both instruments")
	}
}

// told compares what each box was told with what the other did.
func (p *Pair) told(all []*journey) {
	habit := p.habits(all)
	for _, t := range all {
		if t.what > restored || !p.compared(t.at) {
			continue
		}
		own, other := t.moves[t.own()], t.moves[1-t.own()]
		doer, teller := p.books()[t.own()], p.books()[1-t.own()]
		switch {
		case own == nil:
			p.token(rulebook.TokenCountDiffers, fmt.Sprintf("%s has token %d %s by %s at %s; %s has it not", teller.Box.Name,
				t.number, doWords[t.what], doer.Box.Name, teller.said(other.noted), doer.Box.Name), "an entry of the box whose instrument it was", t)
		case other == nil:
			if habit[1-t.own()][t.what] {
				p.token(rulebook.TokenCountDiffers, fmt.Sprintf("%s has token %d %s at %s; %s has not booked it as told, as it does with others", doer.Box.Name,
					t.number, doWords[t.what], doer.said(own.noted), teller.Box.Name), "the number told and booked at both ends", t)
			}
		case own.number != other.number:
			p.token(rulebook.TokenNumberDiffers, fmt.Sprintf("%s has token %d %s at %s; %s was told of token %d (%s)", doer.Box.Name,
				own.number, doWords[t.what], doer.said(own.noted), teller.Box.Name, other.number, teller.entry(other.seq)), "one number in both books", t)
		default:
			p.tokenTime(t)
		}
	}
}

var doWords = [...]string{drawn: "drawn", restored: "put in"}

func (p *Pair) tokenTime(t *journey) {
	a, b := t.moves[0], t.moves[1]
	late := p.diff.apart(a.noted, b.noted)
	if math.Abs(late) <= float64(p.Tolerance) {
		return
	}
	p.token(rulebook.TimeDiffers, fmt.Sprintf("%s times token %d %s %s, %s %s: %s apart after the difference of the clocks",
		p.First.Box.Name, t.number, doWords[t.what], p.First.said(a.noted), p.Second.Box.Name, p.Second.said(b.noted), p.apart(late)),
		fmt.Sprintf("times within %s by one clock", span(float64(p.Tolerance))), t)
	p.Findings[len(p.Findings)-1].late = late
}

// habits says of each book whether it books what the other did with tokens: it
// has told entries for half of the other's, and five at least.
func (p *Pair) habits(all []*journey) (habit [2][restored + 1]bool) {
	var told, done [2][restored + 1]int
	for _, t := range all {
		if t.what > restored {
			continue
		}
		other := 1 - t.own()
		done[other][t.what]++
		if t.moves[other] != nil {
			told[other][t.what]++
		}
	}
	for k := range habit {
		for w := range habit[k] {
			habit[k][w] = told[k][w] >= 5 && 2*told[k][w] >= done[k][w]
		}
	}
	return habit
}

// token adds a finding that rests on handlings, the one it is about last.
func (p *Pair) token(id rulebook.RuleID, text, expected string, about ...*journey) {
	last := about[len(about)-1]
	f := Finding{At: last.at}
	for _, t := range about {
		for k, m := range t.moves {
			if m != nil {
				f.rests(k, m.noted)
				f.Entries[k] = Entry{m.seq, m.at}
			}
		}
	}
	p.add(id, f, text, expected)
}

// follower knows where each token was last: a token that nothing is known of, or
// whose number is in doubt, has no entry.
type follower struct {
	p     *Pair
	where map[int]*journey
	doubt map[int]doubt // of the numbers that may have been drawn
}

// doubt is what to go back to when the number is put in: the other number, which was
// not drawn then, and where that was.
type doubt struct {
	other int
	was   *journey
}

// say tells a handling in words, with its date where a finding is of another day.
func (f *follower) say(t, of *journey) string {
	k := t.own()
	if t.moves[k] == nil {
		k = 1 - k
	}
	m, by := t.moves[k], f.p.books()[k]
	when := by.clock(m.at)
	if calendar.Of(t.at, by.Location) != calendar.Of(of.at, by.Location) {
		when = by.moment(m.at)
	}
	return fmt.Sprintf("at %s at %s (%s)", f.p.books()[t.own()].Box.Name, when, by.entryOf(m.seq))
}

func (f *follower) take(t *journey) {
	if a, b := t.moves[0], t.moves[1]; a != nil && b != nil && a.number != b.number {
		f.doubt[a.number], f.doubt[b.number] = doubt{b.number, f.where[b.number]}, doubt{a.number, f.where[a.number]}
		unknown := &journey{what: away} // told already: which of them is out nobody knows
		f.where[a.number], f.where[b.number] = unknown, unknown
		return
	}
	f.settle(t)
	was := f.where[t.number]
	f.where[t.number] = t
	switch {
	case t.what == drawn && was != nil && was.what == drawn:
		f.p.token(rulebook.TokenCountDiffers, fmt.Sprintf("token %d was drawn %s and never put in; it was next drawn %s", t.number, f.say(was, t), f.say(t, t)),
			"each token drawn put into an instrument before it is drawn again", was, t)
	case t.what == drawn && was != nil && was.what != away && was.first != t.first:
		f.p.token(rulebook.TokenCountDiffers, fmt.Sprintf("token %d was last put in %s, and drawn %s", t.number, f.say(was, t), f.say(t, t)),
			"a token drawn where it was put in", was, t)
	case t.what == restored && (was == nil || was.what == restored || was.what == placed):
		f.arrived(was, t)
	}
}

// lose forgets where the tokens are: they were, or may have been, handled while a
// book has nothing.
func (f *follower) lose(charge []int) {
	clear(f.doubt)
	for _, n := range charge {
		f.where[n] = &journey{what: away}
	}
}

// settle ends a doubt about two numbers when one of them is handled again: put in, it
// was the one that was out, and the other is where it was.
func (f *follower) settle(t *journey) {
	d, ok := f.doubt[t.number]
	if !ok {
		return
	}
	if t.what == restored && d.was != nil {
		f.where[d.other] = d.was
	}
	delete(f.doubt, t.number)
	delete(f.doubt, d.other)
}

// arrived judges a token put in that had not been drawn: the one that is out may
// have been misread, then or now.
func (f *follower) arrived(was, t *journey) {
	var out *journey
	for _, o := range f.where {
		if o.what == drawn && t.order-o.order <= journeyMost && (out == nil || o.order > out.order || o.order == out.order && o.number < out.number) {
			out = o
		}
	}
	if out != nil {
		delete(f.where, out.number)
		delete(f.where, t.number)
		f.p.token(rulebook.TokenNumberDiffers, fmt.Sprintf("token %d was drawn %s, and token %d put in %s", out.number, f.say(out, t), t.number, f.say(t, t)),
			"the token drawn put in", out, t)
		return
	}
	if was != nil {
		f.p.token(rulebook.TokenCountDiffers, fmt.Sprintf("token %d was put in %s and again %s, without having been drawn", t.number, f.say(was, t), f.say(t, t)),
			"an entry of its being drawn in between", was, t)
	}
}

// journeyMost is the longest a token is out with a train (from memory: longer
// running times than two hours were not met with).
const journeyMost = 2 * 60 * block.Minute

// end reports tokens that left one box and had not come to the other when the
// books ended, where there was time enough.
func (f *follower) end() {
	_, to := f.p.coverage()
	for _, n := range slices.Sorted(maps.Keys(f.where)) {
		if t := f.where[n]; t.what == drawn && to-t.at > journeyMost {
			f.p.token(rulebook.TokenCountDiffers, fmt.Sprintf("token %d was drawn %s and has come to neither instrument", n, f.say(t, t)), "the token put in at one end", t)
		}
	}
}
