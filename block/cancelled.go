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
	if d.b.Rules.HeldAfterCancelling && d.section().Method.Is().Single && ls.Phase.lineClear() && !saysHeld(d.e.Text) {
		if ls.ToHold == heldBefore+uint8(d.dir) {
			ls.ToHold = 0
		} else { // the box that keeps the train says so before one goes the other way: General Rules (India) 14.22
			ls.ToHold = 1 + uint8(d.dir)
		}
	}
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
	d.endLeg(t)
	if o := d.s.Train(ls.Train); o == nil || !o.accepted(d.line) { // line clear stands for none
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
		case t != nil && t.aside(d.line) && !t.asideBy(d.line).Falsely: // given out of section, it gave cause
			t = d.touch(t)
			l := t.asideBy(d.line)
			token = l.Token
			for _, a := range o.Found { // or the mistake was only that it is not booked out
				d.s.Resting = append(slices.Clip(d.s.Resting), Resting{a, d.line, t.ID})
			}
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

// Vain is an offer, or a request for a token, that was against the regulations as the book
// stands, so that nothing came of it. Cancelling is of it, and of no train that is on the line.
type Vain struct {
	Seq   int64  // its entry, 0 for none
	Train string // the train that it names
	Sent  bool   // by this box
}

// inVain keeps an offer that does not stand, until something else is done on the line.
func (d *action) inVain(regular bool) {
	if p := d.ls().Phase; (d.act == ActOffer || d.act == ActAskRelease) && !regular && p != Offered && p != ShuntAsked {
		d.editLine(d.line).Vain = Vain{d.e.Seq, d.e.Train, d.mine}
	} else if d.ls().Vain.Seq != 0 {
		d.editLine(d.line).Vain = Vain{}
	}
}

// cancelsVain says whether an act is the cancelling of the offer on a line that did not stand.
func (st *step) cancelsVain(line int, a Act, sent bool) bool {
	v := st.s.Lines[line].Vain
	return v.Seq != 0 && (a == ActCancel || a == ActRedescribe) && v.Sent == sent && (st.e.Train == "" || v.Train == "" || st.e.Train == v.Train)
}

// cancelledVain is cancelsVain of an act that is done: the offer is no more.
func (st *step) cancelledVain(line int, a Act, sent bool) bool {
	if !st.cancelsVain(line, a, sent) {
		return false
	}
	st.editLine(line).Vain = Vain{}
	return true
}
