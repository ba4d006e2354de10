package compare

import (
	"fmt"
	"slices"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// endings are the signals that end what another began: where one book has both alone, the
// end is told with the beginning.
var endings = map[rulebook.Meaning]struct {
	begins rulebook.Meaning
	words  string
}{
	rulebook.ObstructionRemoved: {rulebook.ObstructionDanger, "; nor of its removal"},
	rulebook.Cancelling:         {rulebook.Offer, ", nor its cancelling"},
}

// begun is what one book has alone and is told, its end not yet.
type begun struct {
	finding int
	sent    bool
}

// endReach is how long after its beginning an end is taken for that of it (common practice).
const endReach = 6 * 60 * block.Minute

// missing reports the signals of an exchange that the other book has not.
func (p *Pair) missing(x exchangeSpan) {
	k := x.l.of
	match, mine, other := p.matches()[k], p.books()[k], p.books()[1-k]
	var alone []*bell
	var f Finding
	for i := x.from; i < x.to; i++ {
		at := p.common(x.l, i)
		if match[i] >= 0 || !p.compared(at) {
			continue
		}
		b := x.l.bell(i)
		if len(alone) == 0 {
			f.At, f.Train = at, mine.trainName(b)
		}
		alone = append(alone, b)
		f.rests(k, b.noted)
	}
	if len(alone) == 0 {
		return
	}
	sent, means := p.meaning(x.l, alone)
	first := alone[0].noted
	if p.toldWithBeginning(k, sent, means, &f, first) {
		return
	}
	elsewhere := p.diff.inSecond
	if k == 1 {
		elsewhere = p.diff.inFirst
	}
	for _, m := range means {
		p.begun[k][m] = begun{len(p.Findings), sent}
	}
	words := x.l.side.describe(alone, other.Box.Name)
	if slices.Contains(means, rulebook.ObstructionDanger) {
		p.add(rulebook.ObstructionDiffers, f, fmt.Sprintf("%s has obstruction danger%s, %s, at %s, and %s has nothing of it", mine.Box.Name, x.l.side.lineObstructed(alone[0]), words, mine.said(first), other.Box.Name),
			"the same signal in both books: it stops the trains of both boxes")
		return
	}
	p.add(rulebook.BellMissing, f, fmt.Sprintf("%s has %s at %s; %s has it not", mine.Box.Name, words, mine.said(first), other.Box.Name),
		fmt.Sprintf("the same signal in the book of %s at about %s by its clock", other.Box.Name, other.clock(elsewhere(first.at))))
	if !slices.ContainsFunc(alone, func(b *bell) bool { return b.part == signal }) {
		p.beside[k] = append(p.beside[k], len(p.Findings)-1)
		p.Findings[len(p.Findings)-1].part = true
	}
}

// meaning is what the signal among bells may mean, and whether it was sent.
func (p *Pair) meaning(l *line, bells []*bell) (sent bool, all []rulebook.Meaning) {
	mine, other := p.books()[l.of], p.books()[1-l.of]
	for _, b := range bells {
		if b.part != signal {
			continue
		}
		for _, row := range slices.Concat(mine.Box.CodeBook(mine.Box.SectionIndex(other.Box.Name)), rulebook.Spoken()) {
			if row.Code == l.side.codes[b.code] {
				sent, all = b.sent, append(all, row.Means)
			}
		}
	}
	return sent, all
}

// toldWithBeginning tells a signal that ends what the same book had alone with that.
func (p *Pair) toldWithBeginning(k int, sent bool, means []rulebook.Meaning, f *Finding, first noted) bool {
	for _, m := range means {
		end := endings[m]
		b, ok := p.begun[k][end.begins]
		if !ok || b.sent != sent {
			continue
		}
		if told := &p.Findings[b.finding]; f.At-told.At <= endReach && (told.Train == f.Train || f.Train == "") {
			told.Text += fmt.Sprintf("%s at %s", end.words, p.books()[k].said(first))
			told.Rests[k] = append(told.Rests[k], f.Rests[k]...)
			delete(p.begun[k], end.begins)
			return true
		}
	}
	return false
}

// obstructed is an entry that a line to the other box is obstructed.
type obstructed struct {
	entry int32 // index among the entries of the book
	line  string
}

// lineObstructed names the line by the entry of the obstruction before the bell, if one is there.
func (s *side) lineObstructed(x *bell) string {
	for _, o := range slices.Backward(s.obstructed) {
		if o.entry <= x.entry && x.entry-o.entry <= obstructedNear {
			return " for the " + o.line
		}
	}
	return ""
}

// obstructedNear is how many entries before its bells an obstruction may stand (common practice).
const obstructedNear = 5
