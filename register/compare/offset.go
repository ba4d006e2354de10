package compare

import (
	"fmt"
	"math"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/calendar"
)

const (
	// farApart is seconds by which two clocks must differ to be told, and oneAs by how
	// many the same difference may be measured otherwise from one day to another: clocks
	// are read to the half minute (common practice).
	farApart = 60
	oneAs    = 30
)

// clocks reports two clocks that differ by more than a minute: one finding for as long
// as they do, over days on which it is measured as a little less, and over those on which
// a clock gains as before and has been set right between.
func (p *Pair) clocks() {
	for i := 0; i < len(p.Clocks); i++ {
		if !p.Clocks[i].apart(farApart) {
			continue
		}
		from := i
		for j := i + 1; j < len(p.Clocks) && (p.gainsOn(from, j) || p.Clocks[j].apart(oneAs) && p.Clocks[i].Offset*p.Clocks[j].Offset > 0 && !p.setBefore(j)); j++ {
			if p.Clocks[j].apart(farApart) {
				i = j
			}
		}
		p.clockOffset(p.Clocks[from : i+1])
	}
}

// setBefore says whether one of the clocks was set by much just before a stretch:
// what it shows from then on is a matter of its own.
func (p *Pair) setBefore(j int) bool {
	c, next := &p.Clocks[j-1], &p.Clocks[j]
	return math.Abs(next.Offset-c.At(c.To)) > muchSet
}

// gainsOn says whether a clock gains in stretch j much what it did in stretch i.
func (p *Pair) gainsOn(i, j int) bool {
	a, b := p.Clocks[i].Drift, p.Clocks[j].Drift
	return math.Abs(a) >= gainsMuch && math.Abs(a-b) <= math.Abs(a)/3
}

// gainsMuch is seconds an hour by which a clock must gain for it to be known again by that,
// two minutes in a day and more (common practice).
const gainsMuch = 5

// muchSet is seconds of a setting that is more than the daily one by the time
// signal (common practice).
const muchSet = 600

// apart says whether the clocks differ by more than so many seconds at either end.
func (c Clock) apart(secs float64) bool {
	return math.Max(math.Abs(c.At(c.From)), math.Abs(c.At(c.To))) > secs
}

func (p *Pair) clockOffset(run []Clock) {
	first, last := run[0], run[len(run)-1]
	least, most, signals, sets := math.Inf(1), 0.0, 0, 0
	for i, c := range run {
		if i > 0 && math.Abs(c.Offset-run[i-1].At(run[i-1].To)) > muchSet/2 {
			sets++
		}
		for _, v := range [...]float64{math.Abs(c.At(c.From)), math.Abs(c.At(c.To))} {
			least, most = math.Min(least, v), math.Max(most, v)
		}
		signals += c.Matched
	}
	amount := span((least + most) / 2)
	if most-least >= oneAs {
		amount = span(least) + " to " + span(most)
	}
	text := fmt.Sprintf("The clock of %s was %s %s that of %s from %s to %s, by %d signals that both books have", p.Second.Box.Name,
		amount, signWord(first.Middle(), "ahead of", "behind"), p.First.Box.Name, p.First.moment(first.From), p.First.moment(last.To), signals)
	if math.Abs(first.Drift)*24 >= 30 {
		text += fmt.Sprintf("; it %s %s in a day", signWord(first.Drift, "gained", "lost"), span(math.Abs(first.Drift)*24))
	}
	if sets > 0 {
		text += fmt.Sprintf(", and was set %s meanwhile", times(sets))
	}
	f := Finding{At: first.From}
	for i, j := range p.pair.each() { // the matched entries at the beginning of the stretch
		if p.a.el[i].at == first.From {
			f = p.both([][2]int{{i, j}})
			f.At, f.Train = first.From, ""
			break
		}
	}
	p.add(rulebook.ClockOffset, f, text, "both clocks right by the time signal")
}

// times is how often.
func times(n int) string {
	if n == 1 {
		return "once"
	}
	return fmt.Sprintf("%d times", n)
}

// moment writes a time with its date.
func (b *Book) moment(at block.Time) string {
	return calendar.Of(at, b.Location).String() + " " + b.clock(at)
}

// signWord is the word for a number, or for one below zero.
func signWord(n float64, word, below string) string {
	if n < 0 {
		return below
	}
	return word
}
