package reading

import (
	"slices"

	"fairhand/block"
)

// Entries out of order that stand below each other and go on from each other's times: a page or
// some lines of it with one hour written for another, or what was forgotten and is written
// together. They are one slip, told of once.

const hour = 60 * block.Minute

// slips are entries out of order that stand below each other, in order among themselves.
type slips struct {
	list  []*held
	tried bool // to be read where they stand, all of them
}

// tells is which of them is timed otherwise than the entry beside it.
func (s *slips) tells() *held {
	if s.list[0].early {
		return s.list[0]
	}
	return s.list[len(s.list)-1]
}

// others is how many others an entry that is out of order tells of; -1 where one of those does.
func (h *held) others() int {
	switch {
	case h.beside == nil:
		return 0
	case h.beside.tells() == h:
		return len(h.beside.list) - 1
	}
	return -1
}

// times is how many different times those of the run are of.
func (o *order) times() int {
	n := 1
	for i, h := range o.run[1:] {
		if h.own != o.run[i].own {
			n++
		}
	}
	return n
}

// together joins those of slips that stand right below each other.
func together(run []*held) {
	for i, h := range run[1:] {
		switch above := run[i]; {
		case h.e.Seq != above.e.Seq+1:
		case above.beside == nil:
			above.beside = &slips{list: []*held{above, h}}
			h.beside = above.beside
		default:
			h.beside = above.beside
			h.beside.list = append(h.beside.list, h)
		}
	}
}

// with says whether an entry was written right below another and is of the same minute
// and as late, or as far out of order: the two are lines of one exchange, or of one train.
func (h *held) with(above *held) bool {
	return h.e.Seq == above.e.Seq+1 && h.own == above.own && h.how == above.how && h.early && above.early
}

// standsWhole reads slips that stand below each other in their place, all of them, if less is
// found so than at their own times: one hour was written for another, and where they
// fit so between those around them they are read in that.
func (r *Replay) standsWhole(run []*held) bool {
	o := &r.order
	waiting, head, end := o.list, run[0], run[len(run)-1]
	rest := slices.DeleteFunc(slices.Clone(waiting), func(g *held) bool { return slices.Contains(run, g) })
	o.list = rest
	i, at := o.placeOf(head)
	stands, own := option{i: i, at: at, how: inPlace, later: o.hours(head, end, i)}, option{i: -1}
	theirs := waiting
	if !head.early { // they wait where they stand
		o.list = slices.Clone(rest)
		for _, g := range run {
			late := *g
			late.at, late.how = g.own, atOwn
			o.add(&late)
		}
		theirs = o.list
	}
	o.list = waiting
	until := max(i, slices.IndexFunc(theirs, func(g *held) bool { return g.e.Seq == end.e.Seq })) + triedBeyond
	if from := min(head.own, at) - head.shift; until > len(rest) && (o.open == 0 || from < o.open) {
		o.open = from
	}
	r.try(run, &stands, rest[:min(until, len(rest))])
	r.try(nil, &own, theirs[:min(until+len(run), len(theirs))])
	if stands.worse() >= own.worse() {
		return false
	}
	for _, g := range run {
		g.tied, g.how, g.at = false, inPlace, stands.time(g)
	}
	o.list = slices.Insert(rest, i, run...)
	return true
}

// hours is by how many whole hours slips fit between what is read above them and place i of
// the list; 0 where by none.
func (o *order) hours(head, end *held, i int) block.Time {
	above := o.read
	if i > 0 {
		above = o.list[i-1].at
	}
	later := (above - head.own + hour - 1) / hour * hour
	if !head.early && i < len(o.list) {
		later = -(end.own - o.list[i].at + hour - 1) / hour * hour
	}
	if head.own+later < above || i < len(o.list) && end.own+later > o.list[i].at {
		return 0
	}
	return later
}
