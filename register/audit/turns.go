package audit

import (
	"cmp"
	"slices"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/each"
	"fairhand/register/reading"
)

// duty is a turn of duty being gathered.
type duty struct {
	Turn
	id    int64 // the entry that began it
	first int64 // its first entry of the days asked for, by number
	ended bool
	last  block.Time
	kept  bool    // counted as over
	aside bool    // where a copied book begins or ends, with nobody on duty: nobody's turn
	over  []*duty // the turns that its signing on ended
	by    *personTally
	tally
}

// found counts a finding about an entry of the turn.
func (d *duty) found(f *block.Finding, explained bool, limit int) {
	r := d.tally.found(f, explained)
	list := &r.told
	if !explained {
		list = &r.left
	}
	if len(*list) < limit {
		*list = append(*list, f.Seq)
	}
}

func (d *duty) report(limit int) Turn {
	t := d.Turn
	t.OpenRows, t.Severities = orEmpty(t.OpenRows), d.sum.report()
	t.Rules = each.Of(d.since(), func(c SinceRule) TurnRule {
		r := d.tally.rules[rulebook.RuleID(c.Rule)]
		all := append(slices.Clone(r.left), r.told...)
		return TurnRule{c, all[:min(limit, len(all))]}
	})
	return t
}

// turns follows who is on duty.
type turns struct {
	sub        subject
	limit      int
	details    int
	person     string // whose turns are told; empty for all
	each       func(id int64, t *Turn)
	open       []*duty // signed on, the last of them writes
	nobody     *duty   // entries with nobody signed on
	marks      []mark  // where the writer changed, oldest first
	done       []*duty
	count      int64
	withoutOn  int64
	withoutOff int64
}

// mark says whose turn the entries from a number on belong to.
type mark struct {
	seq  int64
	duty *duty
}

// lately is how many turns that are over may have findings that are still held back.
const lately = 8

// maxMarks is how many changes of turn are remembered for findings about
// earlier entries; what falls due does so within hours.
const maxMarks = 64

func newTurns(sub subject, opt Options, s *block.State) turns {
	t := turns{sub: sub, limit: opt.Turns, details: opt.Details, person: opt.Filter.Person, each: opt.Each.Turn}
	for _, o := range s.OnDuty {
		t.open = append(t.open, &duty{id: o.Seq, Turn: Turn{Name: o.Name, From: sub.moment(o.At), OnEntry: o.Seq}})
	}
	return t
}

// assign gives an entry to the turn in which it is written. It wants the entries
// in the order of the book, each before take does.
func (t *turns) assign(e *reading.Entry) {
	var d *duty
	switch e.Event.Kind {
	case block.DutyOn:
		d = t.signOn(e)
	case block.DutyOff:
		d = t.signOff(e)
	default:
		d = t.writer(e)
	}
	if n := len(t.marks); n == 0 || t.marks[n-1].duty != d {
		if n == maxMarks {
			t.marks = slices.Delete(t.marks, 0, 1)
		}
		t.marks = append(t.marks, mark{e.Event.Seq, d})
	}
	e.Mark = d
}

// take counts an entry for the turn to which it was assigned; st is the state after
// it.
func (t *turns) take(e *reading.Entry, in bool, st *block.State) *duty {
	d := e.Mark.(*duty)
	switch e.Event.Kind {
	case block.DutyOn:
		for _, o := range d.over {
			o.ended = true
			t.finish(o)
		}
	case block.DutyOff:
		d.ended = true
	}
	if !in {
		return d
	}
	if e.Event.Kind == block.DutyOff {
		d.OffEntry = e.Event.Seq
		d.OpenRows = openRows(t.sub.box, st, t.details)
	}
	if d.first == 0 || e.Event.Seq < d.first {
		d.first = e.Event.Seq
	}
	d.Entries++
	if at := e.Event.At; d.Times == 0 || at != d.last {
		d.last = at
		d.Times++
		if at%(5*block.Minute) == 0 {
			d.Fives++
		}
	}
	if !d.ended || e.Event.Kind == block.DutyOff {
		d.To = t.sub.moment(later(d.To.Time, block.Time(e.At)))
	}
	switch e.Event.Kind {
	case block.Correct:
		d.Corrected++
	case block.ClockRight, block.ClockSlow, block.ClockFast:
		d.Clock++
	}
	if d.ended {
		t.finish(d)
	}
	return d
}

// writer is who writes an entry: the last to have signed on.
func (t *turns) writer(e *reading.Entry) *duty {
	if n := len(t.open); n > 0 {
		return t.open[n-1]
	}
	if k := e.Event.Kind; k == block.Transcribed || k == block.Transcript {
		return &duty{id: e.Event.Seq, aside: true, kept: true}
	}
	if t.nobody == nil {
		t.nobody = &duty{id: e.Event.Seq, Turn: Turn{From: t.sub.moment(block.Time(e.At))}}
	}
	return t.nobody
}

func (t *turns) signOn(e *reading.Entry) *duty {
	name := e.Event.Subject
	d := &duty{id: e.Event.Seq, Turn: Turn{Name: name, Under: e.Event.Party, From: t.sub.moment(e.Event.At), OnEntry: e.Event.Seq}}
	if t.nobody != nil {
		d.over, t.nobody = append(d.over, t.nobody), nil
	}
	if i := slices.IndexFunc(t.open, func(d *duty) bool { return d.Name == name }); i >= 0 {
		t.open[i].Lapsed = true
		d.over = append(d.over, t.open[i])
		t.open = slices.Delete(t.open, i, i+1)
	}
	t.open = append(t.open, d)
	return d
}

func (t *turns) signOff(e *reading.Entry) *duty {
	name := e.Event.Subject
	i := slices.IndexFunc(t.open, func(d *duty) bool { return d.Name == name })
	var d *duty
	switch {
	case i >= 0:
		d = t.open[i]
		t.open = slices.Delete(t.open, i, i+1)
	case t.nobody != nil:
		d, t.nobody = t.nobody, nil
		d.Name = name
	default:
		d = &duty{id: e.Event.Seq, Turn: Turn{Name: name, From: t.sub.moment(e.Event.At)}}
	}
	return d
}

// finish counts a turn that is over and keeps it, or lets the least of many go.
func (t *turns) finish(d *duty) {
	if d.Entries == 0 || d.kept {
		return
	}
	d.kept = true
	if d.OnEntry == 0 {
		t.withoutOn++
	}
	if d.Lapsed {
		t.withoutOff++
	}
	if t.each != nil {
		t.each(d.id, &d.Turn)
	}
	if t.person != "" && t.person != d.Name {
		return
	}
	t.count++
	t.done = append(t.done, d)
	if len(t.done) >= 2*t.limit+lately {
		t.cut()
	}
}

// cut keeps the turns with most to explain.
func (t *turns) cut() {
	slices.SortStableFunc(t.done, func(a, b *duty) int {
		for s := range slices.Backward(a.sum[:]) {
			if c := cmp.Compare(b.sum[s][1], a.sum[s][1]); c != 0 {
				return c
			}
		}
		return cmp.Compare(b.sum[rulebook.Danger][0]+b.sum[rulebook.Irregular][0], a.sum[rulebook.Danger][0]+a.sum[rulebook.Irregular][0])
	})
	t.done = t.done[:min(t.limit, len(t.done))]
}

// of is the turn that an entry belongs to, as far back as is remembered.
func (t *turns) of(seq int64) *duty {
	for i := len(t.marks) - 1; i > 0; i-- {
		if t.marks[i].seq <= seq {
			return t.marks[i].duty
		}
	}
	return t.marks[0].duty
}

// end closes what is open after the last entry of the days asked for. Whoever
// writes is still at work; anyone else never signed off.
func (t *turns) end() {
	for i, d := range t.open {
		d.Lapsed = i < len(t.open)-1
		t.finish(d)
	}
	if t.nobody != nil {
		t.finish(t.nobody)
	}
}

func (t *turns) report() ([]Turn, int64) {
	if len(t.done) > t.limit {
		t.cut()
	}
	slices.SortStableFunc(t.done, func(a, b *duty) int { return cmp.Compare(a.first, b.first) })
	out := each.Of(t.done, func(d *duty) Turn { return d.report(t.details) })
	return out, t.count
}
