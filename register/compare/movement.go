package compare

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// Arrivals, passings and departures are not signalled, so each is in one book only.
// What both books say of a train's time in the section is compared all the same: it
// cannot come before it left, and one that went into the section and was given out of
// it has come. Their entries name the train, and by that name it is found in the other
// book, where a bell of it may stand under another.

// passing is what a book has of a train leaving the box, coming to it, given out of the
// section behind it (kind Bells), or not running at all.
type passing struct {
	noted   // its train that of the name; without an entry, -1, where only the time is known
	name    string
	in, out int16 // sections that it came from and goes to, -1 where the book does not tell
	kind    block.Kind
}

// passed keeps what an entry says of where a train is.
func (g *gathering) passed(ev *block.Event, at noted) {
	switch ev.Kind {
	case block.TrainArrived, block.TrainPassed, block.TrainDeparted, block.TrainOff:
	default:
		return
	}
	x := passing{noted: at, name: ev.Train, in: -1, out: -1, kind: ev.Kind}
	x.train = 0
	for _, touched := range g.run.Look().Touched {
		if t := g.b.trains[touched]; t != nil && t.name == ev.Train {
			x.train, x.in, x.out = int32(touched), t.in, t.out
		}
	}
	g.b.passings = append(g.b.passings, x)
}

// coming is, by name and in order of time, what a book has of trains from a section.
func (b *Book) coming(in int16) map[string][]*passing {
	all := map[string][]*passing{}
	for i := range b.passings {
		if x := &b.passings[i]; x.kind != block.TrainDeparted && (x.in == in || x.in < 0) {
			all[x.name] = append(all[x.name], x)
		}
	}
	for id, t := range b.trains {
		if t.in == in && t.givenOut != 0 && t.name != "" {
			all[t.name] = append(all[t.name], &passing{noted: noted{at: t.givenOut, entry: -1, train: int32(id)}, name: t.name, in: in, kind: block.Bells})
		}
	}
	for _, list := range all {
		slices.SortStableFunc(list, func(a, b *passing) int { return cmp.Compare(a.at, b.at) })
	}
	return all
}

const (
	// trainsLeast is how many arrivals, and half of all, a book must have for one to be
	// missed: some boxes book none.
	trainsLeast = 5
	// earlyReach is how long before it left a train may be booked as come, and be the same
	// train at a wrong time (common practice); it may have come for nameSpan.
	earlyReach = 60 * block.Minute
)

// movements compares where the books have trains that leave box k for the other.
func (p *Pair) movements(k int) {
	here, there := p.books()[k], p.books()[1-k]
	out, in := int16(here.Box.SectionIndex(there.Box.Name)), int16(there.Box.SectionIndex(here.Box.Name))
	coming, used, came := there.coming(in), map[*passing]bool{}, 0
	var missed [][2]*passing
	for i := range here.passings {
		left := &here.passings[i]
		if left.out != out || left.kind != block.TrainDeparted && left.kind != block.TrainPassed {
			continue
		}
		var arrived, off, given *passing
		for _, x := range p.sameTrain(k, left, coming) {
			switch {
			case used[x]:
			case x.kind == block.TrainOff:
				off = cmp.Or(off, x)
			case x.kind == block.Bells:
				given = cmp.Or(given, x)
			default:
				arrived = cmp.Or(arrived, x)
			}
		}
		switch {
		case arrived != nil:
			used[arrived], came = true, came+1
			if early := -p.behind(k, left, arrived); (arrived.in == in || given != nil) && early > float64(p.Tolerance) {
				p.moved(k, left, arrived, fmt.Sprintf("%s has the train leave at %s, and %s has it come at %s: %s before, after the difference of the clocks",
					here.Box.Name, here.said(left.noted), there.Box.Name, there.said(arrived.noted), p.apart(early)), "a train that comes after it has left")
			}
		case off != nil:
			p.withdrawn(k, left, off)
		case given != nil && p.compared(p.byFirst(k, left.noted)):
			missed = append(missed, [2]*passing{left, given})
		}
	}
	if came >= max(trainsLeast, len(missed)) {
		for _, m := range missed {
			left, given := m[0], m[1]
			p.moved(k, left, nil, fmt.Sprintf("%s has the train leave at %s; %s, which gave it out of section at %s, has neither its arrival nor its passing, as it has of others",
				here.Box.Name, here.said(left.noted), there.Box.Name, there.clock(given.at)), "its arrival or passing at "+there.Box.Name)
		}
	}
}

// sameTrain is what the other book has, the nearest in time first, of the train that left
// box k, under the names that it has in either.
func (p *Pair) sameTrain(k int, left *passing, coming map[string][]*passing) (all []*passing) {
	for _, name := range append(p.alias[left.name], left.name) {
		for _, x := range between(coming[name], left.at-earlyReach-voteReach, left.at+nameSpan+voteReach, func(x **passing) block.Time { return (*x).at }) {
			if late := p.behind(k, left, x); late >= -float64(earlyReach) && late <= float64(nameSpan) {
				all = append(all, x)
			}
		}
	}
	slices.SortStableFunc(all, func(a, b *passing) int {
		return cmp.Compare(math.Abs(p.behind(k, left, a)), math.Abs(p.behind(k, left, b)))
	})
	return all
}

// behind is by how much, in seconds by one clock, a train came after it left box k.
func (p *Pair) behind(k int, left, came *passing) float64 {
	if k == 1 {
		late := p.diff.late(came.noted, left.noted)
		return max(-late[0], -late[1])
	}
	late := p.diff.late(left.noted, came.noted)
	return max(late[0], late[1])
}

// withdrawn reports a train that left one box and by the other's book did not run. What
// was rung for it from then on is missing there for the same reason, and is told by that.
func (p *Pair) withdrawn(k int, left, off *passing) {
	here, there := p.books()[k], p.books()[1-k]
	rung, rests := map[int64]bool{}, []int64(nil)
	for l, i := p.lines()[k], 0; i < len(l.el); i++ {
		if b := l.bell(i); b.train == left.train && b.at >= left.at-p.Tolerance {
			rung[b.seq] = true
		}
	}
	p.Findings = slices.DeleteFunc(p.Findings, func(g Finding) bool {
		told := g.Rule == rulebook.BellMissing && g.Rests[1-k] == nil && rung[g.Entries[k].Seq]
		if told {
			rests = append(rests, g.Rests[k]...)
		}
		return told
	})
	p.moved(k, left, off, fmt.Sprintf("%s has the train leave at %s, and by the book of %s it never came: it has at %s that the train will not run",
		here.Box.Name, here.said(left.noted), there.Box.Name, there.said(off.noted)), "its arrival or passing at "+there.Box.Name, rests...)
}

// moved adds a finding of a train that left and, if it did, came; it rests on more
// entries of the box that it left.
func (p *Pair) moved(k int, left, came *passing, text, expected string, more ...int64) {
	f := p.about(k, left.noted)
	f.Train = left.name
	f.Rests[k] = append(f.Rests[k], more...)
	if came != nil {
		f.rests(1-k, came.noted)
	}
	p.add(rulebook.MovementDiffers, f, text, expected)
}
