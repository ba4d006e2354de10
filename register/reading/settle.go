package reading

import (
	"slices"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// Open is the earliest moment from which the book may be read otherwise once
// entries follow the last: an entry out of order was tried with few after it. It is
// 0 when there is none.
func (r *Replay) Open() block.Time { return r.order.open }

// option is where an entry may be read, counted in those that wait.
type option struct {
	i     int
	at    block.Time
	how   standing
	later block.Time // than its own time, of slips read together; 0 for all of them at one
	found []block.Finding
}

// time is when an entry is read there.
func (p *option) time(h *held) block.Time {
	if p.later != 0 {
		return h.own + p.later
	}
	return p.at
}

// Limits of what is tried: places among entries of one time, and entries that are
// looked at beyond the last of the places.
const (
	triedTies   = 24
	triedBeyond = 60
)

// settle finds where the first of those held is read, with what was written with it.
func (r *Replay) settle() {
	o := &r.order
	if s := o.list[0].beside; s != nil && !s.tried {
		if s.tried = true; r.standsWhole(s.list) {
			return
		}
	}
	n := 1
	for n < len(o.list) && o.list[n].at == o.list[0].at && o.list[n].with(o.list[n-1]) {
		n++
	}
	all := slices.Clone(o.list[:n])
	h := all[0]
	o.list = o.list[n:]
	best := r.tried(h, all)
	for _, g := range all {
		g.tied, g.how, g.at = false, best.how, best.at
	}
	o.list = slices.Insert(o.list, best.i, all...)
}

// tried is the best of the places where entries written together may be read, of which h
// is the first.
func (r *Replay) tried(h *held, with []*held) *option {
	o := &r.order
	how := h.how
	if how == doubtful {
		how = atOwn
	}
	var own []option
	for i := range len(o.list) + 1 {
		if i > 0 && o.list[i-1].at > h.own || len(own) > triedTies {
			break
		}
		if i == len(o.list) || o.list[i].at >= h.own {
			own = append(own, option{i: i, at: h.own, how: how})
		}
	}
	all := own
	if how == atOwn {
		stands := option{at: h.at, how: inPlace}
		if h.early {
			stands.i, stands.at = o.placeOf(h)
		}
		all = append(all, stands)
		if i := stands.i; i < len(o.list) && o.list[i].at > stands.at {
			all = append(all, option{i: i, at: o.list[i].at, how: inPlace}) // as soon after, or as late, as its place allows
		}
	}
	beyond := 0
	for _, p := range all {
		beyond = max(beyond, p.i+triedBeyond)
	}
	if from := min(h.own, h.at) - h.shift; beyond > len(o.list) && (o.open == 0 || from < o.open) {
		o.open = from
	}
	for i := range all {
		r.try(with, &all[i], o.list[:min(beyond, len(o.list))])
	}
	own, stands := all[:len(own)], all[len(own):]
	slices.Reverse(own)
	best := least(own)
	if how == atOwn {
		if p := least(stands); best.beyond(p) || p.worse() < best.worse() {
			best = p
		}
	}
	return best
}

// beyond says whether reading an entry at p finds anything that q does not. A slip of an entry of
// which q finds something as grave is the same, told otherwise.
func (p *option) beyond(q *option) bool {
	return slices.ContainsFunc(p.found, func(f block.Finding) bool {
		told := f.Severity != rulebook.Danger && slices.ContainsFunc(q.found, func(g block.Finding) bool { return g.Seq == f.Seq && g.Severity >= f.Severity })
		return !told && !has(q.found, &f)
	})
}

// least is the reading with the least found, the first of those that are alike.
func least(of []option) *option {
	best := &of[0]
	for i := range of {
		if of[i].worse() < best.worse() {
			best = &of[i]
		}
	}
	return best
}

// worse grows with the findings of a reading.
func (p *option) worse() (n int) {
	for i := range p.found {
		n += int(p.found[i].Severity) + 1
	}
	return n
}

// try reads entries at a place among those that follow, on a copy of the state.
func (r *Replay) try(with []*held, p *option, among []*held) {
	run := r.run.Fork()
	for i := range len(among) + 1 {
		if i == p.i {
			for _, h := range with {
				here := *h
				here.at, here.how = p.time(h), p.how
				p.step(run, &here)
			}
		}
		if i < len(among) {
			p.step(run, among[i])
		}
	}
	p.found = append(p.found, run.Finish()...) // what is done at once, and has not been
}

// step reads an entry and keeps what is found and stands.
func (p *option) step(run *block.Runner, h *held) {
	ev := h.e.Event
	ev.At, ev.OutOfOrder = h.at-h.shift, h.how > moved
	p.take(run, &ev)
}

// take reads an event and keeps what is found and stands.
func (p *option) take(run *block.Runner, ev *block.Event) {
	for _, f := range run.Step(ev) {
		if f.Rule != rulebook.EntryOutOfOrder && f.Rule != rulebook.EntryLate {
			p.found = append(p.found, f)
		}
	}
	p.less(run)
}

// less lets go what the last event shows to stand no more.
func (p *option) less(run *block.Runner) {
	for _, a := range run.Look().Answers {
		p.found = slices.DeleteFunc(p.found, func(f block.Finding) bool { return a.Of(&f) })
	}
}
