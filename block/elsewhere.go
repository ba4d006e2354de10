package block

import (
	"slices"

	"fairhand/block/rulebook"
)

// An entry that names the wrong box, or the wrong train of two that go different ways, or
// has its arrows turned: a train comes from one box, and goes one way.

// otherBox takes a departure booked to a box that had not accepted the train, and that
// no bell followed, for one to the box that accepted it and now gets train entering
// section: its name was miswritten.
func (d *action) otherBox(a Act) {
	t := d.s.Train(d.ls().Train)
	if a != ActEnter || d.dir != Outward || t == nil || t.Out.Entering != 0 || d.s.elsewhere(t) != d.line || d.e.Train != "" && d.e.Train != t.Name || d.e.At-t.Out.Entered > d.b.Limit(rulebook.EnteringAfter) {
		return
	}
	was := t.Out
	t = d.hereAfterAll(t)
	d.notOverdue(was.Section, t)
	d.strike(func(p *Pending) bool { return p.Train == t.ID && p.Section == was.Section }, false)
	d.begin(t).Booked = true
	d.hasStill(t)
	d.settle(was.Line)
	d.wrongBox(t, d.b.Sections[was.Section].Neighbour, d.section().Neighbour)
}

// otherTrain takes a departure booked on another train's line clear for that of the
// other, when the train itself goes where it has line clear: none goes twice.
func (d *action) otherTrain(t *Train) *Train {
	was := t.Out
	if d.s.elsewhere(t) != d.line {
		return t
	}
	o := d.usedBy(t)
	if o == nil {
		return t
	}
	o = d.touch(o)
	t = d.hereAfterAll(t)
	d.handOver(&was, t.ID, o.ID)
	was.Offered, was.Accepted = o.Out.Offered, o.Out.Offered
	o.Out, o.Where, o.Place, o.DepartedAt = was, Away, "", was.Entered
	d.begin(t)
	d.hasStill(t)
	wrong := d.b.Sections[was.Section].Neighbour
	d.note(rulebook.TrainNameDiffers, wrong, o.Label(d.b), "the name of the train that went").Text =
		words("The departure for "+wrong+" is booked as of "+t.Name+", which goes to "+d.section().Neighbour+" now", "", o.Label(d.b))
	return t
}

// hereAfterAll takes back the departure on which a train is booked as gone, and what
// was found of it.
func (d *action) hereAfterAll(t *Train) *Train {
	was := t.Out
	var list []Answer
	for i := range d.s.Open {
		if f := &d.s.Open[i]; t.ofDeparture(d.b, f) {
			list = append(list, *f.answer())
		}
	}
	d.answered(list)
	d.endDoubts(func(o *Doubt) bool { return o.Train == t.ID && o.Line == was.Line })
	t = d.touch(t)
	t.Out, t.Where, t.DepartedAt = noLeg, Here, 0
	return t
}

// ofDeparture says whether a finding is of the departure on which the train is booked as gone.
func (t *Train) ofDeparture(b *Box, f *Finding) bool {
	return f.At >= t.Out.Entered && f.Train == t.Label(b) && f.Section == b.Sections[t.Out.Section].Neighbour
}

// signalledAlone takes a bell that names the train accepted, where another is booked as
// departed on its line clear, for that of the one booked: whose name is wrong is not told yet.
func (d *action) signalledAlone(t *Train) *Train {
	o := d.s.occupied(d.line)
	if d.dir != Outward || o == nil || o.Out.Entering != 0 || d.s.elsewhere(o) < 0 || d.usedBy(o) != t {
		return t
	}
	return o
}

// usedBy finds the train whose line clear one that is gone without has used, as
// lineClearGone left it.
func (d *action) usedBy(t *Train) *Train {
	return firstTrain(d.s.Trains, func(o *Train) bool {
		l := &o.Out
		return o.ID != t.ID && l.Line == t.Out.Line && l.open() && l.standing() == 0 && l.Offered != 0 && (o.Where == Here || o.Where == PassedHere)
	})
}

// hasStill gives a train the line clear that the line still has for it.
func (d *action) hasStill(t *Train) {
	l, ls := &t.Out, d.ls()
	l.Offered, l.Accepted, l.Restricted = ls.Since, ls.Since, ls.Phase == RestrictedLC
}

// passesOn finds the train that passes for a box where the one named comes from there: the
// only one that comes the other way and has line clear to it. A train that runs through goes
// on the way it came.
func (st *step) passesOn(t *Train) *Train {
	to := st.b.SectionIndex(st.e.Section)
	if st.e.Kind != TrainPassed || t == nil || to < 0 || t.In.Section != to || t.Returned || t.clearOfSection() && (t.Where != Away || t.Out.Section == to) {
		return nil
	}
	var found *Train
	for _, o := range st.s.Trains {
		if l := &o.In; o == t || !l.open() || l.Entered == 0 || l.Arrived != 0 || l.Section == to || !o.toGo(to) {
			continue
		}
		if found != nil {
			return nil
		}
		found = o
	}
	if found != nil {
		st.note(rulebook.TrainNameDiffers, st.e.Section, found.Label(st.b), "the name of the train that passed").Text =
			words("The train that passed for "+st.e.Section+" is booked as "+t.Name+", which came from there", "", found.Label(st.b))
	}
	return found
}

// wrongBox says that a departure is booked for another box than the train went to.
func (st *step) wrongBox(t *Train, booked, goes string) {
	st.note(rulebook.TrainNameDiffers, booked, t.Label(st.b), "the box it goes to, "+goes).Text =
		words("The departure is booked for "+booked+", and train entering section was sent to "+goes, "", t.Label(st.b))
}

// goneElsewhere gives the line on which a train went by its bell, where its departure,
// not booked yet, names a box that has not accepted it: the name is miswritten.
func (st *step) goneElsewhere(t *Train, line int) int {
	l, p := &t.Out, st.s.Lines[line].Phase
	if t.Name == "" || t.Returned || !l.open() || l.Line == line || l.Entering == 0 || l.Booked || l.Assumed || p == Accepted || p == RestrictedLC {
		return line
	}
	st.wrongBox(t, st.b.Sections[st.b.lines[line].section].Neighbour, st.b.Sections[l.Section].Neighbour)
	return l.Line
}

// elsewhere finds the line for which a train has line clear that is booked as departed
// on another without it; -1 for none.
func (s *State) elsewhere(t *Train) int {
	l := &t.Out
	if t.Name == "" || t.Returned || !l.open() || !l.Booked || l.Accepted != 0 {
		return -1
	}
	return slices.IndexFunc(s.Lines, func(o *LineState) bool {
		return o.Train == t.ID && (o.Phase == Accepted || o.Phase == RestrictedLC)
	})
}

// acceptedElsewhere takes an offer and its acceptance as written against the wrong box, or
// with its arrows turned, where the train enters by the same name from another: one train
// comes from one box. It is found once, and line clear is taken as given on the line on
// which the train comes; what speaks against it there is found now. A train that has been
// here, or whose token was drawn, is where it was booked. Common practice of reading a book.
func (d *action) acceptedElsewhere() {
	if d.act != ActEnter || d.dir != Inward || d.e.Train == "" {
		return
	}
	t := d.s.TrainNamed(d.e.Train)
	if t == nil || t.PlaceSeq != 0 || t.DepartedAt != 0 || d.train != nil && d.train.ID != t.ID {
		return
	}
	dir := Inward
	if t.In.Section < 0 {
		dir = Outward // a train that was never here: the arrows are turned
	}
	l := *t.leg(dir)
	if l.Line < 0 || l.Line == d.line && dir == Inward || d.ls().Phase != Normal && l.Line != d.line || !t.accepted(l.Line) || dir == Outward && l.Section != d.ref().section || d.s.Tokens[l.Section].Out != 0 {
		return
	}
	d.unsignal(t, dir)
	d.asAccepted(d.s.Train(t.ID), &l, d.s.Lines[l.Line].PN)
	here := d.section().Neighbour
	said := "The train was booked as offered by " + d.b.Sections[l.Section].Neighbour + " and entered from " + here
	if dir == Outward {
		said = "The train was booked as offered to " + here + ", and it comes from there: the arrows of the offer are turned"
	}
	d.note(rulebook.TrainNameDiffers, here, t.Name, "the offer and its answer written as they were: correct that entry").Text = words(said, "", t.Name)
}

// unsignal ends what a train is signalled for in a direction, as if it had not been.
func (d *action) unsignal(t *Train, dir Dir) {
	t = d.touch(t)
	l := t.leg(dir)
	line := l.Line
	*l = noLeg
	if ls := d.editLine(line); ls.Train == t.ID {
		ls.Train = 0
	}
	d.settle(line)
}

// asAccepted gives the train line clear on this line, by the offer and answer of another leg.
func (d *action) asAccepted(t *Train, by *Leg, pn string) {
	t.Where = OfferedHere
	l := d.begin(t)
	l.Offered = by.Offered
	ls := d.editLine(d.line)
	ls.Phase, ls.Train, ls.Dir = Offered, t.ID, d.dir
	entry, told := d.e, *d.e
	told.PN = pn
	d.e = &told
	given := *d
	given.train, given.mine = t, true
	given.do(ActAccept)
	d.e, d.train = entry, given.train
	d.touch(given.train).leg(d.dir).Accepted = by.Accepted
}
