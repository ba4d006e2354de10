package block

import (
	"slices"

	"fairhand/block/rulebook"
)

// Misplaced is a bell that was against the rules where it is written, and would have been
// the regular next of one train with its arrows turned, or at another box. It is found, and
// taken as of that train; and answered when the book shows that nothing else was given for
// it. Should the same be booked of that train again, they were two, and the danger stands.
type Misplaced struct {
	Act   Act
	Line  int // on which it is taken to have been given
	Train int // that shows it: the one that entered, or that of which out of section is booked
	At    Time
	Found []Answer // the danger, and what was found of an offer with turned arrows
	Said  string
}

// misplaces are the acts of which that can be told, with the danger that it was found to be.
var misplaces = map[Act]rulebook.RuleID{ActEnter: rulebook.EnteredWithoutAcceptance, ActOut: rulebook.OutOfSectionTrainNotArrived}

// misplaced takes an act that was found to be a danger as the only one like it that is
// awaited with the arrows turned, or with another box; false where there is none.
func (d *action) misplaced() bool {
	i := slices.IndexFunc(d.found, func(f Finding) bool { return f.Rule == misplaces[d.act] && f.Seq == d.e.Seq })
	if i < 0 || d.act == ActEnter && d.train != nil && d.train.Name != d.e.Train || d.act == ActOut && (d.train == nil || d.train.leg(d.dir).Accepted == 0) {
		return false
	}
	var twin action
	n := 0
	for l, r := range d.b.lines {
		for _, dir := range [...]Dir{Inward, Outward} {
			turned := dir != d.dir
			if turned != (r.section == d.ref().section) || d.act == ActOut && !(turned && l != d.line) {
				continue // an out of section at the wrong box is of the wrong train as well
			}
			k := action{step: d.step, act: d.act, line: l, dir: dir, mine: d.mine != turned}
			if k.train = k.awaits(); k.train != nil {
				twin, n = k, n+1
			}
		}
	}
	if n != 1 {
		return false
	}
	said := d.act.String() + " is written against " + d.section().Neighbour + ", and was of "
	if twin.ref().section == d.ref().section {
		said = d.act.String() + " is written with its arrows turned: it was of "
	}
	m := Misplaced{Act: d.act, Line: twin.line, Train: twin.train.ID, At: d.e.At, Found: []Answer{*d.found[i].answer()}, Said: said + twin.train.Label(d.b)}
	if d.act == ActOut {
		m.Train = d.train.ID
	}
	d.found[i].Text += "; or of " + twin.train.Label(d.b) + ", " + twin.section().Neighbour
	if twin.train.neverHere() {
		twin = *d.offerTurned(twin.train, &m)
	}
	d.s.Misplaced = append(slices.Clip(d.s.Misplaced), m)
	twin.train, twin.moved = d.touch(twin.train), true
	twin.do(d.act)
	return true
}

// neverHere says whether a train is known by no more than that it has line clear to leave.
func (t *Train) neverHere() bool {
	return t.In.Section < 0 && t.PlaceSeq == 0 && t.DepartedAt == 0 && t.Out.Entered == 0
}

// offerTurned takes the offer of a train that was never here, to the box from which one
// comes now, as made by that box.
func (d *action) offerTurned(t *Train, m *Misplaced) *action {
	l := t.Out
	m.Line, m.Said = d.line, "The offer is written with its arrows turned: it was of "+t.Label(d.b)+", which came"
	for i := range d.s.Open {
		if f := &d.s.Open[i]; f.Train == t.Label(d.b) && f.At >= l.Offered && f.Section == d.section().Neighbour {
			m.Found = append(m.Found, *f.answer())
		}
	}
	d.unsignal(t, Outward)
	d.asAccepted(d.s.Train(t.ID), &l, d.s.Lines[l.Line].PN)
	k := *d
	k.train = d.s.Train(t.ID)
	return &k
}

// awaits finds the train of which the act would be the regular next on the line.
func (d *action) awaits() *Train {
	way := d.section().Lines[d.ref().line].Way
	if way == Shut || way == In && d.dir == Outward || way == Out && d.dir == Inward || !d.section().Method.Is().Offers {
		return nil
	}
	t := d.s.occupied(d.line)
	if d.act == ActEnter && (t == nil || t.leg(d.dir).Entering != 0) {
		t = d.s.Train(d.ls().Train)
	}
	if t == nil || t.leg(d.dir).Line != d.line || d.e.Train != "" && d.e.Train != t.Name {
		return nil
	}
	l, how := t.leg(d.dir), d.section().Method.Is()
	due := false
	switch {
	case d.act == ActOut && d.dir == Inward:
		due = l.Entered != 0 && !l.Falsely && t.clearOfSection() && t.whole()
	case d.act == ActOut:
		due = l.Entered != 0 && d.e.At-l.Entered > d.least(l, t.Class)
	case t.neverHere() && d.dir == Outward:
		due = t.accepted(d.line) && (how.Entering || how.ByBell) && d.tokens().Out == 0
	case !how.Entering && !how.ByBell || how.Carries == rulebook.CarriesToken && d.dir == Outward && d.tokens().Out == 0:
	case l.Entered != 0:
		due = l.Booked
	default:
		due = t.accepted(d.line) && (d.dir == Inward || t.Where == Here || t.Where == PassedHere)
	}
	if !due {
		return nil
	}
	return t
}

// shown answers what was found of misplaced bells of which nothing more can be booked.
func (st *step) shown() {
	for _, m := range slices.Clone(st.s.Misplaced) {
		t := st.s.Train(m.Train)
		if t == nil {
			t = firstTrain(st.s.Closed, func(o *Train) bool { return o.ID == m.Train })
		}
		if t != nil && !m.shownBy(t) && st.e.At-m.At <= presumedFor {
			continue
		}
		if t != nil && m.shownBy(t) {
			st.answered(m.Found)
			st.found = slices.DeleteFunc(st.found, func(f Finding) bool { return m.Found[0].Of(&f) })
			f := st.note(rulebook.TrainNameDiffers, m.Found[0].Section, t.Label(st.b), "the bell where it belongs: correct that entry")
			f.Text, f.Rests = m.Said, []int64{m.Found[0].Seq, st.e.Seq}
		}
		st.endMisplaced(m.Found[0])
	}
}

// shownBy says whether the train is booked on without the bell of its own.
func (m *Misplaced) shownBy(t *Train) bool {
	l := &t.In
	if t.Out.Line == m.Line && m.Act == ActEnter && t.In.Line != m.Line {
		l = &t.Out
	}
	switch {
	case m.Act == ActOut:
		return t.In.OutOf != 0 && t.In.OutOf > m.At
	case l.Line != m.Line:
		return false
	case l == &t.Out:
		return l.Booked || l.OutOf != 0
	}
	return l.Arrived != 0 || l.OutOf != 0
}

// givenToo lets the danger of a bell stand that was taken as the one now given.
func (d *action) givenToo(a Act) {
	for _, m := range d.s.Misplaced {
		t := d.s.Train(m.Train)
		if m.Act != a || m.Line != d.line || m.Found[0].Seq == d.e.Seq {
			continue
		}
		if a == ActEnter && t != nil && (d.e.Train == "" || d.e.Train == t.Name) {
			d.touch(t).leg(d.dir).Entering = 0
		}
		d.endMisplaced(m.Found[0])
	}
}

func (st *step) endMisplaced(of Answer) {
	st.s.Misplaced = left(st.s.Misplaced, func(m *Misplaced) bool { return m.Found[0] == of })
}
