package block

import (
	"slices"

	"fairhand/block/rulebook"
)

// cancelled takes back line clear, and the train it was for where nothing else is known of it.
func (d *action) cancelled(bool) {
	if t := d.train; t != nil && d.section().Method.Is().Single && t.Where == Away && t.Out.Line == d.line && t.Out.Booked && d.foundNow(rulebook.CancelledAfterEntering) >= 0 {
		return // it was seen to go, and is out there whatever is rung
	}
	d.releasedToo()
	ls := d.editLine(d.line)
	ls.Back, ls.Refused, ls.Cancelled = ls.Phase == InSection && d.section().Method.Is().Counter, true, d.e.Train
	d.spend()
	d.mustHold()
	if ts := d.tokens(); ts.Out == 0 || ts.OutBy == d.dir { // else it is that of a train the other way
		d.asPutIn(true)
	}
	t := d.train
	if t == nil {
		ls.Train = 0
		return
	}
	if s := d.staff(); s != nil && d.dir == Outward && s.Where == StaffOnTrain && s.Train == t.ID && t.Out.Entered == 0 {
		d.editStaff(d.ref().section).Came = t.Label(d.b) // it does not go, and gives it up
	}
	if d.endLeg(t); !d.acceptedStill(ls.Train) {
		ls.Train = 0
	}
}

// asBeforeIt has what the boxes seemed to have gone on without, when they gave line clear against
// it, there as before: that line clear is taken back and was the mistake.
func (d *action) asBeforeIt() {
	if d.train == nil {
		return
	}
	ts := d.editToken(d.ref().section)
	for _, o := range slices.Clone(d.s.Doubts) {
		if o.Line != d.line || o.At != d.train.leg(d.dir).Accepted || ts.Out != 0 {
			continue
		}
		t, token := d.s.Train(o.Train), o.Token
		switch {
		case t != nil && t.aside(d.line):
			t = d.touch(t)
			l := &t.Out
			if t.In.Line == d.line && t.In.Aside && t.In.open() {
				l = &t.In
			}
			token = l.Token
			d.stands(t, l)
			d.settle(d.line)
		case o.Step == StepWithdrawn && token != 0:
			d.endDoubt(o)
			ls := d.editLine(d.line)
			ls.Phase, ls.Dir, ts.Shunt = ShuntReleased, ts.OutBy, true
		default:
			continue
		}
		if token != 0 && d.lay(token, TokenOutOf) {
			ts.Out, ts.Train = token, o.Train
		}
	}
}

// acceptedStill says whether line clear stands for the train on hand of that number.
func (d *action) acceptedStill(id int) bool {
	t := d.s.Train(id)
	return t != nil && t.accepted(d.line)
}

// endLeg ends a leg that did not lead to a journey, and the row with it when
// the train is known by nothing else.
func (d *action) endLeg(t *Train) {
	t = d.of(t)
	l := t.leg(d.dir)
	if l.Line != d.line {
		return
	}
	l.Cancelled = d.e.At
	if d.dir == Inward && t.Where <= Approaching || d.dir == Outward && t.In.Section < 0 && t.Place == "" && (!l.Assumed || t.Name == "") || t.PutAway && !t.In.open() {
		d.close(t)
		return
	}
	if d.dir == Outward {
		d.replace(t)
		if l.Entered != 0 {
			t.DepartedAt = 0
		}
	}
}
