package block

import "slices"

// A train stands aside in a section where the boxes have gone on without it: its out of section
// is not booked, and another has been let in. Whether it is there is in doubt, and what is told
// next of the line may be of either.

// standAside puts what the book still shows on the line aside when the boxes go
// on working it against that. It gives the phase to go on in, and whether it did.
func (d *action) standAside() (Phase, bool) {
	to, ok := commits[d.act]
	was := d.ls().Phase
	switch was {
	case InSection, Shunting, ShuntReleased, ShuntAsked, ShuntKeyOut:
		ok = ok && !(was == InSection && d.section().Method.Is().Follows) // those in front are there still
	case Obstructed:
		ok = ok && (d.act == ActEnter || d.act == ActDepart) && d.train != nil && d.train.accepted(d.line)
	case Accepted, RestrictedLC:
		// A token still out speaks against a cancelling not booked.
		ok = ok && d.act != ActBlockInside && d.act != ActBlockOutside && d.act != ActEnter && d.act != ActDepart && d.tokens().Out == 0
	default:
		ok = false
	}
	if !ok || !d.doubtful() {
		return 0, false
	}
	for _, t := range slices.Clone(d.s.Trains) {
		if d.train != nil && t.ID == d.train.ID {
			continue
		}
		for _, dir := range [...]Dir{Inward, Outward} {
			if l := t.leg(dir); l.Line == d.line && l.open() && (l.Entered != 0 && !d.offeredBehind() || l.Entered == 0 && l.Accepted != 0) {
				t = d.touch(t)
				t.leg(dir).Aside = true
			}
		}
	}
	ls := d.editLine(d.line)
	ls.Phase, ls.Train, ls.TokenBack = Normal, 0, false
	d.tokenAside()
	return to, true
}

// aside says whether the train stands aside on the line.
func (t *Train) aside(line int) bool { return t.asideBy(line) != nil }

// shownIn says whether the book has the train in the line's section, standing aside or not.
func (t *Train) shownIn(line int) bool { return t.occupies(line) || t.aside(line) }

// asideBy is the leg by which the train stands aside on the line; nil for none.
func (t *Train) asideBy(line int) *Leg {
	switch {
	case t.In.Line == line && t.In.Aside && t.In.open():
		return &t.In
	case t.Out.Line == line && t.Out.Aside && t.Out.open():
		return &t.Out
	}
	return nil
}

// cameAside ends a leg of a train that was given out of section and is booked as having
// come afterwards, while it stood aside: nothing is missing, and what was found stands.
func (st *step) cameAside(t *Train, l *Leg) {
	st.notOverdue(l.Section, t)
	l.Aside, l.OutOf = false, l.Given
	st.sure(l.Line, t.ID)
}

// otherOut says whether an unnamed train out of section belongs to another train
// than this: of one that stands aside and one that followed it, to the follower
// once it can have run through, and before that to the one that stands aside, unless this
// box gave it out of section. The follower had half of the regular time to run through, or
// the least, where the other was due out before it was offered.
func (d *action) otherOut(t *Train, l *Leg) bool {
	for _, o := range d.s.Trains {
		k := o.leg(d.dir)
		if o.ID == t.ID || k.Line != d.line || !k.open() || k.Entered == 0 || k.Aside == l.Aside {
			continue
		}
		follower, leg, aside := t, l, k
		if l.Aside {
			follower, leg, aside = o, k, l
		}
		regular, ran := d.s.running(d.b, d.ref().section, follower.Class), d.e.At-leg.Entered
		through := d.dir == Outward && aside.Given != 0 || d.dir == Inward && follower.clearOfSection() ||
			d.dir == Outward && (ran*2 >= regular || ran > d.least(leg, follower.Class) && leg.Offered != 0 && leg.Offered-aside.Entered >= regular)
		if through == l.Aside {
			return true
		}
	}
	return false
}

// stands takes back what was thought of a train that stood aside: it goes on.
func (d *action) stands(t *Train, l *Leg) {
	l.Aside = false
	d.sure(d.line, t.ID)
}

// comesYet takes a train that comes as in the section yet, with its token, when the one let in against
// it is back.
func (d *action) comesYet(o *Train) {
	o = d.touch(o)
	o.In.Aside = false
	d.sure(d.line, o.ID)
	if n := o.In.Token; n != 0 && !o.In.TokenIn && d.tokens().Out == 0 && d.lay(n, TokenOutOf) {
		ts := d.editToken(d.ref().section)
		ts.Out, ts.Train, ts.OutBy, ts.Seq = n, o.ID, Inward, o.In.Seq
	}
}

// outThere takes a train given out of section by the box that it left as out there still, unless its
// return is not booked; or as inside the siding where its token was put in.
func (d *action) outThere(t *Train, l *Leg) {
	if p := d.unreported(l); p != nil {
		d.takenInside(t, l, p)
		return
	}
	d.tokenHome(t, l)
	l.Given, l.Aside = d.e.At, true
	d.doubt(d.line, t, StepReturn)
}
