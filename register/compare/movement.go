package compare

import (
	"cmp"
	"fmt"
	"slices"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// Arrivals, passings and departures are not signalled, so each is in one book only.
// What both books say of a train's time in the section is compared all the same: it
// cannot come before it left, and one that went into the section and was given out of
// it has come.

// passing is a train leaving for the other box, or coming from it.
type passing struct {
	seq   int64
	at    block.Time
	entry int32 // index among the entries of the book
	train int32
	comes bool
}

// passed keeps where a train left and came by an entry, by section.
func (g *gathering) passed(ev *block.Event, entry int32) {
	var t *train
	id := int32(0)
	for _, touched := range g.run.Look().Touched {
		if x := g.b.trains[touched]; x != nil && x.name == ev.Train {
			t, id = x, int32(touched)
		}
	}
	if t == nil {
		return
	}
	keep := func(section int, comes bool) {
		if section >= 0 {
			s := &g.b.sides[section]
			s.passings = append(s.passings, passing{ev.Seq, ev.At, entry, id, comes})
		}
	}
	switch ev.Kind {
	case block.TrainArrived:
		keep(t.in, true)
	case block.TrainPassed:
		keep(t.in, true)
		keep(t.out, false)
	case block.TrainDeparted:
		keep(t.out, false)
	case block.TrainOff:
		if t.in >= 0 {
			s := &g.b.sides[t.in]
			if s.withdrawn == nil {
				s.withdrawn = map[int32]passing{}
			}
			s.withdrawn[id] = passing{ev.Seq, ev.At, entry, id, false}
		}
	}
}

// trainsLeast is how many arrivals, and half of all, a book must have for one to be
// missed: some boxes book none.
const trainsLeast = 5

// movements compares where the books have trains, of those that they have in common.
func (p *Pair) movements(sides [2]*side) {
	var of [2]map[int32][2]*passing // of each train the last that left, and came
	for k, s := range sides {
		of[k] = map[int32][2]*passing{}
		for i := range s.passings {
			x := &s.passings[i]
			both := of[k][x.train]
			both[b2i(x.comes)] = x
			of[k][x.train] = both
		}
	}
	var missed [2][]link
	var came [2]int
	linked := [2]map[int]bool{{}, {}}
	for _, l := range p.links() {
		if linked[0][l.a] || linked[1][l.b] {
			continue
		}
		linked[0][l.a], linked[1][l.b] = true, true
		trains := [2]*train{p.First.trains[l.a], p.Second.trains[l.b]}
		if trains[0] == nil || trains[1] == nil {
			continue
		}
		ids := [2]int32{int32(l.a), int32(l.b)}
		for k := range sides { // from box k to the other
			left, arrived := of[k][ids[k]][0], of[1-k][ids[1-k]][1]
			other := p.books()[1-k]
			switch {
			case arrived != nil:
				came[k]++
				if left != nil {
					p.tooSoon(k, left, arrived, trains[k].name)
				}
			case left != nil && sides[1-k].withdrawn[ids[1-k]].seq != 0:
				off := sides[1-k].withdrawn[ids[1-k]]
				p.withdrawn(k, left, &off, trains[k].name)
			case left != nil && trains[1-k].in == other.Box.SectionIndex(p.books()[k].Box.Name) && trains[1-k].givenOut != 0 && trains[1-k].name != "":
				if p.compared(p.byFirst(k, left.entry, left.at)) {
					missed[k] = append(missed[k], l)
				}
			}
		}
	}
	for k := range missed {
		if n := len(missed[k]); came[k] < trainsLeast || came[k] < n {
			continue
		}
		for _, l := range missed[k] {
			both := [2]int{l.a, l.b}
			p.neverCame(k, of[k][int32(both[k])][0], [2]*train{p.First.trains[l.a], p.Second.trains[l.b]})
		}
	}
}

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}

// tooSoon reports a train that came to one box before it had left the other.
func (p *Pair) tooSoon(k int, left, came *passing, name string) {
	early := p.byFirst(k, left.entry, left.at) - p.byFirst(1-k, came.entry, came.at)
	if early <= p.Tolerance {
		return
	}
	here, there := p.books()[k], p.books()[1-k]
	p.moved(k, left, came, name, fmt.Sprintf("%s has the train leave at %s, and %s has it come at %s: %s before, after the difference of the clocks",
		here.Box.Name, here.said(left.seq, left.at), there.Box.Name, there.said(came.seq, came.at), p.apart(float64(early))),
		"a train that comes after it has left")
}

// neverCame reports a train that was given out of section and has no arrival.
func (p *Pair) neverCame(k int, left *passing, trains [2]*train) {
	here, there := p.books()[k], p.books()[1-k]
	name := cmp.Or(trains[k].name, trains[1-k].name)
	p.moved(k, left, nil, name, fmt.Sprintf("%s has the train leave at %s; %s, which gave it out of section at %s, has neither its arrival nor its passing, as it has of others",
		here.Box.Name, here.said(left.seq, left.at), there.Box.Name, there.clock(trains[1-k].givenOut)), "its arrival or passing at "+there.Box.Name)
}

// withdrawn reports a train that left one box and by the other's book did not run. What
// was rung for it from then on is missing there for the same reason, and is told by that.
func (p *Pair) withdrawn(k int, left, off *passing, name string) {
	here, there := p.books()[k], p.books()[1-k]
	f := p.movement(k, left, off, name)
	rung := map[int64]bool{}
	for l, i := [...]*line{p.a, p.b}[k], 0; i < len(l.el); i++ {
		if b := l.bell(i); b.train == left.train && b.at >= left.at-p.Tolerance {
			rung[b.seq] = true
		}
	}
	p.Findings = slices.DeleteFunc(p.Findings, func(g Finding) bool {
		told := g.Rule == rulebook.BellMissing && g.Rests[1-k] == nil && rung[g.Entries[k].Seq]
		if told {
			f.Rests[k] = append(f.Rests[k], g.Rests[k]...)
		}
		return told
	})
	p.add(rulebook.MovementDiffers, f, fmt.Sprintf("%s has the train leave at %s, and by the book of %s it never came: it has at %s that the train will not run",
		here.Box.Name, here.said(left.seq, left.at), there.Box.Name, there.said(off.seq, off.at)), "its arrival or passing at "+there.Box.Name)
}

// movement is a finding of a train that left and, if it did, came.
func (p *Pair) movement(k int, left, came *passing, name string) Finding {
	f := Finding{At: p.byFirst(k, left.entry, left.at), Train: name}
	f.rests(k, left.seq, left.at)
	if came != nil {
		f.rests(1-k, came.seq, came.at)
	}
	return f
}

func (p *Pair) moved(k int, left, came *passing, name, text, expected string) {
	p.add(rulebook.MovementDiffers, p.movement(k, left, came, name), text, expected)
}
