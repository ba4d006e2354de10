package reading

import (
	"iter"
	"slices"

	"fairhand/block"
)

// movedMost is how far from the entries around it an entry is read at its own
// time. What is written later than that is read where it stands: a book is in use
// by then, and what was done in between rested on what it said.
const movedMost = 48 * 60 * block.Minute

// heldMost bounds the entries held while it is looked for those written late, in
// a book so full that movedMost does not.
const heldMost = 5000

// fewSlips is how many entries of times far ahead may be slips of the pen, those of one time
// being one; of more it is the book that goes back, as one that is copied in later does.
const fewSlips = 3

// held is an entry that waits for its turn to be read: as two days of others are, in memory
// that is far by then, so that what is looked at first of it stands in one place.
type held struct {
	turn
	e Entry
}

// turn is when it is read.
type turn struct {
	at     block.Time // by which it is read
	own    block.Time // that it gives
	shift  block.Time // by which at goes beyond the time that the book gives
	how    standing
	tied   bool   // its place among entries of the same time is to be tried
	early  bool   // it is read before one that stands above it
	judged bool   // whether its place within its minute is regular was looked at
	beside *slips // that are out of order with it and go on from each other; nil for none
}

// standing is how an entry stands in the order of the times.
type standing uint8

const (
	inOrder  standing = iota
	moved             // said to be late, or its time was corrected: read at its own time
	doubtful          // timed before those above it or after those below: it is to be tried where it is read
	atOwn             // so tried: read at its own time
	inPlace           // a slip of the pen: read where it stands
)

// order holds entries for as long as others may have to be read before them.
type order struct {
	list  []*held // in the order of reading
	run   []*held // those last come, timed before the end of list, and not said to be late
	above int     // how many at the end of list are timed after the first of run
	late  []*held // said to be late: put in when run is closed
	spare []*held
	slips []*held // in list that are not in order

	begun  bool
	duty   []block.OnDuty // signed on as the book is written
	last   block.Time     // of the last entry in order
	read   block.Time     // of the last entry that was read
	atOnce bool           // it was written at once
	shift  block.Time     // what makes the times of a book that goes back go on
	floor  block.Time     // where it went back last: nothing is read before that

	lowest, highest, given int64 // numbers of those given, and how many
	reached                int64 // before the one given last, highest where none was missing; else 0
	whole                  bool
	open                   block.Time
}

// put takes the next entry of the book.
func (o *order) put(e *Entry) {
	h := o.fresh(e)
	if !o.begun {
		first := min(h.own, e.Written().At)
		o.begun, o.last, o.floor, o.lowest = true, first, first, e.Seq
		o.highest = e.Seq - 1
	}
	h.shift = o.shift
	h.own += o.shift
	if n := len(o.duty); n > 0 && e.Event.At < o.duty[n-1].At {
		h.e.Relief = o.duty[n-1].Name
	}
	o.signs(&e.Event)
	switch {
	case e.Event.Kind == block.ClockSet:
		for i := range o.duty {
			o.duty[i].At = min(o.duty[i].At, e.Event.At)
		}
		fallthrough
	case e.Event.Kind == block.Transcribed:
		o.close()
		o.goBack(h)
	case o.declared(h):
		h.how, h.early = moved, h.own <= o.last
		o.late = append(o.late, h)
	case h.own >= o.last && (!redated(e) || h.own <= o.last+movedMost):
		o.close()
		o.last, h.at, o.atOnce = h.own, h.own, e.Event.Written == 0
		o.add(h)
	case e.Event.Kind == block.Correct || e.Event.Kind == block.Described || e.Event.Written != 0 || redated(e):
		h.e.Redated = redated(e)
		o.close()
		h.at = o.last
		o.add(h)
	default:
		o.disorder(h)
	}
}

// redated says whether an entry was corrected to be of another time.
func redated(e *Entry) bool { return e.Event.At != e.Written().At }

// signs notes who signs on and off.
func (o *order) signs(ev *block.Event) {
	switch ev.Kind {
	case block.DutyOff:
		o.duty = slices.DeleteFunc(o.duty, func(d block.OnDuty) bool { return d.Name == ev.Subject })
	case block.DutyOn:
		o.duty = append(o.duty, block.OnDuty{Name: ev.Subject, At: ev.At})
	}
}

// fresh is a copy of an entry to hold.
func (o *order) fresh(e *Entry) *held {
	var h *held
	if n := len(o.spare); n > 0 {
		h, o.spare = o.spare[n-1], o.spare[:n-1]
	} else {
		h = new(held)
	}
	h.e, h.turn = *e, turn{own: e.Event.At}
	return h
}

// declared says whether an entry says of itself that it is of another time than
// those around it.
func (o *order) declared(h *held) bool {
	e := &h.e
	switch {
	case e.Event.Kind == block.Correct, e.Event.Kind == block.Described, h.own < o.floor, h.own < o.last-movedMost, h.own > o.last+movedMost:
		return false
	case redated(e):
		return true
	}
	return e.Event.Written != 0 && (h.own < o.last || h.own == o.last && o.atOnce)
}

// add puts an entry at the end of those in order, before any that were moved to
// later times.
func (o *order) add(h *held) {
	o.list = slices.Insert(o.list, o.behind(h.at), h)
}

// behind is the place in the list behind all that are read by a time.
func (o *order) behind(at block.Time) int {
	i := len(o.list)
	for i > 0 && o.list[i-1].at > at {
		i--
	}
	return i
}

// insert puts an entry at its own time: of several of that time before all that
// stand above it, to be tried between them, but behind what was written with it.
func (o *order) insert(h *held) {
	h.at = h.own
	i := o.behind(h.at)
	for k := i - 1; k >= 0 && o.list[k].at == h.at; k-- {
		if g := o.list[k]; h.with(g) {
			h.tied = g.tied
			o.slip(k+1, h)
			return
		}
	}
	for i > 0 && o.list[i-1].at == h.at {
		i--
		h.tied = true
	}
	o.slip(i, h)
}

// slip puts a slip at a place of the list.
func (o *order) slip(i int, h *held) {
	o.list = slices.Insert(o.list, i, h)
	o.slips = append(o.slips, h)
}

// goBack has a book go on from an entry that is of an earlier time, or that was read with
// one and follows it.
func (o *order) goBack(h *held) {
	h.own += o.shift - h.shift
	back := max(0, o.last-h.own)
	o.shift, h.own = o.shift+back, h.own+back
	h.shift = o.shift
	o.last, o.floor, h.at = h.own, h.own, h.own
	o.add(h)
}

// disorder takes an entry that is timed before the one above it, and does not say
// why: it is wrong, or those above it are. The slip is the one whose removal puts
// the rest in order; the entries that follow tell.
func (o *order) disorder(h *held) {
	if n := len(o.run); n > 0 && h.own < o.run[n-1].own {
		o.close()
	}
	if len(o.run) == 0 {
		o.above = 0
		for i := len(o.list) - 1; i >= 0 && o.list[i].at > h.own; i-- {
			if o.list[i].how == inOrder {
				o.above++
			}
		}
		if h.own < o.last-movedMost && o.above > fewSlips {
			o.goBack(h)
			return
		}
	}
	h.at = h.own
	o.run = append(o.run, h)
	switch n := len(o.run); {
	case min(n, o.above) > fewSlips && o.run[0].own < o.floor && o.times() > fewSlips:
		run := o.run
		o.run = o.run[:0]
		for _, g := range run {
			o.goBack(g)
		}
	case n > o.above:
		o.turn()
	}
}

// turn finds the entries above the run to be the slips, each to be tried where it
// stands and at its own time.
func (o *order) turn() {
	var wrong []*held
	for i := len(o.list) - 1; i >= 0 && len(wrong) < o.above; i-- {
		if h := o.list[i]; h.how == inOrder {
			wrong = append(wrong, h)
			o.list = slices.Delete(o.list, i, i+1)
		}
	}
	for _, h := range o.run {
		o.add(h)
		o.last = h.at
	}
	o.run = o.run[:0]
	slices.Reverse(wrong) // as they stand in the book
	together(wrong)
	for _, h := range wrong {
		i, at := o.placeOf(h)
		h.how, h.at = doubtful, at
		o.slip(i, h)
	}
}

// close finds the run to be the slips.
func (o *order) close() {
	run := o.run
	o.run = o.run[:0]
	if len(run) > 0 {
		together(run)
	}
	for _, h := range run {
		i, at := o.placeOf(h)
		h.early = true
		if h.own >= o.floor && at-h.own <= movedMost {
			h.how = doubtful
			o.insert(h)
			continue
		}
		h.how, h.at = inPlace, at
		o.slip(i, h)
	}
	for _, h := range o.late {
		o.insert(h)
	}
	o.late = o.late[:0]
}

// placeOf is where an entry stands in the book: before the first in order that is
// written below it, and when that is: as of the last one read, where none is held.
func (o *order) placeOf(h *held) (int, block.Time) {
	if len(o.list) == 0 {
		return 0, o.last
	}
	i := len(o.list)
	for j := len(o.list) - 1; j >= 0; j-- {
		if g := o.list[j]; g.how == inOrder && g.e.Seq < h.e.Seq {
			break
		} else if g.how == inOrder {
			i = j
		}
	}
	return i, o.list[max(i-1, 0)].at
}

// ready says whether nothing that is still to come can be read before the first.
func (o *order) ready() bool {
	if len(o.list) == 0 { // the first of a book was corrected to be of another time
		return false
	}
	if len(o.list)+len(o.run)+len(o.late) > heldMost {
		o.close()
		return true
	}
	return len(o.run) == 0 && o.last-o.list[0].at > movedMost
}

// Ordered gives entries in the order in which they are read: that of their own
// times. One that was written late, or whose time was corrected, comes at its own
// time, at most two days from where it stands; beyond that it is read in its place.
// One that is out of order and does not say why is read at its own time too,
// unless that breeds a finding which its place in the book does not: then its time
// is a slip of the pen, and it is read where it stands, as of the entry above it or
// below it, whichever breeds less.
//
// The entries must be taken, each before the next is asked for. Those of two days
// are held, at most a few thousand.
func (r *Replay) Ordered(entries iter.Seq2[*Entry, error]) iter.Seq2[*Entry, error] {
	return func(yield func(*Entry, error) bool) {
		r.order = order{duty: slices.Clone(r.run.Look().OnDuty)}
		o := &r.order
		var was *held
		next := func() bool {
			if was != nil {
				o.spare = append(o.spare, was)
			}
			was = r.next()
			return yield(&was.e, nil)
		}
		for e, err := range entries {
			if err != nil {
				yield(nil, err)
				return
			}
			o.put(e)
			for o.ready() {
				if !next() {
					return
				}
			}
		}
		o.close()
		for len(o.list) > 0 {
			if !next() {
				return
			}
		}
	}
}

// next takes the first entry out of those held.
func (r *Replay) next() *held {
	r.unread()
	o := &r.order
	for o.list[0].tied || o.list[0].how == doubtful {
		r.settle()
	}
	r.minute()
	h := o.list[0]
	o.list, o.read = o.list[1:], h.at
	if h.how != inOrder {
		o.slips = slices.DeleteFunc(o.slips, func(g *held) bool { return g == h })
	}
	h.e.Others, h.e.Odd, h.e.Slip, h.e.Early = h.others(), h.how != inOrder || h.early, h.how > moved, h.early && h.how != inPlace
	if h.e.As = 0; h.how == inPlace {
		h.e.As = h.at - h.shift
	}
	o.reached = 0
	if o.highest == o.lowest+o.given-1 {
		o.reached = o.highest
	}
	o.whole = h.how == inOrder && h.e.Seq == o.highest+1 && o.reached != 0 && !o.crossed(h)
	o.given++
	o.highest = max(o.highest, h.e.Seq)
	h.e.Nth = o.given
	return h
}

// crossed says whether an entry that waits is of a time before that of h.
func (o *order) crossed(h *held) bool {
	return slices.ContainsFunc(o.slips, func(g *held) bool { return g.own < h.at })
}

// Whole says, of the entry that Ordered gave last, that all that stand above it in
// the book were given before it, and that none below it is of an earlier time: a
// replay may begin with it.
func (r *Replay) Whole() bool { return r.order.whole }

// Reached is the number of an entry when those up to it, and no others, were given
// before the one that Ordered gave last; else 0.
func (r *Replay) Reached() int64 { return r.order.reached }
