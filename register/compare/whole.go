package compare

import (
	"fmt"
	"math"
	"slices"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// wholeLeast is how many findings of one train are told as one of the whole train.
const wholeLeast = 2

// ofTrain is what the findings of one rule that lie near each other say of one train.
type ofTrain struct {
	rule     rulebook.RuleID
	book     int // whose entries they count
	name     string
	from, to block.Time
	findings []int
}

// wholeTrains tells once of a train of which one book has nothing, and of one that one book
// has altogether earlier or later: of each signal it would hide that.
func (p *Pair) wholeTrains() {
	groups := slices.DeleteFunc(p.byTrain(), func(g *ofTrain) bool { return len(g.findings) < wholeLeast })
	if len(groups) == 0 {
		return
	}
	told := map[int]bool{}
	for _, g := range groups {
		if g.findings = p.alike(g); len(g.findings) < wholeLeast || len(g.findings) < p.exchangesOf(g) {
			continue
		}
		f := &p.Findings[g.findings[0]]
		last := f
		for _, i := range g.findings[1:] {
			told[i], last = true, &p.Findings[i]
			f.with(last)
		}
		p.sayWhole(f, last, g)
		for i := range p.Findings {
			if o := &p.Findings[i]; g.rule == rulebook.TimeDiffers && !told[i] && o != f && p.follows(o, f) {
				told[i] = true
				f.with(o)
			}
		}
		f.restsOnce()
	}
	p.drop(told)
}

// drop takes out the findings, by their places, that others stand for.
func (p *Pair) drop(told map[int]bool) {
	i := 0
	p.Findings = slices.DeleteFunc(p.Findings, func(Finding) bool { i++; return told[i-1] })
}

// byTrain gathers the findings of signals that are missing, or at another time, by train.
func (p *Pair) byTrain() (all []*ofTrain) {
	last := map[ofTrainKey]*ofTrain{}
	for i := range p.Findings {
		f := &p.Findings[i]
		if f.Train == "" || f.part || f.Rule != rulebook.BellMissing && f.Rule != rulebook.TimeDiffers {
			continue
		}
		key := ofTrainKey{f.Rule, f.Train, 0}
		if f.Rests[0] == nil {
			key.book = 1
		}
		g := last[key]
		if g == nil || dist(f.At, g.to) > nameSpan {
			g = &ofTrain{rule: f.Rule, book: key.book, name: f.Train, from: f.At, to: f.At}
			last[key], all = g, append(all, g)
		}
		g.from, g.to, g.findings = min(g.from, f.At), max(g.to, f.At), append(g.findings, i)
	}
	return all
}

type ofTrainKey struct {
	rule rulebook.RuleID
	name string
	book int
}

// alike are the findings of a group that may be told as one: times that differ by as much.
func (p *Pair) alike(g *ofTrain) []int {
	first := p.Findings[g.findings[0]].late
	return slices.DeleteFunc(g.findings, func(i int) bool { return math.Abs(p.Findings[i].late-first) > float64(p.Tolerance) })
}

// exchangesOf is how many exchanges of a train a book has near the findings.
func (p *Pair) exchangesOf(g *ofTrain) (n int) {
	l, last := p.lines()[g.book], int32(-1)
	for i := range l.el {
		b := l.bell(i)
		if at := p.common(l, i); b.exchange == last || at < g.from-nameSpan || at > g.to+nameSpan || p.books()[g.book].trainName(b) != g.name {
			continue
		}
		n, last = n+1, b.exchange
	}
	return n
}

// sayWhole words a finding that stands for all of a train.
func (p *Pair) sayWhole(f, last *Finding, g *ofTrain) {
	k := g.book
	from, to := f.Entries[k], last.Entries[k]
	mine, other := p.books()[k], p.books()[1-k]
	span := fmt.Sprintf("%d signals from %s (%s) to %s (%s)", len(g.findings), mine.clock(from.At), mine.entry(from.Seq), mine.clock(to.At), mine.entry(to.Seq))
	if g.rule == rulebook.BellMissing {
		f.Text, f.Expected = fmt.Sprintf("%s has %s of the train, and %s has nothing of it", mine.Box.Name, span, other.Box.Name), "the train in both books"
		return
	}
	how := signWord(f.late, "later", "earlier")
	f.Text = fmt.Sprintf("%s has the whole train %s %s than %s, which has %s, after the difference of the clocks; there it is %s (%s) to %s (%s)", other.Box.Name, p.apart(f.late), how, mine.Box.Name, span,
		other.clock(f.Entries[1].At), other.entry(f.Entries[1].Seq), other.clock(last.Entries[1].At), other.entry(last.Entries[1].Seq))
}

// follows says whether a finding is of the same cause as one that a book has a whole train at
// other times: its token at times as far off, or that it comes before it left.
func (p *Pair) follows(o, whole *Finding) bool {
	within := true
	for k := range o.Rests {
		for _, seq := range o.Rests[k] {
			within = within && seq >= slices.Min(whole.Rests[k]) && seq <= slices.Max(whole.Rests[k])
		}
	}
	switch {
	case o.Rule == rulebook.TimeDiffers && o.Train == "":
		return within && math.Abs(o.late-whole.late) <= float64(p.Tolerance)
	case o.Rule == rulebook.MovementDiffers:
		return within && o.Train == whole.Train
	}
	return false
}
