package block

import (
	"cmp"
	"slices"

	"fairhand/block/rulebook"
)

// An entry that names the wrong box, or the wrong train of two that go different ways: a
// train comes from one box, and goes one way.

// goesHere takes a departure over a line without line clear, of a train that now goes over
// the one for which it has it: for that of the train whose line clear it used, if there is
// one, as none goes twice; else, when the bell follows, as for this box, whose name was
// miswritten.
func (d *action) goesHere(t *Train, bell bool) *Train {
	if t == nil || d.s.elsewhere(t) != d.line || bell && (t.Out.Entering != 0 || d.e.Train != "" && d.e.Train != t.Name || d.e.At-t.Out.Entered > d.b.Limit(rulebook.EnteringAfter)) {
		return t
	}
	was, o := t.Out, d.usedBy(t)
	switch {
	case bell:
		d.answered(d.foundOf(t, &was, nil))
		t = d.sentHere(t)
		d.wrongBox(t, d.b.Sections[was.Section].Neighbour, d.section().Neighbour)
		return t
	case o == nil:
		return t
	}
	d.answered(d.foundOf(t, &t.Out, nil))
	t = d.back(t)
	wrong := d.b.Sections[was.Section].Neighbour
	o = d.wentInstead(t, d.touch(o), was)
	d.begin(t)
	d.differs(wrong, o, "The departure for "+wrong+" is booked as of "+t.Name+", which goes to "+d.section().Neighbour+" now", ofTrain)
	d.ofLine(t)
	return t
}

// wentInstead has a train gone as another is booked to have, by its own offer. It gives the train.
func (d *action) wentInstead(t, o *Train, was Leg) *Train {
	d.handOver(&was, t.ID, o.ID)
	was.Offered, was.Accepted = o.Out.Offered, o.Out.Offered
	o.Out, o.Where, o.Place, o.DepartedAt = was, Away, "", was.Entered
	return o
}

// sentHere gives a train that is booked as gone elsewhere the line clear that it has here. The
// train whose line clear it used there has that yet.
func (d *action) sentHere(t *Train) *Train {
	was, o := t.Out, d.usedBy(t)
	t = d.back(t)
	d.notOverdue(was.Section, t)
	d.strike("", func(p *Pending) bool { return p.Train == t.ID && p.Section == was.Section }, false)
	d.begin(t).Booked = true
	if o != nil {
		o = d.touch(o)
		o.Out.Accepted = o.Out.Offered
	}
	d.standsAgain(&was)
	d.settle(was.Line)
	d.ofLine(t)
	return t
}

// ofLine gives the train the line clear that the line still has for it.
func (d *action) ofLine(t *Train) {
	l, ls := &t.Out, d.ls()
	l.Offered, l.Accepted, l.Restricted = ls.Since, ls.Since, ls.Phase == RestrictedLC
}

// wentElsewhere takes a departure on the line clear of the train that now goes over the line
// itself as for the box from which its own train has line clear.
func (st *step) wentElsewhere(o *Train, line int) {
	t := st.s.occupied(line)
	if t == nil || t == o || t.Out.Line != line || o.Out.Line != line {
		return
	}
	to := st.s.elsewhere(t)
	if to < 0 || st.online(line).usedBy(t) != o {
		return
	}
	e, told := st.e, *st.e
	told.Train, told.Section, told.At = t.Name, st.neighbourOn(to), t.Out.Entered
	d := st.begin(to, Outward, true)
	d.train = d.mayGoHere(t, "it has line clear from")
	st.e = &told
	d.do(ActDepart)
	st.e = e
}

// nobodysLine gives line clear that is of a train nobody named, and of which nothing else is
// booked, or which comes from that other box itself, to the only one just booked as gone for
// another box with none, whose bell follows here.
func (d *action) nobodysLine() {
	o := d.s.Train(d.ls().Train)
	if d.e.Train != "" || o == nil || o.Name != "" || !o.accepted(d.line) {
		return
	}
	t := onlyTrain(d.s.Trains, func(t *Train) bool {
		l := &t.Out
		if t.Name == "" || t.Returned || !l.open() || l.Line == d.line || !l.Booked || l.Accepted != 0 || l.Entering != 0 {
			return false
		}
		return d.e.At-l.Entered <= d.b.Limit(rulebook.EnteringAfter) && len(d.foundOf(t, l, nil)) > 0 // of one that shunts there is nothing
	})
	comes := t != nil && o.In.Section == t.Out.Section && o.In.inSection() && o.unseen() && (t.In.Section < 0 || t.In.Guessed)
	if t == nil || !o.neverHere() && !comes {
		return
	}
	d.handOver(&o.Out, o.ID, t.ID)
	d.touch(o).Out = noLeg
	if comes {
		t = d.exchange(t, o, Inward)
	}
	d.dropEmpty(o.ID)
	d.mayGoHere(t, "train entering section was sent to")
}

// mayGoHere takes a departure as for this box, whose name may be miswritten. That it went here
// is shown when the train is out of section; until then what was found stands.
func (d *action) mayGoHere(t *Train, shown string) *Train {
	list, wrong := d.foundOf(t, &t.Out, nil), d.b.Sections[t.Out.Section].Neighbour
	t = d.sentHere(t)
	if len(list) > 0 {
		d.s.Misplaced = append(slices.Clip(d.s.Misplaced), Misplaced{Act: ActDepart, Offer: true, Line: d.line, Was: d.line, Train: t.ID, At: d.e.At, Found: list,
			Said: words("The departure is booked for "+wrong+", and "+shown+" "+d.section().Neighbour, "", t.Label(d.b))})
	}
	return t
}

// movedAs takes the departure or passing of a train that cannot have gone, on the line clear
// of another, as of that other when train entering section is sent for it by name: of one that
// nothing else in the book tells of, or that has gone elsewhere. The name is miswritten.
func (d *action) movedAs() {
	t, o := d.s.occupied(d.line), d.s.TrainNamed(d.e.Train)
	if t == nil || o == nil || t == o || t.Out.Line != d.line || !t.Out.Booked || t.Out.Entering != 0 || d.e.At-t.Out.Entered > d.b.Limit(rulebook.EnteringAfter) {
		return
	}
	gone := len(t.Earlier) > 0 && t.Earlier[len(t.Earlier)-1].open() && t.Earlier[len(t.Earlier)-1].Entering != 0 && o.stillHere()
	fresh := t.In.Section < 0 && t.Opened == t.Out.Seq && o.Where == Approaching
	used := o.Out.Line == d.line && o.Out.offeredOnly()
	if !gone && !fresh || !used {
		return
	}
	was, at := t.Out, *t
	d.answered(d.foundOf(t, &was, nil))
	d.endDoubts(func(k *Doubt) bool { return k.Train == t.ID && k.Line == d.line })
	t, o = d.touch(t), d.touch(o)
	if !o.clearOfSection() && o.In.open() {
		o.In.Arrived = was.Entered
	}
	if at.Proof != ProofNone && at.ProofSeq == was.Seq {
		o.Proof, o.ProofAt, o.ProofSeq = at.Proof, at.ProofAt, at.ProofSeq
	}
	d.wentInstead(t, o, was)
	if t.Out = noLeg; gone {
		k := len(t.Earlier) - 1
		t.Out, t.Earlier = t.Earlier[k], t.Earlier[:k:k]
		t.Where, t.DepartedAt = Away, t.Out.Entered
	} else {
		d.close(t)
	}
	d.differs(d.section().Neighbour, o, "The departure for "+d.section().Neighbour+" is booked as of "+t.Name, ofTrain)
	d.perhapsTwo(rulebook.WrongTrainEntered, o.Name, d.found[len(d.found)-1], signalledFor+o.Name)
}

// standsAgain takes as in their section yet those that stood aside for a train that did not
// go there.
func (d *action) standsAgain(l *Leg) {
	for _, o := range slices.Clone(d.s.Doubts) {
		t := d.s.Train(o.Train)
		if o.Line != l.Line || o.Seq != l.Seq || t == nil || !t.aside(o.Line) {
			continue
		}
		t = d.touch(t)
		for _, k := range [...]*Leg{&t.In, &t.Out} {
			k.Aside = k.Aside && k.Line != o.Line
		}
		d.sure(o.Line, o.Train)
	}
}

// differs says that an entry names another train, or another box, than the one it is of.
func (st *step) differs(section string, t *Train, text, expected string) {
	st.note(rulebook.TrainNameDiffers, section, t.Label(st.b), expected).Text = words(text, "", t.Label(st.b))
}

const ofTrain = "the name of the train that it is of"

// back takes back the departure on which a train is booked as gone.
func (d *action) back(t *Train) *Train {
	was := t.Out
	d.endDoubts(func(o *Doubt) bool { return o.Train == t.ID && o.Line == was.Line })
	t = d.touch(t)
	for _, e := range d.s.Trains { // with it the engines that assist it, which go where it goes
		if e.Helps == t.ID && e.Where == Away && e.Out.Line == was.Line && e.Out.Seq == was.Seq {
			e = d.touch(e)
			e.Out, e.Where, e.DepartedAt = noLeg, Here, 0
		}
	}
	t.Out, t.Where, t.DepartedAt = noLeg, Here, 0
	return t
}

// bellOf finds the train that a bell must be of which names one that is signalled elsewhere,
// and so cannot be meant: the one of which it is the next here, and which has gone if it is
// one that goes; or one that stands here yet. A movement that names another than the one accepted is believed.
func (d *action) bellOf(t *Train, a Act) *Train {
	if o := d.outOfOther(t, a); o != nil {
		d.differs(d.section().Neighbour, o, "Train out of section is booked of "+t.Name+", which has yet to enter", ofTrain)
		return o
	}
	yet := a == ActOut && d.dir == Outward && !d.mine && t.Where == Here && !t.Out.open() && !d.b.ByWord(d.ref().section) // it has not gone
	if a != ActEnter && a != ActOut || t.on(d.line) || t.Where != Away && t.Where > Approaching && !yet {
		return t
	}
	o := d.awaits(false)
	if o == nil || o.Name == "" || o.leg(d.dir).Assumed || a == ActEnter && d.dir == Outward && !o.Out.Booked {
		return t
	}
	if a == ActOut && d.fitsElsewhere(t) {
		d.differs(d.section().Neighbour, t, "Train out of section is booked of a train that is not in this section", "its arrows and its box looked at: out of section of "+t.Name+" is due elsewhere")
		return t
	}
	d.differs(d.section().Neighbour, o, "The bell is booked as of "+t.Name+", which "+cmp.Or(So(yet, "stands here"), "is signalled elsewhere"), ofTrain)
	return o
}

// fitsElsewhere says whether out of section is due of a train on another line, or for the
// other box: its name is right then, and the arrows or the box are not.
func (d *action) fitsElsewhere(t *Train) bool {
	for l := range d.b.lines {
		for _, dir := range [...]Dir{Inward, Outward} {
			k := action{step: d.step, act: ActOut, line: l, dir: dir}
			if (l != d.line || dir != d.dir) && k.awaits(true) == t {
				return true
			}
		}
	}
	return false
}

// usedBy finds the train whose line clear one that is gone without has used, as
// lineClearGone left it.
func (d *action) usedBy(t *Train) *Train {
	return firstTrain(d.s.Trains, func(o *Train) bool {
		l := &o.Out
		return o.ID != t.ID && l.Line == t.Out.Line && l.offeredOnly() && o.stillHere()
	})
}

// passesOn finds the train meant where one that passes, or is offered on, would go back to
// the box it comes from: the only one that comes the other way, and has line clear to it or
// may be offered to it. A train that runs through goes on the way it came; and one offered
// on has line clear that way.
func (st *step) passesOn(t *Train, to int, offered func(*Train) bool) *Train {
	switch {
	case t == nil || to < 0 || t.In.Section != to || t.Returned:
		return nil
	case offered != nil && (t.clearOfSection() || t.toGo(to)):
		return nil
	case t.clearOfSection() && (t.Where != Away || t.Out.Section == to):
		return nil
	}
	what, may := "The train that passed for ", func(o *Train) bool { return o.toGo(to) }
	if offered != nil {
		what, may = "The train offered to ", offered
	}
	found := onlyTrain(st.s.Trains, func(o *Train) bool {
		l := &o.In
		return o != t && l.inSection() && l.Arrived == 0 && l.Section != to && may(o)
	})
	if found != nil {
		st.differs(st.e.Section, found, what+st.e.Section+" is booked as "+t.Name+", which came from there", ofTrain)
	}
	return found
}

// wrongBox says that a departure is booked for another box than the train went to.
func (st *step) wrongBox(t *Train, booked, goes string) {
	st.differs(booked, t, "The departure is booked for "+booked+", and train entering section was sent to "+goes, "the box it goes to, "+goes)
}

// goneElsewhere gives the line on which a train went by its bell, where its departure,
// not booked yet, names a box that has not accepted it: the name is miswritten. So it is of one
// that goes without a bell and is described to another box, where it comes from the one named.
func (st *step) goneElsewhere(t *Train, line int) int {
	l, p := &t.Out, st.s.Lines[line].Phase
	if t.Name == "" || t.Returned || !l.open() || l.Line == line || l.Booked || l.Assumed || p.lineClear() {
		return line
	}
	if i := st.b.lines[line].section; l.Entering == 0 && l.Offered != 0 && st.b.Sections[l.Section].Method.Is().Described && t.In.Section == i && !st.b.Sections[i].Method.Is().Single {
		st.differs(st.neighbourOn(line), t, "The departure is booked for "+st.neighbourOn(line)+", from which it comes, and it is described to "+st.b.Sections[l.Section].Neighbour, "the box it goes to, "+st.b.Sections[l.Section].Neighbour)
		return l.Line
	}
	if l.Entering == 0 {
		return line
	}
	st.wrongBox(t, st.neighbourOn(line), st.b.Sections[l.Section].Neighbour)
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
		return o.Train == t.ID && o.Phase.lineClear()
	})
}

// offeredBack gives line clear just given for a train back to the box it came from, and that is
// offered the way it goes now, to the one that stands here to go there, if there is one: a
// train goes one way. It gives the train back, as it then is.
func (d *action) offeredBack(t *Train) *Train {
	if t == nil || t.Out.Section < 0 || t.Out.Section != t.In.Section || t.Out.Section == d.ref().section || !t.accepted(t.Out.Line) || d.e.At-t.Out.Offered > d.b.Limit(rulebook.LateAfter) {
		return t
	}
	if found := onlyTrain(d.s.Trains, func(o *Train) bool {
		return o != t && o.Name != "" && o.Where == Here && o.In.Section >= 0 && o.In.Section != t.Out.Section && !o.Out.open() && o.Code == t.Code
	}); found != nil {
		box := d.b.Sections[t.Out.Section].Neighbour
		found = d.exchange(found, t, Outward)
		d.differs(box, found, "The train offered to "+box+" is booked as "+t.Name+", which came from there", ofTrain)
		t = d.s.Train(t.ID)
	}
	return t
}

// cameAs takes a train that came from a box with nothing signalled, and of which nothing else
// is booked, as the one that went there and is now given out of section by its name, as back.
// Should the first go on by its own name, they were two.
func (d *action) cameAs() {
	o := d.s.TrainNamed(d.e.Train)
	if o == nil || o.Name != d.e.Train || o.Where != Away || o.Returned || o.Out.Line != d.line || !o.Out.open() {
		return
	}
	t := onlyTrain(d.s.Trains, func(t *Train) bool {
		return t != o && t.Where == Here && t.In.Section == d.ref().section && t.In.Accepted == 0 && t.Opened == t.In.Seq && t.Opened == t.PlaceSeq && !t.Out.open() && d.e.At-t.PlaceAt <= d.b.Limit(rulebook.LateAfter)
	})
	if t == nil {
		return
	}
	d.answered(d.foundOf(t, &t.In, nil))
	o, line := d.touch(o), t.In.Line
	o.Where, o.Place, o.PlaceAt, o.PlaceSeq, o.Returned, o.Out.Shown = Here, t.Place, t.PlaceAt, t.PlaceSeq, true, t.PlaceAt
	o.Proof, o.ProofAt, o.ProofSeq = t.Proof, t.ProofAt, t.ProofSeq
	d.close(t)
	d.settle(line)
	d.settle(d.line)
	box := d.section().Neighbour
	d.differs(box, o, "The train that came from "+box+" is booked as "+t.Name, ofTrain)
	d.perhapsTwo(rulebook.EnteredWithoutAcceptance, t.Name, d.found[len(d.found)-1], "the train offered and accepted before it came")
}

// exchanged takes a departure on the line clear of a train that went on that of the one now
// departing as regular, and so that one's, where each came from one of the two boxes: a train
// goes one way. Their names are exchanged in the departures.
func (st *step) exchanged(t *Train, line int) *Train {
	st.wentElsewhere(t, line)
	o, here := st.s.Train(st.s.Lines[line].Train), st.b.lines[line].section
	if o == nil || o == t || st.s.elsewhere(o) != line || t.Out.Line != o.Out.Line || st.online(t.Out.Line).usedBy(o) != t {
		return t
	}
	if t.In.Section != here || o.In.Section != o.Out.Section {
		return t // the one may have been sent before the other, and both the wrong way
	}
	st.answered(st.foundOf(o, &o.Out, nil))
	st.endDoubts(func(k *Doubt) bool { return k.Train == o.ID && k.Line == o.Out.Line })
	o, t = st.touch(o), st.touch(t)
	o.Out.Offered, o.Out.Accepted = t.Out.Offered, t.Out.Offered
	t.Out = noLeg
	d := st.begin(line, Outward, true)
	st.handOver(d.begin(t), o.ID, t.ID)
	d.ofLine(t)
	o = st.exchange(t, o, Outward)
	t = st.s.Train(d.ls().Train)
	o.DepartedAt, o.Place, t.DepartedAt = o.Out.Entered, "", 0
	box := d.section().Neighbour
	st.differs(box, t, "The train that departed for "+box+", and that for "+st.b.Sections[o.Out.Section].Neighbour+", are booked with their names exchanged", "each by its own name")
	return t
}
