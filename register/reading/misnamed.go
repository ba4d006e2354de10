package reading

import (
	"iter"
	"slices"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// misnamedWithin is how long a train that enters may take to come, at the most, for what is
// booked of it then to tell its name.
const misnamedWithin = 60 * block.Minute

// renamed is an event as of the other train that the entry beside it names, which sees the same
// train: where it cannot be of the one that it names itself, which the book knows, and
// the other does the same nowhere else. Of a section given clear of a train not seen nothing is: the
// train that came may be another, and then there are two.
func (w *asWritten) renamed(at int, p *point) (out []block.Event) {
	e, box := &w.events[at], p.run.Box()
	if e.Train == "" || slices.ContainsFunc(w.danger, func(f block.Finding) bool { return f.Rule == rulebook.OutOfSectionTrainNotArrived }) {
		return nil
	}
	not, known, name := p.run.NotOf(e), len(e.Bells) > 0 && e.Bells[0].Sent, ""
	for o := range w.around() {
		if o == e || o.Train == "" {
			continue
		}
		if o.Train == e.Train {
			below := o.At >= e.At && same(e, o)
			known, not = known || below || o.At < e.At, not || below
		}
		if name == "" && o.At-e.At <= misnamedWithin && box.GoesWith(e, o) {
			name = o.Train
		}
	}
	if !not || !known || name == "" || name == e.Train {
		return nil
	}
	for o := range w.around() {
		if o != e && o.Train == name && same(e, o) {
			return nil
		}
	}
	to := *e
	to.Train = name
	return []block.Event{to}
}

// same says whether two events are one act at one box, of whatever train.
func same(e, o *block.Event) bool {
	return e.Kind == o.Kind && e.Neighbour() == o.Neighbour() && slices.Equal(e.Bells, o.Bells)
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

// keeps says whether no danger goes with the reading that is one whatever the train.
func (w *asWritten) keeps(m *meant, before *point) bool {
	return !slices.ContainsFunc(w.then, func(f block.Finding) bool {
		return f.Severity == rulebook.Danger && !f.MayBeMisread() && !has(m.then.found, &f) && !has(before.found, &f)
	})
}
