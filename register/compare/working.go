package compare

import (
	"fmt"
	"slices"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// How a section is worked is agreed between its two boxes, so each book has it: line
// blockages and the occupation key, the axle counter reset (Block Working Manual, part
// B: in red in both registers), by message, by a pilot (tablet regulations 1890, clause
// 23: his form at both ends), and normal working again.

// otherwise is an entry by which a section is worked otherwise.
type otherwise struct {
	noted
	what string
	way  block.Way // of the line that it is about, as this box sees it
}

// changeReach is how far apart two entries of one change may be: the pilot walks
// through the section to sign the form at the other end (common practice).
const changeReach = 60 * block.Minute

// lampReach is how far apart both books may have one change of a lamp that is common to
// both ends; further apart it is another train's (common practice).
const lampReach = 10 * block.Minute

var changes = map[block.Kind]string{
	block.Blockage: "a line blocked", block.BlockageUp: "a blockage given up", block.KeyOut: "the occupation key out", block.KeyIn: "the occupation key in",
	block.CounterReset: "the axle counter reset", block.WorkingMessage: "working by message", block.WorkingPilot: "working by pilot ", block.WorkingNormal: "normal working",
}

// worked keeps an entry by which section i is worked otherwise; one said again is no
// change. Beside them it keeps when an axle counter showed the section free.
func (s *side) worked(box *block.Box, i int, ev *block.Event, at noted) {
	section := &box.Sections[i]
	c := otherwise{noted: at, what: changes[ev.Kind]}
	if l := slices.IndexFunc(section.Lines, func(l block.Line) bool { return l.Name == ev.Line }); l >= 0 {
		c.way = section.Lines[l].Way
	}
	if ev.Kind == block.WorkingPilot {
		c.what += ev.Subject
	}
	n := len(s.changes)
	switch {
	case ev.Kind == block.Indicator && ev.Subject == "free" && section.Method.Is().Counter:
		s.freed = append(s.freed, c)
	case c.what == "" || ev.Kind == block.WorkingPilot && n > 0 && s.changes[n-1].what == c.what:
	default:
		s.changes = append(s.changes, c)
	}
}

// same says whether two entries of the two boxes may be of one change: what is on the
// line away from one box is on the line towards the other.
func (c *otherwise) same(o *otherwise) bool {
	return c.what == o.what && (c.way != o.way || c.way == block.Both)
}

// ends are the changes that end another.
var ends = map[string]bool{changes[block.BlockageUp]: true, changes[block.KeyIn]: true, changes[block.WorkingNormal]: true}

// endOf is what ends change i: the next about the same line, if that ends one.
func (s *side) endOf(i int) *otherwise {
	if ends[s.changes[i].what] {
		return nil
	}
	for k := i + 1; k < len(s.changes); k++ {
		if c := &s.changes[k]; c.way == s.changes[i].way {
			if ends[c.what] {
				return c
			}
			return nil
		}
	}
	return nil
}

// laid lays each of the first book's changes to the nearest of the second within reach.
func (p *Pair) laid(first, second []otherwise, reach block.Time, do func(a, b *otherwise)) {
	taken := make([]bool, len(second))
	for i := range first {
		a, best, least := &first[i], -1, reach
		for j := range second {
			b := &second[j]
			if d := dist(p.byFirst(1, b.noted), a.at); !taken[j] && a.same(b) && d <= least {
				best, least = j, d
			}
		}
		if best >= 0 {
			taken[best] = true
			do(a, &second[best])
		}
	}
}

// lamps reports where the books time the section shown free differently: one lamp shows
// it at both ends. That it is left out is no difference, where the arrival was told.
func (p *Pair) lamps(sides [2]*side) {
	p.laid(sides[0].freed, sides[1].freed, lampReach, func(a, b *otherwise) {
		d := dist(p.byFirst(1, b.noted), a.at)
		if d <= p.Tolerance {
			return
		}
		p.add(rulebook.TimeDiffers, p.aboutBoth(a.noted, b.noted), fmt.Sprintf("%s has the section shown free at %s, %s at %s: %d min apart after the difference of the clocks",
			p.First.Box.Name, p.First.said(a.noted), p.Second.Box.Name, p.Second.said(b.noted), (d+block.Minute/2)/block.Minute),
			"one time: the counter shows it at both ends at once")
		p.Findings[len(p.Findings)-1].late = float64(d)
	})
}

// working reports a change that one book has and the other has not.
func (p *Pair) working(sides [2]*side) {
	taken := [2]map[int64]bool{{}, {}}
	p.laid(sides[0].changes, sides[1].changes, changeReach, func(a, b *otherwise) { taken[0][a.seq], taken[1][b.seq] = true, true })
	for k := range sides {
		here, there := p.books()[k], p.books()[1-k]
		for i := range sides[k].changes {
			c := &sides[k].changes[i]
			f := p.about(k, c.noted)
			if taken[k][c.seq] || !p.compared(f.At) {
				continue
			}
			text := fmt.Sprintf("%s has %s at %s", here.Box.Name, c.what, here.said(c.noted))
			if end := sides[k].endOf(i); end != nil && !taken[k][end.seq] {
				taken[k][end.seq] = true // told with what it ends
				f.rests(k, end.noted)
				text += fmt.Sprintf(" and %s at %s", end.what, here.said(end.noted))
			}
			p.add(rulebook.WorkingDiffers, f, fmt.Sprintf("%s, and %s has nothing of it", text, there.Box.Name),
				"the same in both books: it is agreed between the boxes")
		}
	}
}
