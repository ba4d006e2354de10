package reading

import (
	"slices"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// Limits of what is tried where a danger is found: which of the entries above it may be
// misread, how many below are read to see what comes of it, and how often it is looked for
// among so many entries as the replay keeps, of a book in which it leads to nothing.
const (
	misreadBack   = 24
	misreadBeyond = 30
	misreadTries  = 8
	twiceWithin   = 3 // entries that an entry written twice is looked for among
)

// misread looks, where a danger was found, for the one entry above it that is written as of
// the wrong box, line or train, or with its arrows turned: read as it was meant, and in no other way, the
// danger is none, and nothing is wrong from there on that is not as it is written.
// The book is then read so, and that is said in place of the danger. At most a day is looked
// back on: a state that is kept at its end is what the entries below go on from.
func (r *Replay) misread(found []block.Finding) []block.Finding {
	u := &r.undo
	danger := slices.DeleteFunc(slices.Clone(found), func(f block.Finding) bool { return f.Severity != rulebook.Danger })
	if len(danger) == 0 || u.tried >= misreadTries {
		return found
	}
	names := r.miswritten()
	other := slices.ContainsFunc(danger, func(f block.Finding) bool { return !f.MayBeMisread() })
	if other && names == nil {
		return found
	}
	u.tried++
	w := r.written(danger)
	if w.names, w.byName = names, other; !w.stands() {
		return found // what is written below answers it
	}
	m := w.best()
	if m == nil {
		return found
	}
	written := u.since[m.at]
	u.since[m.at] = m.event
	r.run, u.mid = m.run, stepped(u.from, u.since[:u.at])
	answered := slices.DeleteFunc(slices.Clone(w.now), func(f block.Finding) bool { return has(m.found, &f) || has(found, &f) })
	told := slices.DeleteFunc(slices.Clone(m.found), func(f block.Finding) bool { return has(w.now, &f) && !has(found, &f) })
	return append(told, m.run.ReadAs(&written, &m.event, answered))
}

func has(list []block.Finding, f *block.Finding) bool {
	return slices.ContainsFunc(list, func(g block.Finding) bool { return keyOf(&g) == keyOf(f) })
}

// asWritten is a piece of a book as it is written: the entries kept, of which a danger was
// found in the last, and those below.
type asWritten struct {
	events []block.Event
	beyond []*held
	first  int                 // of events, that may be misread
	before []point             // each from first on
	now    []block.Finding     // that stands after the last
	then   []block.Finding     // and after those below
	ever   map[findingKey]bool // found at any time
	danger []block.Finding     // found in the last
	below  map[findingKey]bool // dangers found in what is below, answered since or not
	left   int                 // of what was begun before the danger, with no end below

	names  map[string][]string // of trains in events, and what each may have been meant to be
	byName bool                // no more than a name may be misread: the danger is one of any box
}

// point is where a book has got to.
type point struct {
	run   *block.Runner
	found []block.Finding
}

// meant is the reading of one of the events as it may have been meant.
type meant struct {
	option
	run   *block.Runner // after the last
	at    int
	event block.Event
	then  option // with those below
	below map[findingKey]bool
	left  int
}

// written reads what is kept of the book as it is written. Of a book that does not go on far
// enough below, it may be read otherwise when it does.
func (r *Replay) written(danger []block.Finding) *asWritten {
	u, o := &r.undo, &r.order
	w := &asWritten{events: u.since, first: max(0, len(u.since)-misreadBack), beyond: o.below(), ever: map[findingKey]bool{}, danger: danger, below: map[findingKey]bool{}}
	var as option
	run := u.from.Fork()
	for i := range w.events {
		if i >= w.first {
			w.before = append(w.before, point{run.Fork(), slices.Clone(as.found)})
		}
		as.take(run, &w.events[i])
		w.notes(as.found)
	}
	w.now = slices.Clone(as.found)
	w.onward(&as, run, func(f *block.Finding) bool {
		w.below[keyOf(f)] = true
		return true
	})
	w.left = run.Unended(w.last().At)
	w.notes(as.found)
	w.then = as.found
	if from := w.events[w.first].At; len(w.beyond) < misreadBeyond && (o.open == 0 || from < o.open) {
		o.open = from
	}
	return w
}

// below are the entries that are read to see what comes of a reading.
func (o *order) below() []*held { return o.list[:min(misreadBeyond, len(o.list))] }

func (w *asWritten) notes(found []block.Finding) {
	for i := range found {
		w.ever[keyOf(&found[i])] = true
	}
}

// onward reads what is written below, and what is then left undone, for as long as danger,
// which is told of each that is found there, says so.
func (w *asWritten) onward(p *option, run *block.Runner, danger func(*block.Finding) bool) {
	for _, h := range w.beyond {
		p.step(run, h)
		for i := range p.found {
			if f := &p.found[i]; f.Severity == rulebook.Danger && f.Seq == h.e.Event.Seq && !danger(f) {
				return
			}
		}
	}
	p.found = append(p.found, run.Finish()...)
	p.less(run)
}

// stands says whether the danger does, of the book as it is written.
func (w *asWritten) stands() bool {
	return slices.ContainsFunc(w.danger, func(f block.Finding) bool { return has(w.then, &f) })
}

// best is the reading in which the least is found, nil where there is none or not one alone. What
// is written twice is that, and nothing else; and of two of one box, of which the later is what
// was found to be a danger, that is misread.
func (w *asWritten) best() (best *meant) {
	alone := false
	for at := w.first; at < len(w.events); at++ {
		p := &w.before[at-w.first]
		for _, ev := range w.otherwise(at, p) {
			m := &meant{option: option{found: slices.Clone(p.found)}, run: p.run.Fork(), at: at, event: ev}
			if !w.read(m) || !w.clean(m, p) || !w.shown(m, p) {
				continue
			}
			switch {
			case best == nil || m.then.worse() < best.then.worse():
				best, alone = m, true
			case m.then.worse() > best.then.worse() || best.event.Kind == block.KindNone:
			case w.slipped(m) && m.event.Train == w.events[best.at].Train && best.event.Train == w.events[m.at].Train: // either is the other
			case w.itself(m) && m.event.Neighbour() == best.event.Neighbour(), m.at == best.at && w.renames(m):
				best = m
			default:
				alone = false
			}
		}
	}
	if !alone {
		return nil
	}
	return best
}

// otherwise is what an entry may have been meant to be; nothing, where it is written twice.
func (w *asWritten) otherwise(at int, p *point) []block.Event {
	e, box := &w.events[at], p.run.Box()
	slips := w.slips(at)
	if w.byName {
		return slips
	}
	out := append(box.Misreadings(e), slips...)
	if (len(out) > 0 || e.OfToken()) && slices.ContainsFunc(w.events[max(0, at-twiceWithin):at], func(o block.Event) bool {
		near, bells := e.At-o.At <= block.Minute, slices.Equal(o.Bells, e.Bells)
		return near && bells && o.Kind == e.Kind && o.Neighbour() == e.Neighbour() && o.Line == e.Line && o.Train == e.Train && o.Number == e.Number && o.Far == e.Far
	}) {
		out = append([]block.Event{{Seq: e.Seq, At: e.At, Section: e.Neighbour()}}, out...)
	}
	return append(append(out, w.renamed(at, p)...), w.numbered(e)...)
}

// read goes on from an event so read to the last, for as long as nothing is found that is not
// found as it is written, and the danger is not; and then with those below.
func (w *asWritten) read(m *meant) bool {
	if m.take(m.run, &m.event); !m.run.IsOf(m.event.Train) || m.run.SentBack() {
		return false
	}
	for i := m.at + 1; i < len(w.events) && w.fits(m.found); i++ {
		m.take(m.run, &w.events[i])
	}
	if !w.fits(m.found) {
		return false
	}
	m.then.found, m.below = slices.Clone(m.found), map[findingKey]bool{}
	bred, run := false, m.run.Fork() // a danger that speaks against the reading
	w.onward(&m.then, run, func(f *block.Finding) bool {
		m.below[keyOf(f)] = true
		bred = !w.below[keyOf(f)] || w.concerns(f)
		return !bred
	})
	m.left = run.Unended(w.last().At)
	return !bred
}

func (w *asWritten) fits(found []block.Finding) bool {
	return !slices.ContainsFunc(found, func(f block.Finding) bool {
		return f.Severity > rulebook.Advice && (!w.ever[keyOf(&f)] || has(w.danger, &f))
	})
}

// concerns says whether a finding is of the box or the train that the danger is of.
func (w *asWritten) concerns(f *block.Finding) bool {
	return slices.ContainsFunc(w.danger, func(g block.Finding) bool {
		return g.Section == f.Section || g.Train == f.Train && f.Train != ""
	})
}

// clean says whether nothing is wrong that is not as it is written: slips of the pen, and
// what was found before the event. Read as of another train nothing else is, and no danger
// goes with it that is one whatever the train.
func (w *asWritten) clean(m *meant, before *point) bool {
	if w.renames(m) && (w.another(m, before) || !w.slipped(m) && !w.keeps(m, before)) {
		return false
	}
	return !slices.ContainsFunc(m.then.found, func(f block.Finding) bool {
		return f.Severity > rulebook.Advice && !has(w.then, &f) && !w.stoodFor(m, &f) || f.Severity == rulebook.Danger && !has(before.found, &f)
	})
}

// stoodFor says whether a finding has the place of one as grave that is found of the same entry as
// it is written, and is of another box and train than the danger: the same slip, told otherwise.
func (w *asWritten) stoodFor(m *meant, f *block.Finding) bool {
	return len(m.event.Bells) > 0 && !w.concerns(f) && slices.ContainsFunc(w.then, func(g block.Finding) bool {
		return g.Seq == f.Seq && g.Severity >= f.Severity && !has(m.then.found, &g)
	})
}

// shown says whether more than the danger speaks for the reading: what else is found as it is
// written, and not so read, above all a danger, or what is wanting at the box of which it is
// read; that it has the train where other entries name it; and that all is ended then which was
// begun before the danger, and as it is written was not, or is written twice. Until then the danger stands;
// whoever is at the desk has it before him, and not a line that reads as clear. Of a section
// given clear of a train not seen nothing less than another danger speaks. Where something is
// wrong there yet, another slip, more has to.
func (w *asWritten) shown(m *meant, before *point) bool {
	if w.renames(m) { // by the entry that goes with it; what is said of a train now is for him who reads it now to ask about
		return !w.slipped(m) || !w.itself(m) || w.goesOn(m)
	}
	last, box, speaks := w.last(), m.event.Neighbour(), 0
	itself, there := w.itself(m), box != w.events[m.at].Neighbour()
	unproved := slices.ContainsFunc(w.danger, func(f block.Finding) bool { return f.Rule == rulebook.OutOfSectionTrainNotArrived })
	for _, f := range w.then {
		switch {
		case f.Severity <= rulebook.Advice || f.Seq == m.event.Seq || f.Seq == last.Seq || has(m.then.found, &f):
		case itself && f.Section != box: // this is another's
		case f.Severity == rulebook.Danger, itself && there:
			speaks += 2
		case !itself || !unproved:
			speaks++
		}
	}
	for k := range w.below { // answered since, by what a step that is not booked explains
		if !m.below[k] && !(itself && k.section != box) {
			speaks += 2
		}
	}
	if w.named(m) || m.left == 0 && (w.left > 0 || m.event.Kind == block.KindNone) {
		speaks += 2
	}
	if w.another(m, before) {
		return speaks >= 2
	}
	return speaks >= 1
}

// another says whether something is wrong yet that was not so before the event, or is of a box
// or train that the danger is of.
func (w *asWritten) another(m *meant, before *point) bool {
	return slices.ContainsFunc(m.then.found, func(f block.Finding) bool {
		concerns := w.concerns(&f) && !(w.renames(m) && f.Section != w.last().Neighbour()) // of another train it is none
		return f.Severity > rulebook.Advice && (!has(before.found, &f) || concerns)
	})
}

// last is the event of which the danger is found.
func (w *asWritten) last() *block.Event { return &w.events[len(w.events)-1] }

// itself says whether it is that one that is read otherwise. By its place: two entries of one
// line have one number in a book that is checked, and two in a register.
func (w *asWritten) itself(m *meant) bool { return m.at == len(w.events)-1 }

// named says whether other entries have the train that the danger is of, by its name, at the
// box of which the event is read. Of one that is itself the danger that is its departure; of
// one written twice, the same entry.
func (w *asWritten) named(m *meant) bool {
	train, box := w.events[m.at].Train, m.event.Neighbour()
	last, itself := w.last(), w.itself(m)
	switch {
	case train == "" || train != last.Train || itself && box != last.Neighbour():
		return false
	case m.event.Kind == block.KindNone:
		return true
	}
	return slices.ContainsFunc(w.events, func(o block.Event) bool {
		return o.Seq != m.event.Seq && o.Train == train && o.Neighbour() == box && !(itself && o.Kind == block.Bells)
	})
}
