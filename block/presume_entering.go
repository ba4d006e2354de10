package block

import (
	"slices"

	"fairhand/block/rulebook"
)

// presumeEntering takes train entering section as sent when out of section is given
// for the train that has line clear: from the box in advance, or by the box in rear
// for one that it has back, for no other can be meant.
func (d *action) presumeEntering() {
	ls := d.ls()
	behind := d.section().Method.Is().Follows && d.train != nil && d.train.ID != ls.Train && d.train.accepted(d.line) // another has been offered since
	if !ls.Phase.lineClear() && !behind {
		return
	}
	dir, back := d.dir, d.section().Method.Is().Single && d.mine == (ls.Dir == Outward)
	switch {
	case back:
		dir = ls.Dir
	case d.mine || d.dir != Outward:
		return
	}
	t := d.s.Train(ls.Train)
	switch {
	case behind:
		t = d.train
	case d.section().Method.Is().Follows && d.s.occupied(d.line) != nil:
		return // it is of the train in front
	}
	if t == nil || !t.accepted(d.line) || t.leg(dir).Line != d.line || d.train != nil && d.train.ID != t.ID || d.train == nil && d.e.Train != "" {
		return
	}
	if back && d.mine && (t.PlaceSeq <= t.Out.Seq || t.PlaceSeq == t.In.Seq) {
		return // not recorded here again: it had not come yet, when it was to go
	}
	steps := []Step{StepEntering}
	if !back && d.byToken() && d.tokens().Out == 0 && len(d.section().Tokens.Charge) > 0 {
		steps = append(steps, StepTokenOut)
	}
	t = d.of(t)
	if dir == Outward && !back {
		d.presumeArrival(t) // one passing, none of which is booked
	}
	l := t.leg(dir)
	l.Entered, l.Presumed = d.e.At, true
	switch {
	case dir == Inward:
		t.Where = Approaching
	case back:
		t.Returned = true
	default:
		t.Where, t.Place = Away, ""
	}
	if !behind {
		ls = d.editLine(d.line)
		ls.Phase, ls.Train = InSection, 0
	}
	d.notBooked(Doubt{Line: d.line, Train: t.ID}, t, steps...)
	d.wasIn(t, l)
}

// cameUnseen finds the train that departs, where nothing in the book brought it here: of
// those that nobody has named, and that out of section alone shows to have come, the only
// one, or the only one with line clear to where it goes. An arrival that nothing else brought
// takes back that it came.
func (st *step) cameUnseen(t *Train) *Train {
	if t != nil && (t.In.Section >= 0 || t.PlaceSeq != 0 || t.DepartedAt != 0) {
		return nil
	}
	to := st.b.SectionIndex(st.e.Section)
	found, n := likeliest(st.s.Trains, func(o *Train) int {
		out := o.In.Falsely && o.In.open() && !o.clearOfSection() && o.Where != Unaccounted
		switch {
		case o == t || o.Name != "" || o.In.Section < 0 || o.In.Section == to || o.PlaceSeq != 0 || o.Out.Entered != 0 || !out && o.Where != Here:
			return -1
		case o.toGo(to):
			return 1
		}
		return 0
	})
	if n != 1 {
		return nil
	}
	found = st.touch(found)
	st.presumeArrival(found)
	return found
}

// neverBelledIn finds the train of an out of section sent where one has line clear and none
// is in: one just come, by guess from another box, which can have run through here. It was
// this one's, and its entering is what is not booked. The other is on its way still.
func (d *action) neverBelledIn() *Train {
	o := d.s.Train(d.ls().Train)
	if d.dir != Inward || d.far || o == nil || o.Name != "" || o.In.Line != d.line || !o.accepted(d.line) || d.s.occupied(d.line) != nil || !d.belled(d.ref().section) {
		return nil
	}
	found := onlyTrain(d.s.Trains, func(t *Train) bool {
		l := &t.In
		return l.Guessed && l.open() && !l.TokenIn && l.Line != d.line && t.whole() && d.e.At-l.Arrived <= d.b.Limit(rulebook.LateAfter) && l.Arrived-o.In.Accepted > d.least(&o.In, o.Class)
	})
	if found == nil {
		return nil
	}
	t := d.exchange(found, o, Inward)
	t.In.Entered = t.In.Arrived
	d.cameUnbelled(t)
	d.wasIn(t, &t.In)
	d.settle(d.line)
	return t
}

// hereToGo presumes the arrival, not booked, of a train that this box then offers back over
// the line that it is on: it is here. That is a train given out of section, that came over a
// single line or went out over it, or an assisting engine that may be back.
func (d *action) hereToGo() {
	t := d.train
	if !d.mine || d.e.Train == "" || t == nil {
		return
	}
	if o := d.s.doubtOf(d.line, t.ID, StepOut); o != nil && t.Back && t.Where == Away && t.Out.Line == d.line {
		t = d.of(t)
		d.engineBack(t)
		t.Where = Here
		d.notBooked(*o, t, StepReturn)
	}
	if t.Out.Line == d.line {
		t = d.presumeReturn(t)
		d.train = t
	}
	if d.section().Method.Is().Single && t.In.Line == d.line && t.In.Falsely && t.In.open() && !t.clearOfSection() {
		t = d.of(t)
		d.presumeArrival(t)
		t.Where = Here
	}
}

// presumeReturn presumes the return, not booked, of a train that is here again after out of
// section was given for it here.
func (st *step) presumeReturn(t *Train) *Train {
	o := st.s.doubtOf(t.Out.Line, t.ID, StepReturn)
	if o == nil || t.Where != Away || !t.Out.Aside {
		return t
	}
	t = st.touch(t)
	st.returned(t, o)
	st.notBooked(*o, t, StepReturn)
	return t
}

// backAgain presumes train out of section, not booked, for a train that came over a
// single line and stands here, when the box that sent it accepts it back: no other can
// be meant. It was offered with the section shown clear.
func (d *action) backAgain() {
	t, ls := d.train, d.ls()
	if d.mine || d.dir != Outward || ls.Phase != InSection || ls.Dir != Inward {
		return
	}
	if t == nil || t.In.Line != d.line || !t.clearOfSection() || t.Proof != Complete || d.s.occupied(d.line) != t || len(d.s.On(d.line)) > 1 {
		return
	}
	if d.byToken() && d.tokens().Out != 0 {
		return
	}
	t = d.of(t)
	t.In.OutOf, t.In.Presumed = d.e.At, true
	d.offerExplained(t, StepOut, t.In.Arrived)
	ls = d.editLine(d.line)
	ls.Phase, ls.Dir, ls.Train = Offered, Outward, t.ID
}

// acceptedAnew presumes cancelling, not booked, of a train that is accepted again before it went,
// where it has its name here or in the offer: the boxes mean the same train, and so no other.
func (d *action) acceptedAnew() {
	t, p, follows := d.train, d.ls().Phase, d.section().Method.Is().Follows
	if !p.lineClear() && !(follows && p == Offered) || t == nil || d.e.Train == "" && t.Name == "" || d.ls().Dir != d.dir && d.section().Method.Is().Single {
		return
	}
	if l := t.leg(d.dir); l.Line != d.line || !t.accepted(d.line) || !follows && d.ls().Train != t.ID || d.tokens().Out != 0 {
		return
	}
	t = d.of(t)
	l := t.leg(d.dir)
	if l.Accepted == d.e.At { // within the minute: no train was cancelled
		if f := d.bookedTwice(); f == nil {
			return
		}
	} else if !d.offerExplained(t, StepCancel, l.Accepted) {
		return
	}
	d.strike(rulebook.CancellingNotSent, func(p *Pending) bool { return p.Line == d.line }, false)
	l.Offered, l.Accepted, l.Restricted = d.e.At, 0, false
	ls := d.editLine(d.line)
	ls.Phase, ls.TokenBack = Offered, false
}

// bookedTwice says that line clear is booked twice for the train, in place of what was
// found of the offer; nil where none was made again.
func (d *action) bookedTwice() *Finding {
	i := d.foundNow(rulebook.OfferedBeforeOutOfSection)
	if i < 0 {
		return nil
	}
	d.found = slices.Delete(d.found, i, i+1)
	f := d.finding(rulebook.AcceptedTwice)
	f.Severity, f.Section, f.Line, f.Train = rulebook.Irregular, d.section().Neighbour, d.lineName(), d.train.Label(d.b)
	f.Text, f.Expected = "Line clear is booked twice for one train", "the exchange written once; correct the one that is too many"
	f.Rests = []int64{d.train.leg(d.dir).Seq, d.e.Seq}
	return d.add(f)
}

// offerExplained says that a step of the train was not booked, which explains why it
// could be offered; what was found of it since a time stands no more, unless that is so long ago
// that it was another of its name. It is false for
// one to be cancelled that was not offered again.
func (d *action) offerExplained(t *Train, missing Step, since Time) bool {
	o := Doubt{Line: d.line, Train: t.ID, Step: missing}
	if k := d.s.doubtOf(d.line, t.ID, missing); k != nil {
		o = *k
	}
	d.unfind(rulebook.OfferedBeforeOutOfSection)
	again := len(d.taken) > 0
	for _, f := range d.s.Open {
		if f.Rule == rulebook.OfferedBeforeOutOfSection && f.Train == t.Label(d.b) && f.Section == d.section().Neighbour && f.At >= since && d.e.At-f.At < presumedFor {
			o.Seq, o.Found, again = f.Seq, append(o.Found, *f.answer()), true
		}
	}
	if missing == StepCancel {
		if !again {
			return false
		}
		d.taken = nil // the same train, and no other
	}
	d.notBooked(o, t, missing)
	return true
}

// unfind takes back what this entry was found to break, for a step about to be
// presumed: it stands should the step turn out to have been made later.
func (d *action) unfind(id rulebook.RuleID) {
	d.found = slices.DeleteFunc(d.found, func(f Finding) bool {
		of := f.Rule == id && f.Seq == d.e.Seq
		if of {
			d.taken = append(d.taken, f)
		}
		return of
	})
}

// presumeBack takes a train that is recorded here, away with the staff of a line
// with no bells, as having come back.
func (st *step) presumeBack(t *Train) {
	if l := t.Out; t.Where == Away && l.open() && !st.b.Sections[l.Section].Method.Is().Offers {
		st.cameBack(t)
		t.Where = Here
		st.notBooked(Doubt{Line: l.Line}, t, StepArrival)
	}
}

// returned ends the leg of a train that is back here, and says whether its return is what
// is not booked: if it is, nothing is missing, and what was found stands.
func (st *step) returned(t *Train, o *Doubt) bool {
	missing := !t.Returned
	t.Out.Aside, t.Out.OutOf, t.Out.Presumed, t.Returned = false, o.At, missing, true
	if t.Where == Away {
		t.Where = Here
	}
	st.notOverdue(t.Out.Section, t)
	if !missing {
		st.sure(o.Line, o.Train)
	}
	return missing
}
