package compare

import (
	"fmt"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// How a section is worked is agreed between its two boxes, so each book has it: line
// blockages and the occupation key, the axle counter reset (Block Working Manual, part
// B: in red in both registers), by message, by a pilot (tablet regulations 1890, clause
// 23: his form at both ends), and normal working again.

// otherwise is an entry by which a section is worked otherwise.
type otherwise struct {
	seq   int64
	at    block.Time
	entry int32 // index among the entries of the book
	what  string
}

// changeReach is how far apart two entries of one change may be: the pilot walks
// through the section to sign the form at the other end (common practice).
const changeReach = 60 * block.Minute

var changes = map[block.Kind]string{
	block.Blockage: "a line blocked", block.BlockageUp: "a blockage given up", block.KeyOut: "the occupation key out", block.KeyIn: "the occupation key in",
	block.CounterReset: "the axle counter reset", block.WorkingMessage: "working by message", block.WorkingPilot: "working by pilot ", block.WorkingNormal: "normal working",
}

// worked keeps an entry by which the section is worked otherwise; one said again is no change.
func (s *side) worked(ev *block.Event, entry int32) {
	what := changes[ev.Kind]
	if ev.Kind == block.WorkingPilot {
		what += ev.Subject
	}
	if n := len(s.changes); what == "" || ev.Kind == block.WorkingPilot && n > 0 && s.changes[n-1].what == what {
		return
	}
	s.changes = append(s.changes, otherwise{ev.Seq, ev.At, entry, what})
}

// working reports a change that one book has and the other has not.
func (p *Pair) working(sides [2]*side) {
	from, to := p.coverage()
	var taken [2][]bool
	for k := range sides {
		taken[k] = make([]bool, len(sides[k].changes))
	}
	for i := range sides[0].changes {
		a, best, least := &sides[0].changes[i], -1, changeReach
		for j := range sides[1].changes {
			b := &sides[1].changes[j]
			if d := dist(p.byFirst(1, b.entry, b.at), a.at); !taken[1][j] && b.what == a.what && d <= least {
				best, least = j, d
			}
		}
		if best >= 0 {
			taken[0][i], taken[1][best] = true, true
		}
	}
	for k := range sides {
		here, there := p.books()[k], p.books()[1-k]
		for i := range sides[k].changes {
			c := &sides[k].changes[i]
			at := p.byFirst(k, c.entry, c.at)
			if taken[k][i] || at < from || at > to {
				continue
			}
			f := Finding{At: at}
			f.rests(k, c.seq, c.at)
			p.add(rulebook.WorkingDiffers, f, fmt.Sprintf("%s has %s at %s, and %s has nothing of it", here.Box.Name, c.what, here.said(c.seq, c.at), there.Box.Name),
				"the same in both books: it is agreed between the boxes")
		}
	}
}
