package block

import (
	"slices"

	"fairhand/block/rulebook"
)

// A train of which the offer and the bell do not meet, and no more is known of it, came from one
// box: which of the two is written in the wrong place its next entries tell. It is taken to be
// where its bell is; and until it is shown, nobody may count on the line that its offer is of.

// cameThere takes back that the offer of a train is misplaced, and not its bell, where the
// train is then offered on to the box that the bell is written of, or to another than it would
// go to, or given out of section where the offer is, or its token put in there; or that the bell
// is, where a train that no entry names is given out of section, or its token put in, where that is.
func (d *action) cameThere(a Act) {
	d.wasThere(func(m *Misplaced, t *Train) bool {
		there := d.mine && d.line == m.Was
		if !m.Offer {
			return there && t.In.Line == m.Line && (a == ActOut || a == ActRestore) && d.s.occupied(d.line) == nil
		}
		token := a == ActRestore && t.In.Line == m.Line && t.clearOfSection() && d.inCharge() && d.lies(d.number) == TokenAway && d.s.occupied(d.line) == nil
		on := a == ActOffer && d.dir == Outward && (t.In.Line == m.Line && d.ref().section == t.In.Section && !t.clearOfSection() ||
			t.Out.Line == m.Line && d.ref().section != t.Out.Section) // one that goes there is not offered to another
		return on || (a == ActOut || token) && there
	})
}

// wasThere takes the train of the entry as where its offer has it, and its bell as misplaced,
// or the other way about: what was done there meanwhile stands.
func (st *step) wasThere(match func(*Misplaced, *Train) bool) {
	p := first(st.s.Misplaced, func(m *Misplaced) bool {
		t := st.s.Train(m.Train)
		return m.Told && t != nil && (t.Name == st.e.Train || st.e.Train == "" && (!m.Offer || st.e.Kind == TokenIn)) && t.on(m.Line) && match(m, t)
	})
	if p == nil {
		return
	}
	m, t, what := *p, st.s.Train(p.Train), "the offer"
	if m.Offer {
		what = ActEnter.String()
	}
	m.Said = misplacedWords(what, st.neighbourOn(m.Line), st.neighbourOn(m.Was), t.Label(st.b))
	if o := st.s.doubtOf(m.Line, t.ID, StepOut); o != nil { // what rests on its being there
		st.answered(slices.Clone(o.Found))
		st.sure(m.Line, t.ID)
	}
	t = st.putBack(&m, t)
	st.answered(m.Found[:1])
	st.endMisplaced(m.Found[0])
	m.tell(st, t)
}

// neighbourOn is the box at the other end of a line.
func (st *step) neighbourOn(line int) string {
	return st.b.Sections[st.b.lines[line].section].Neighbour
}

// putBack has a train where its offer is written, by the bell that it was given elsewhere.
func (st *step) putBack(m *Misplaced, t *Train) *Train {
	t = st.touch(t)
	from, turned := t.legOn(m.Line), st.b.lines[m.Line].section == st.b.lines[m.Was].section
	l, to := *from, &t.In
	*from = noLeg
	l.Line, l.Section = m.Was, st.b.lines[m.Was].section
	if turned == (from == &t.In) {
		to = &t.Out
	}
	if l.Aside = false; to == &t.In {
		l.HasToken = tokened(st.b.Sections[l.Section].Method.Is())
	}
	if turned {
		l.Arrived, t.DepartedAt = 0, 0
		if to == &t.Out {
			l.Arrived, t.DepartedAt = l.Entered, l.Entered
		}
	}
	*to = l
	st.replace(t)
	st.settle(m.Line)
	st.settle(m.Was)
	return t
}

// otherwise is the state before an entry with a train where it may be as well, of whose offer and
// bell one is written in the wrong place and it is not told which; nil where there is none.
func (st *step) otherwise() (r *Runner, of Answer) {
	m := first(st.s.Misplaced, func(m *Misplaced) bool {
		t := st.s.Train(m.Train)
		return m.Told && m.Offer && t != nil && t.Name != st.e.Train && t.on(m.Line)
	})
	if m == nil {
		return nil, Answer{}
	}
	r = NewRunner(st.base, st.kept)
	st.kept.gen++ // what it has in common with the other is changed in neither
	k := &r.st
	k.e, k.b = st.e, st.base.Worked(k.s)
	k.putBack(m, k.s.Train(m.Train))
	k.endMisplaced(m.Found[0])
	return r, m.Found[0]
}

// alsoThere finds the dangers of an entry that there are should a train be where it is not taken
// to be: until it is shown, nobody may count on the line that it may be on.
func (st *step) alsoThere(r *Runner, of Answer) {
	i := slices.IndexFunc(st.s.Misplaced, func(m Misplaced) bool { return m.Found[0] == of })
	if i < 0 {
		return
	}
	for _, f := range r.Step(st.e) {
		if f.Severity != rulebook.Danger || f.Seq != st.e.Seq || slices.ContainsFunc(st.found, func(g Finding) bool { return f.Same(&g) }) {
			continue
		}
		st.s.Misplaced = slices.Clone(st.s.Misplaced)
		m := &st.s.Misplaced[i]
		m.Against = append(slices.Clip(m.Against), *f.answer())
		st.found = append(st.found, f)
	}
}

// givenToo lets the danger of a bell stand that was taken as the one now given.
func (d *action) givenToo(a Act) {
	for _, m := range d.s.Misplaced {
		t := d.s.Train(m.Train)
		comes := m.Act == ActAccept && a == ActEnter && d.dir == Inward // on the line clear as it is written
		if a == ActOut && t != nil && t.leg(d.dir).Line == m.Line && t.leg(d.dir).open() {
			continue // over a single line, of the train that it was written of
		}
		if a == ActOut && m.ofTwo(d.line) && d.s.occupied(d.line) == nil {
			continue // of the train that was taken as out: bothGiven
		}
		if m.Told && t != nil && d.e.Train != "" && t.Name != "" && d.e.Train != t.Name {
			continue // of another
		}
		if m.Act != a && !comes || m.Line != d.line && (a != ActDraw || m.Was != d.line || d.ls().Phase.lineClear()) || // there it was asked anew since
			m.Found[0].Seq == d.e.Seq {
			continue
		}
		if a == ActEnter && !comes && !m.Told && t != nil && (d.e.Train == "" || d.e.Train == t.Name) {
			d.touch(t).leg(d.dir).Entering = 0
		}
		d.endMisplaced(m.Found[0])
	}
}

// bothGiven takes an out of section that was read as with its arrows turned, of the train of which
// it now comes, as it is written: of a train that had come, or was given out too soon.
func (d *action) bothGiven() bool {
	m := first(d.s.Misplaced, func(m *Misplaced) bool { return m.ofTwo(d.line) })
	if m == nil || d.foundNow(rulebook.OutOfSectionNoTrain) < 0 {
		return false
	}
	of := *m
	t := d.s.Train(of.Train)
	if t == nil || t.In.Line != of.Was || !t.In.inSection() {
		return false
	}
	d.unfind(rulebook.OutOfSectionNoTrain)
	d.endMisplaced(of.Found[0])
	t = d.touch(t)
	t.In.Falsely, t.In.Given = true, of.At
	d.doubt(of.Was, t, StepArrival)
	for i := range d.ownDoubts() {
		if o := &d.s.Doubts[i]; o.Line == of.Was && o.Train == t.ID && o.Step == StepArrival {
			o.Found = append(slices.Clone(of.Found), o.Found...)
		}
	}
	d.settle(of.Was)
	return true
}

// ofTwo says whether it is an out of section, taken for one over this line and written of another.
func (m *Misplaced) ofTwo(line int) bool {
	return m.Act == ActOut && !m.Beats && m.Line == line && m.Was != line
}
