package block

import (
	"slices"

	"fairhand/block/rulebook"
)

// attribute tells which train an act concerns: the train named in the entry;
// else the one whose regular next step it is; else, of two that would fit, the
// first in order of arrival, with an advice that the name was assumed. It gives
// nil when the act opens a row of its own, or when no train is known.
func (d *action) attribute(a Act) *Train {
	d.act = a
	if a == ActEnter && d.dir == Outward {
		d.movedAs()
		d.nobodysLine()
		d.goesHere(d.s.Train(d.ls().Train), true)
	}
	if a == ActOut && d.forItsOwn() && d.e.Train != "" {
		d.cameAs()
	}
	if len(d.s.Misplaced) > 0 {
		d.givenToo(a)
		d.cameThere(a)
	}
	if a == ActOffer {
		d.drawnBack()
	}
	if d.e.Train != "" && (d.afterAll(a) != nil || d.outAside(a) != nil) {
		return d.s.TrainNamed(d.e.Train)
	}
	if d.e.Train != "" {
		return d.byName(a)
	}
	t := d.candidate(a)
	switch {
	case a != ActEnter:
	case d.dir == Outward:
		if t = d.couldGo(t); t == nil {
			t = d.passedOn()
		}
	case t == nil && d.ls().Phase == Normal:
		t = d.offeredOn()
	}
	if a == ActOut && d.mine {
		t = d.cleared(t)
	}
	return t
}

// byName finds the train of an act that names one: the one so named, another that alone it can
// be of, or one that is new here.
func (d *action) byName(a Act) *Train {
	if o := d.s.Train(d.ls().Train); a == ActAccept && o != nil && o.Name == "" && o.Opened == d.e.Seq {
		return o // offered in this entry, under the name of another
	}
	if a != ActOffer || d.dir == Outward {
		d.renamedBefore()
	}
	t := d.s.TrainNamed(d.e.Train)
	if a == ActOffer && d.dir == Outward {
		t = d.offeredBack(t)
		if o := d.passesOn(t, d.ref().section, func(o *Train) bool {
			return d.fits(a, o) && (t.toGo(-1) || d.described(o) && !d.section().Method.Is().Single)
		}); o != nil {
			return o
		}
	}
	switch {
	case a == ActOffer && d.comesFromThere(t):
		return nil
	case a == ActOffer && d.onItsWay(t):
		d.differs(d.section().Neighbour, t, "The train offered is booked as "+t.Name+", which is in another section", "the name of the train offered, or the box it was offered to")
		return d.newTrain("")
	}
	if t != nil {
		if o := d.bellOf(t, a); o != t {
			return o
		}
	}
	if t != nil && a == ActOffer && d.dir == Outward && t.Out.Assumed && t.Out.open() && t.Out.Line != d.line {
		t = d.touch(t)
		d.detach(t) // the offer of no name there was another's
	}
	if t != nil && !d.parted(t, d.again(t, a)) && !d.another(t, a) {
		if a != ActOffer && t.leg(d.dir).Line != d.line || !t.leg(d.dir).open() {
			t = d.claim(t, d.line, d.dir)
		}
		if a == ActEnter {
			t = d.signalledAs(t)
		}
		return t
	}
	return d.adopt(a)
}

// couldGo takes an offer and train entering section, neither with a name, as of another train
// than the one whose next step they might be, when that one has only just started to come.
func (d *action) couldGo(t *Train) *Train {
	if t == nil || !t.Out.Assumed || t.Where != Approaching || !t.In.inSection() || t.In.Arrived != 0 || !d.hardlyIn(t, &t.In) {
		return t
	}
	d.detach(d.touch(t))
	return d.candidate(ActEnter)
}

// passedOn finds the train of train entering section that names none, with another in the section
// for which it was sent: the one that has just passed here on its way there, and was not offered.
func (d *action) passedOn() *Train {
	in := d.s.occupied(d.line)
	if in == nil || in.Out.Entering == 0 || d.ls().Phase != InSection || d.ls().Dir != Outward {
		return nil
	}
	return onlyTrain(d.s.Trains, func(t *Train) bool {
		from := t.In.Section
		return t.Where == PassedHere && t.Out.Section < 0 && t.DepartedAt >= in.Out.Entering && d.e.At-t.DepartedAt <= d.b.Limit(rulebook.EnteringAfter) &&
			from >= 0 && from != d.ref().section && !d.sameSide(from)
	})
}

// offeredOn finds the train of train entering section that names none, with none accepted: the only
// one that has been offered on from here the way it comes, and has not been seen here.
func (d *action) offeredOn() *Train {
	return onlyTrain(d.s.Trains, func(t *Train) bool { return t.neverHere() && d.clearAhead(t) })
}

// clearAhead says whether a train has line clear from here the way that one of this section goes on.
func (d *action) clearAhead(t *Train) bool {
	to := t.Out.Section
	return to >= 0 && t.accepted(t.Out.Line) && to != d.ref().section && !d.sameSide(to)
}

// onItsWay says whether the train named in an offer cannot be the one offered: it has line clear
// from another box, or is gone for good over another line; or it is to go another way than to the
// box it comes from. The offer is of one that nobody has named, or written with its arrows turned.
func (d *action) onItsWay(t *Train) bool {
	if t == nil || t.Name != d.e.Train || len(t.Also) > 0 {
		return false
	}
	if d.goneForGood(t) && t.Out.Line != d.line {
		return t.Out.open() && t.Out.Accepted != 0
	}
	if d.dir == Outward {
		return t.In.Section == d.ref().section && !d.section().Method.Is().Single && t.toGo(-1) && t.Out.Line != d.line && !t.Out.Assumed
	}
	return t.In.Line != d.line && t.In.open() && t.In.Accepted != 0 && !t.clearOfSection()
}

// comesFromThere takes back the name of a train offered on to a box from which one of that name
// is now offered here: a train that comes from there is not offered to it.
func (d *action) comesFromThere(t *Train) bool {
	if t == nil || d.dir != Inward || t.Name != d.e.Train || !t.neverHere() || !t.accepted(t.Out.Line) || t.Out.Section != d.ref().section || d.section().Method.Is().Single {
		return false
	}
	t = d.touch(t)
	t.Name = ""
	d.note(rulebook.TrainNameDiffers, d.section().Neighbour, d.e.Train, ofTrain).Text = words("The train offered to "+d.section().Neighbour+" is booked as "+d.e.Train+", which comes from there", "", t.Label(d.b))
	return true
}

// outOfOther finds the only train of which out of section is due on the line, where the one named
// has line clear there and no more.
func (d *action) outOfOther(t *Train, a Act) *Train {
	if l := t.leg(d.dir); a != ActOut || l.Line != d.line || !l.open() || l.standing() != 2 {
		return nil
	}
	if d.section().Method.Is().Follows && d.s.doubtOf(d.line, t.ID, StepCancel) != nil {
		return nil // another was offered behind it: it had gone
	}
	return onlyTrain(d.s.Trains, func(o *Train) bool { return o != t && o.leg(d.dir).open() && d.dueOf(o, false) })
}

// adopt gives the name in the entry to the unnamed train whose next step this
// is; nil when there is none and the name is new.
func (d *action) adopt(a Act) *Train {
	if a == ActOffer {
		described := d.section().Method.Is().Described // what has a description has no second one
		if t := d.s.Train(d.ls().Train); t != nil && t.Name == "" && !(described && t.accepted(d.line)) && (d.ls().Phase == Offered || d.ls().Phase == Normal) && t.leg(d.dir).Line == d.line {
			t = d.touch(t)
			t.Name = d.e.Train
			return t
		}
		return nil
	}
	t := d.candidate(a)
	if o := firstTrain(d.s.Trains, func(o *Train) bool {
		in := a == ActOut && o.aside(d.line) && o.leg(d.dir).Line == d.line && o.leg(d.dir).Entered != 0
		return (d.fits(a, o) || in) && alike(o.Name, d.e.Train)
	}); o != nil {
		t = o // of several that it may be, the one whose name is a letter from it
	}
	switch {
	case t == nil:
	case t.Name == "" && (d.dir == Inward || t.In.Section < 0):
		t = d.touch(t)
		t.Name = d.e.Train
		return t
	case t.Name == "" || t.leg(d.dir).Assumed:
		return d.claim(d.newTrain(d.e.Train), d.line, d.dir)
	default:
		return d.goesBy(t, d.e.Train)
	}
	return nil
}

// nameTrain gives the name in the entry to the train of the exchange, when the
// name comes with the acknowledgement.
func (d *action) nameTrain() {
	if d.e.Train == "" || d.train == nil || d.train.Name == d.e.Train || d.train.also(d.e.Train) {
		return
	}
	if l := d.train.leg(d.dir); d.train.Name != "" && l.Line == d.line && l.Seq == d.e.Seq {
		return // told at the offer, in this entry
	}
	if d.train.Name == "" && d.train.Opened == d.e.Seq {
		return // the name is of one that comes from elsewhere
	} else if d.train.Name == "" {
		d.of(d.train).Name = d.e.Train
	} else if t := d.s.TrainNamed(d.e.Train); t != nil {
		d.train = t
	} else {
		d.train = d.goesBy(d.train, d.e.Train)
	}
}

// candidate finds the train whose regular next step an act is; for an offer one
// of the class described comes before others, for entering one that has just left, and
// one that the boxes have gone on without comes last.
func (d *action) candidate(a Act) *Train {
	var found, other *Train
	for _, t := range d.s.Trains {
		switch {
		case !d.fits(a, t):
		case found == nil, a == ActOffer && d.described(t) && !d.described(found), a == ActEnter && (found.leg(d.dir).Aside && !t.leg(d.dir).Aside || d.justLeft(t) && !d.justLeft(found)):
			found, other = t, nil
		case other == nil && (a != ActOffer || d.described(t) == d.described(found)):
			other = t
		}
	}
	if other != nil && (a == ActOffer || a == ActDepart) {
		d.note(rulebook.TrainNameAssumed, d.section().Neighbour, found.Label(d.b), "the train's name in the entry: "+other.Label(d.b)+" would fit as well")
	}
	return found
}

// justLeft says whether the departure of a train is booked, and its train entering section due.
func (d *action) justLeft(t *Train) bool {
	l := t.leg(d.dir)
	return d.dir == Outward && l.Entered != 0 && l.Entering == 0 && !l.Aside && d.e.At-l.Entered <= d.b.Limit(rulebook.EnteringAfter)
}

// described says whether the train is of the description now offered.
func (d *action) described(t *Train) bool { return d.code != nil && t.Code == d.code.Code }

// fits says whether an act is the regular next step of a train on this line.
func (d *action) fits(a Act, t *Train) bool {
	l := t.leg(d.dir)
	on := l.Line == d.line && l.open()
	switch a {
	case ActOffer:
		return d.fitsOffer(t, l, on)
	case ActAccept, ActAcceptRestricted, ActRefuse:
		return on && l.Accepted == 0 && t.ID == d.ls().Train
	case ActLineNowClear, ActCancel, ActRedescribe:
		if d.section().Method.Is().Follows && l.Entered != 0 && !t.Returned {
			return false // said of the one behind
		}
		return on && (t.ID == d.ls().Train || d.ls().Train == 0 && (l.Entered != 0 || l.Accepted != 0))
	case ActEnter, ActDepart:
		// An engine that assists goes with its train: there is no bell for it alone.
		return on && t.Helps == 0 && (l.Accepted != 0 && l.Entered == 0 || l.Entered != 0 && l.Entering == 0)
	case ActOut:
		return d.fitsOut(t, l, on)
	case ActShuntBack:
		return on && l.Entered != 0 && !l.Aside
	}
	return false
}

func (d *action) fitsOffer(t *Train, l *Leg, on bool) bool {
	// One offered before and not accepted is offered again as what it is; after
	// the signal that it was wrongly described, as what it turns out to be.
	same := d.described(t) || d.b.ByWord(d.ref().section) || l.Offered == 0 || d.dir == Outward && t.In.Section >= 0 && t.Out.Section >= 0
	if d.section().Method.Is().Described && l.Accepted != 0 {
		return false // described already: this is the train behind
	}
	if d.dir == Inward || on && t.ID == d.ls().Train {
		return on && same && (t.ID == d.ls().Train || t.Where == OfferedHere)
	}
	if on && l.Entered == 0 && l.Accepted == 0 {
		return same
	}
	if t.Out.open() && t.Out.Entered == 0 || t.Where == Away || t.Where == Unaccounted || t.Where < Approaching && t.In.Accepted == 0 {
		return false
	}
	if t.Where < Here && d.code != nil && t.Code != "" && !d.described(t) {
		return false // on its way here it is what it was described as
	}
	// A train goes on in its direction; one that came from this neighbour is
	// not offered back to him without being named.
	return t.In.Section >= 0 && t.In.Section != d.ref().section && !d.sameSide(t.In.Section)
}

// sameSide says whether a section lies on the same side of the box as this one.
func (d *action) sameSide(other int) bool {
	to := d.b.Sections[other].Towards
	return to != "" && to == d.section().Towards
}

// fitsOut prefers a train that has arrived, or has come back to the box that sent it: one
// still running is taken only when no other fits.
func (d *action) fitsOut(t *Train, l *Leg, on bool) bool {
	if !on || l.Entered == 0 || t.Where == Unaccounted || d.dir == Outward && t.Helps != 0 {
		return false
	}
	if len(d.s.Doubts) > 0 && d.otherOut(t, l) {
		return false
	}
	come := func(o *Train) bool {
		return d.dir == Inward && o.occupies(d.line) && o.clearOfSection() || d.forItsOwn() && o.on(d.line) && o.Returned
	}
	return d.dir == Inward && t.clearOfSection() || come(t) || !slices.ContainsFunc(d.s.Trains, come)
}
