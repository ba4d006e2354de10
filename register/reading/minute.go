package reading

import (
	"cmp"
	"slices"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/each"
)

// Limits of what is looked for within a minute: entries put in another order, those
// below that are read with them, and entries read in all; and after how many the state
// is kept from which an entry can be taken back.
const (
	minuteMost   = 12
	minuteBeyond = 20
	minuteSteps  = 1500
	keptEvery    = 64
)

// undo keeps what is needed to take the last entry back, or to read one of the last otherwise.
type undo struct {
	from, mid *block.Runner // before since, and before since[at:]
	since     []block.Event // taken since
	at        int
	tried     int // how often a misreading was looked for in since

	next  int64           // number of the entry that was taken before its turn, to see whether it is regular; else 0
	found []block.Finding // of it
}

// step applies an entry.
func (r *Replay) step(ev *block.Event) []block.Finding {
	u := &r.undo
	if u.from == nil || len(u.since)-u.at == keptEvery {
		now := r.run.Fork()
		u.from, u.since = cmp.Or(u.mid, now), append(u.since[:0], u.since[u.at:]...)
		u.mid, u.at, u.tried = now, len(u.since), 0
	}
	u.since = append(u.since, *ev)
	return r.run.Step(ev)
}

// unread takes back an entry that was taken before its turn.
func (r *Replay) unread() {
	u := &r.undo
	if u.next == 0 {
		return
	}
	u.next, u.found, u.since = 0, nil, u.since[:len(u.since)-1]
	r.run = stepped(u.mid, u.since[u.at:])
}

// stepped goes on from where a runner stands, which stays there, with events.
func stepped(from *block.Runner, events []block.Event) *block.Runner {
	run := from.Fork()
	for i := range events {
		run.Step(&events[i])
	}
	return run
}

// minute looks whether the first of those held is against the rules where it stands,
// with others of the same minute below it: there the order on paper proves little, and
// they are read in one in which nothing dangerous is found and less than on paper, if
// there is one. What was found as they stand is on record, and answered by the entry
// that is read before its place.
func (r *Replay) minute() {
	o := &r.order
	h := o.list[0]
	if h.judged || h.how != inOrder || len(o.list) < 2 || o.list[1].at != h.at {
		return
	}
	h.judged = true
	if r.regular(h) {
		return
	}
	n := 1
	for n < len(o.list) && n < minuteMost && o.list[n].at == h.at && o.list[n].how == inOrder {
		n++
	}
	s := reordering{group: o.list[:n:n], beyond: o.list[n:min(n+minuteBeyond, len(o.list))], above: each.Of(r.run.Look().Open, func(f *block.Finding) block.Finding { return *f })}
	if from := h.at - h.shift; len(s.beyond) < minuteBeyond && (o.open == 0 || from < o.open) {
		o.open = from
	}
	s.least = s.weighed(r.run.Fork(), s.group, s.above)
	s.tried = 0
	s.search(r.run.Fork(), nil, s.above)
	for _, g := range s.group {
		g.judged = true
	}
	if s.best == nil {
		return
	}
	copy(o.list, s.best)
	for i, g := range s.best {
		g.early = g.early || slices.ContainsFunc(s.best[i:], func(k *held) bool { return k.e.Seq < g.e.Seq })
	}
}

// regular says whether nothing is found of an entry that is read next. It has then been
// taken, where the book is read in one way only.
func (r *Replay) regular(h *held) bool {
	if len(r.branches) > 0 || len(h.e.Before) > 0 || h.early {
		return !wrong(r.run.Fork().Step(&h.e.Event), h)
	}
	found := r.step(&h.e.Event)
	r.undo.next, r.undo.found = h.e.Event.Seq, found
	if !wrong(found, h) {
		return true
	}
	r.unread()
	return false
}

// wrong says whether something was found of an entry itself: what only its time brought
// to light of others says nothing of its place, and the desk does not look there either.
func wrong(found []block.Finding, of *held) bool {
	return slices.ContainsFunc(found, func(f block.Finding) bool { return f.Severity > rulebook.Advice && f.Seq == of.e.Event.Seq })
}

// reordering looks for the order of the entries of a minute, with no danger in it, that
// breeds least; of those alike for that nearest to the paper. What stands of the entries above
// is weighed with it: in one order they show that it stands no more, and not in another.
type reordering struct {
	group, beyond []*held
	above         []block.Finding
	least, tried  int
	best          []*held
}

// weighed goes on from a state with entries and those beyond, and weighs what is found.
func (s *reordering) weighed(run *block.Runner, with []*held, found []block.Finding) int {
	p := option{found: slices.Clone(found)}
	for _, list := range [...][]*held{with, s.beyond} {
		for _, h := range list {
			s.tried++
			p.step(run, h)
		}
	}
	return p.worse()
}

// search tries each of the entries not yet taken as the next.
func (s *reordering) search(run *block.Runner, taken []*held, found []block.Finding) {
	if len(taken) == len(s.group) {
		if n := s.weighed(run, nil, found); n < s.least {
			s.least, s.best = n, slices.Clone(taken)
		}
		return
	}
	for _, h := range s.group {
		waits := func(g *held) bool { return !slices.Contains(taken, g) && h.answers(g) }
		if slices.Contains(taken, h) || slices.ContainsFunc(s.group, waits) {
			continue
		}
		if s.tried++; s.tried > minuteSteps || s.least == 0 {
			return
		}
		p, next := option{found: slices.Clone(found)}, run.Fork()
		p.step(next, h)
		if p.worse() < s.least && !slices.ContainsFunc(p.found, s.dangerous) {
			s.search(next, append(slices.Clip(taken), h), p.found)
		}
	}
}

// dangerous says whether a finding is a danger that an entry of the minute is.
func (s *reordering) dangerous(f block.Finding) bool {
	return f.Severity == rulebook.Danger && !has(s.above, &f)
}

// answers says whether an entry begins with the acknowledgement of the signal with which
// one above it ends: read the other way about, each would be the other box's.
func (h *held) answers(g *held) bool {
	a, b := g.e.Event.Bells, h.e.Event.Bells
	if len(a) == 0 || len(b) == 0 || g.e.Seq > h.e.Seq || g.e.Event.Section != h.e.Event.Section {
		return false
	}
	last, given := a[len(a)-1], len(a) == 1 || a[len(a)-2].Code != a[len(a)-1].Code
	return given && b[0].Code == last.Code && b[0].Sent != last.Sent
}
