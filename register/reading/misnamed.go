package reading

import (
	"iter"
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// misnamedWithin is how long a train that enters may take to come, at the most, for what is
// booked of it then to tell its name.
const misnamedWithin = 60 * block.Minute

// renamed is an event as of the other train that the entry beside it names, which sees the same
// train, or that was let go there: where it cannot be of the one that it names itself, which the
// book knows, and the other does the same nowhere else. Of a section given clear of a train not
// seen nothing is: the train that came may be another, and then there are two.
func (w *asWritten) renamed(at int, p *point) (out []block.Event) {
	e, box := &w.events[at], p.run.Box()
	if e.Train == "" || slices.ContainsFunc(w.danger, func(f block.Finding) bool { return f.Rule == rulebook.OutOfSectionTrainNotArrived }) {
		return nil
	}
	not, known, name := p.run.NotOf(e), len(e.Bells) > 0 && e.Bells[0].Sent, ""
	if box.Offers(e) {
		if !not || !w.went(e) || !box.TakesUp(e, w.last()) {
			return nil
		}
		return w.as(e, w.last().Train) // what is offered again was perhaps let go twice
	}
	gone := e.Goes() // by this entry, until another has it elsewhere
	for o := range w.around() {
		if o == e || o.Train == "" {
			continue
		}
		if o.Train == e.Train {
			below := o.At >= e.At && same(e, o)
			if o.Seq > e.Seq && o.At >= e.At {
				below, gone = below || gone && (box.NotGone(e, o) || p.run.Awaits(o)), false
			}
			known, not = known || below || o.At < e.At, not || below
		}
		if name == "" && o.At-e.At <= misnamedWithin && box.GoesWith(e, o) {
			name = o.Train
		}
	}
	if name == "" {
		name = p.run.LetGo(e)
	}
	if drawn := w.drawnFor(e); drawn != "" && drawn == name {
		not, known = true, true
	}
	if !not || !known || name == "" || name == e.Train {
		return nil
	}
	return w.as(e, name)
}

// went says whether the train that an event names is booked above as gone from here.
func (w *asWritten) went(e *block.Event) bool {
	for o := range w.around() {
		if o.Seq < e.Seq && o.Train == e.Train && (o.Kind == block.TrainDeparted || o.Kind == block.TrainPassed || o.Kind == block.TrainPutAway) {
			return true
		}
	}
	return false
}

// drawnFor is the train for which a token was drawn that an event has handed over.
func (w *asWritten) drawnFor(e *block.Event) (name string) {
	for o := range w.around() {
		if e.Kind == block.TokenToTrain && o.Kind == block.TokenOut && o.Seq < e.Seq && o.Section == e.Section && o.Number == e.Number {
			name = o.Train
		}
	}
	return name
}

// numbered is an event of a token with each number that two other entries of the section have
// for one; of a token handed over, which is drawn here, the one entry of its drawing does.
func (w *asWritten) numbered(e *block.Event) (out []block.Event) {
	if !e.OfToken() {
		return nil
	}
	times := map[int]int{e.Number: -1}
	for o := range w.around() {
		if o.OfToken() && o.Section == e.Section && times[o.Number] >= 0 && max(e.At-o.At, o.At-e.At) <= misnamedWithin {
			if times[o.Number]++; times[o.Number] == 2 || e.Kind == block.TokenToTrain && o.Kind == block.TokenOut {
				times[o.Number] = -1
				to := *e
				to.Number = o.Number
				out = append(out, to)
			}
		}
	}
	return out
}

// as is an event as of another train, unless that one does the same elsewhere.
func (w *asWritten) as(e *block.Event, name string) []block.Event {
	for o := range w.around() {
		if o != e && o.Train == name && same(e, o) {
			return nil
		}
	}
	to := *e
	to.Train = name
	return []block.Event{to}
}

// miswritten are the names of trains that one entry alone has, of those that are kept and
// those below, with the names that others have and of which each may be a slip of the pen. One that
// stands in the words of a message has been told.
func (r *Replay) miswritten() (names map[string][]string) {
	w := asWritten{events: r.undo.since, beyond: r.order.below()}
	times := map[string]int{}
	for e := range w.around() {
		if e.Train != "" {
			times[e.Train]++
		}
	}
	for name, n := range times {
		if n > 1 || r.undo.from.Look().TrainNamed(name) != nil {
			continue
		}
		for of, m := range times {
			if m > 0 && block.Miswritten(name, of) && !w.told(name) {
				if names == nil {
					names = map[string][]string{}
				}
				names[name] = append(names[name], of)
			}
		}
		slices.Sort(names[name])
	}
	return names
}

// told says whether the words of an entry have the name of a train.
func (w *asWritten) told(name string) bool {
	for e := range w.around() {
		if strings.Contains(e.Text, name) {
			return true
		}
	}
	return false
}

// slips are an event as of each train of which its name may be miswritten.
func (w *asWritten) slips(at int) (out []block.Event) {
	e := &w.events[at]
	for _, name := range w.names[e.Train] {
		out = append(out, w.as(e, name)...)
	}
	return out
}

// goesOn says whether something is written below of the box that an event is of.
func (w *asWritten) goesOn(m *meant) bool {
	return slices.ContainsFunc(w.beyond, func(h *held) bool { return h.e.Event.Neighbour() == m.event.Neighbour() })
}

// same says whether two events are one act at one box, of whatever train, which does it once.
func same(e, o *block.Event) bool {
	return e.Kind == o.Kind && e.Kind != block.TrainMoved && e.Neighbour() == o.Neighbour() && slices.Equal(e.Bells, o.Bells)
}

// around are the entries that are read, those below too.
func (w *asWritten) around() iter.Seq[*block.Event] {
	return func(yield func(*block.Event) bool) {
		for i := w.first; i < len(w.events); i++ {
			if !yield(&w.events[i]) {
				return
			}
		}
		for _, h := range w.beyond {
			if !yield(&h.e.Event) {
				return
			}
		}
	}
}

// renames says whether a reading takes its event as of another train than it names.
func (w *asWritten) renames(m *meant) bool {
	return m.event.Kind != block.KindNone && m.event.Train != w.events[m.at].Train
}

// slipped says whether it takes the name for a slip of the pen.
func (w *asWritten) slipped(m *meant) bool {
	return slices.Contains(w.names[w.events[m.at].Train], m.event.Train)
}

// keeps says whether no danger goes with the reading that is one whatever the train.
func (w *asWritten) keeps(m *meant, before *point) bool {
	return !slices.ContainsFunc(w.then, func(f block.Finding) bool {
		return f.Severity == rulebook.Danger && !f.MayBeMisread() && !has(m.then.found, &f) && !has(before.found, &f)
	})
}
