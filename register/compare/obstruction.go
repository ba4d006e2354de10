package compare

import (
	"fmt"
	"slices"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// obstructed is an entry that a line to the other box is obstructed.
type obstructed struct {
	entry int32 // index among the entries of the book
	line  string
}

// danger is obstruction danger that is told, and not yet its removal.
type danger struct {
	finding int
	sent    bool
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

// removalReach is how long after obstruction danger a signal of its removal is taken for
// that (common practice).
const removalReach = 6 * 60 * block.Minute

// obstruction reports obstruction danger that one book has and the other has not, with
// its removal, as what it is and not as any bell. It says whether an exchange is told so:
// alone are its bells that the other book has not, f rests on them.
func (p *Pair) obstruction(x *exchangeSpan, alone []*bell, f Finding) bool {
	mine, other := p.First, p.Second
	if x.l.of == 1 {
		mine, other = other, mine
	}
	codes := mine.Box.CodeBook(mine.Box.SectionIndex(other.Box.Name))
	means := func(b *bell, m rulebook.Meaning) bool {
		return b.part == signal && slices.ContainsFunc(codes, func(c rulebook.CodeRow) bool { return c.Code == x.l.side.codes[b.code] && c.Means == m })
	}
	for _, b := range alone {
		switch e := f.Entries[x.l.of]; {
		case means(b, rulebook.ObstructionDanger):
			p.dangers[x.l.of] = &danger{len(p.Findings), b.sent}
			p.add(rulebook.ObstructionDiffers, f, fmt.Sprintf("%s has obstruction danger%s, %s, at %s, and %s has nothing of it", mine.Box.Name, x.l.side.lineObstructed(b),
				x.l.side.describe(alone, other.Box.Name), mine.said(e.Seq, e.At), other.Box.Name), "the same signal in both books: it stops the trains of both boxes")
			return true
		case means(b, rulebook.ObstructionRemoved) && p.dangers[x.l.of] != nil && p.dangers[x.l.of].sent == b.sent && f.Train == "" && f.At-p.Findings[p.dangers[x.l.of].finding].At <= removalReach:
			told := &p.Findings[p.dangers[x.l.of].finding]
			told.Text += fmt.Sprintf("; nor of its removal at %s", mine.said(e.Seq, e.At))
			told.Rests[x.l.of] = append(told.Rests[x.l.of], f.Rests[x.l.of]...)
			p.dangers[x.l.of] = nil
			return true
		}
	}
	return false
}
