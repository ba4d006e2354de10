package block

import "fairhand/block/rulebook"

// attribute tells which train an act concerns: the train named in the entry;
// else the one whose regular next step it is; else, of two that would fit, the
// first in order of arrival, with an advice that the name was assumed. It gives
// nil when the act opens a row of its own, or when no train is known.
func (d *action) attribute(a Act) *Train {
	if d.e.Train != "" {
		if t := d.s.TrainNamed(d.e.Train); t != nil {
			return t
		}
		return d.adopt(a)
	}
	return d.candidate(a)
}

// adopt gives the name in the entry to the unnamed train whose next step this
// is; nil when there is none and the name is new.
func (d *action) adopt(a Act) *Train {
	if a == ActOffer {
		if t := d.s.Train(d.ls().Train); t != nil && t.Name == "" && (d.ls().Phase == Offered || d.ls().Phase == Normal) && t.leg(d.dir).Line == d.line {
			t = d.touch(t)
			t.Name = d.e.Train
			return t
		}
		return nil
	}
	t := d.candidate(a)
	if t != nil && t.Name == "" {
		t = d.touch(t)
		t.Name = d.e.Train
		return t
	}
	return nil
}

// nameTrain gives the name in the entry to the train of the exchange, when the
// name comes with the acknowledgement.
func (d *action) nameTrain() {
	if d.e.Train == "" || d.train == nil || d.train.Name == d.e.Train {
		return
	}
	if d.train.Name == "" {
		d.train = d.touch(d.train)
		d.train.Name = d.e.Train
	} else if t := d.s.TrainNamed(d.e.Train); t != nil {
		d.train = t
	}
}

// candidate finds the train whose regular next step an act is.
func (d *action) candidate(a Act) *Train {
	var found *Train
	for _, t := range d.s.Trains {
		if !d.fits(a, t) {
			continue
		}
		if found == nil {
			found = t
			continue
		}
		if a == ActOffer || a == ActDepart {
			d.note(rulebook.TrainNameAssumed, d.section().Neighbour, found.Label(d.b), "the train's name in the entry: "+t.Label(d.b)+" would fit as well")
		}
		break
	}
	return found
}

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
		return on && l.OutOf == 0 && (t.ID == d.ls().Train || d.ls().Train == 0 && (l.Entered != 0 || l.Accepted != 0))
	case ActEnter, ActDepart:
		return on && (l.Accepted != 0 && l.Entered == 0 || l.Entered != 0 && l.Entering == 0)
	case ActOut:
		return d.fitsOut(t, l, on)
	}
	return false
}

func (d *action) fitsOffer(t *Train, l *Leg, on bool) bool {
	if d.dir == Inward || on && t.ID == d.ls().Train {
		return on && t.ID == d.ls().Train || on && t.Where == OfferedHere && d.code != nil && t.Code == d.code.Code
	}
	if on && l.Entered == 0 && l.Accepted == 0 {
		return true
	}
	if t.Out.open() && t.Out.Entered == 0 || t.Where == Away || t.Where == Unaccounted || t.Where < Approaching && t.In.Accepted == 0 {
		return false
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

// fitsOut prefers a train that has arrived: one still running is taken only
// when no other fits.
func (d *action) fitsOut(t *Train, l *Leg, on bool) bool {
	if !on || l.Entered == 0 || t.Where == Unaccounted {
		return false
	}
	if d.dir == Inward && !t.clearOfSection() {
		for _, o := range d.s.Trains {
			if o.ID != t.ID && o.occupies(d.line) && o.clearOfSection() {
				return false
			}
		}
	}
	return true
}
