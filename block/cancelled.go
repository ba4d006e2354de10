package block

// cancelled takes back line clear, and the train it was for where nothing else is known of it.
func (d *action) cancelled(bool) {
	d.releasedToo()
	ls := d.editLine(d.line)
	ls.Back, ls.Refused, ls.Cancelled = ls.Phase == InSection && d.section().Method.Is().Counter, true, d.e.Train
	d.spend()
	d.mustHold()
	d.asPutIn(true)
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
