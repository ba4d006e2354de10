package block

import "fairhand/block/rulebook"

// Track circuit block between boxes: trains are described, by bell or telephone, or
// by a describer where the box file has offer: false; nothing is accepted and nothing
// given out of section. A train's use of the section begins with its description and
// ends, for the box it leaves, when it has gone, for the box it comes to, when it is
// there. Sources: Regulations for train signalling by the track circuit block system,
// 1992, 1.1 to 2.4; GERT8000-TS1 2.2 and TS2 as read in study cards.

var describedRows = []Row{
	{From: anyPhase, Act: ActOffer, To: stay, For: described},
	{From: anyPhase, Act: ActAccept, To: stay, For: described}, // the description repeated
	{From: anyPhase, Act: ActCancel, To: stay, For: described, Guards: []Guard{describedBefore}},
	{From: anyPhase, Act: ActRedescribe, To: stay, For: described, Guards: []Guard{describedBefore}},
	{From: Normal, Act: ActDepart, To: stay, For: described, Guards: []Guard{describedFirst, messageHeld, pilotWith}},
	{From: Obstructed, Act: ActDepart, To: stay, For: described, Guards: []Guard{alarmOver, describedFirst}},
	{From: anyPhase, Act: ActDanger, To: Obstructed, For: described},
}

var describedBefore = Guard{
	Name: "a train described", Rule: rulebook.CancelledNothing, For: described,
	Expected: "a description that stands",
	holds:    func(d *action) bool { return d.train != nil },
}

var describedFirst = Guard{
	Name: "train described", Rule: rulebook.TrainNotDescribed, For: described, Mine: true,
	Expected: "the description sent before the train goes",
	holds: func(d *action) bool {
		return d.section().OnlyReported || byMessage.holds(d) || d.train != nil && d.train.accepted(d.line)
	},
}

var alarmOver = Guard{
	Name: "no emergency alarm", Rule: rulebook.SignalledDuringAlarm, For: described, Mine: true,
	Expected: "the section proved clear first, and that booked",
	holds:    (*action).toldOver,
}

// toldOver says whether the box that the alarm is of has told since that the line is clear, or two
// trains have been sent: what was found of them stands, and is not found again of all that follow.
func (d *action) toldOver() bool {
	since := d.ls().Since
	return saysOver(d.s.heardFrom(d.section().Neighbour, since).Text) || d.brokenTwice(since, rulebook.SignalledDuringAlarm)
}

// alarmShownOver says that the end of the alarm is not booked, where a train goes that may.
func (d *action) alarmShownOver() {
	if d.ls().Phase != Obstructed || !d.toldOver() {
		return
	}
	d.shownOver(rulebook.SignalledDuringAlarm, "", StepAlarm)
	for l := range d.b.linesOf(d.ref().section) {
		ls := d.editLine(l)
		ls.Phase, ls.Since, ls.Seq = Normal, d.e.At, d.e.Seq
	}
}

// shownOver says that the end of what forbids an act is not booked, which the act shows, and
// keeps the rule that this broke should it not have been so.
func (d *action) shownOver(broken rulebook.RuleID, train string, missing Step) {
	d.taken = append(d.taken, d.wouldBreak(broken, d.section().Neighbour, d.lineName(), train))
	d.notBooked(Doubt{Line: d.line}, nil, missing)
}

// underAlarm has what is found of further trains follow from the first sent under it.
func (d *action) underAlarm() {
	for i := range d.found {
		if f := &d.found[i]; f.Rule == rulebook.SignalledDuringAlarm && f.Seq == d.e.Seq {
			f.Root = d.foundBefore(f.Rule, f.Section, d.ls().Since)
		}
	}
}

// alarmed stops the trains of either way: the alarm is for the section.
func (d *action) alarmed(bool) {
	if !d.section().Method.Is().Described {
		return
	}
	for l := range d.b.linesOf(d.ref().section) {
		if d.s.Lines[l].Phase == Normal {
			ls := d.editLine(l)
			ls.Phase, ls.Since, ls.Seq = Obstructed, d.e.At, d.e.Seq
		}
	}
}

// dueIn has a train come through the section in the time it takes.
func (d *action) dueIn(t *Train) {
	d.owe(rulebook.TrainOverdue, Pending{Due: d.e.At + d.s.running(d.b, d.ref().section, t.Class), Section: d.ref().section, Line: d.line, Train: t.ID})
}

// goneDescribed ends what this box has to do with a train, unless the section it
// came by is still to be given out.
func (d *action) goneDescribed(t *Train, l *Leg) {
	d.alarmShownOver()
	d.underAlarm()
	l.OutOf = d.e.At
	if t.In.inSection() {
		t.PutAway = true
		return
	}
	d.close(t)
}

// cameDescribed ends the use of a section by a train that has come over it, and
// raises one that came before another described earlier.
func (st *step) cameDescribed(t *Train) {
	if !st.b.Sections[t.In.Section].Method.Is().Described {
		return
	}
	if t.In.Accepted != 0 {
		for _, o := range st.s.Trains {
			if o.ID != t.ID && o.accepted(t.In.Line) && o.In.Line == t.In.Line && o.In.Arrived == 0 && (o.In.Accepted < t.In.Accepted || o.In.Accepted == t.In.Accepted && o.In.Seq < t.In.Seq) {
				st.note(rulebook.DescribedOutOfOrder, st.b.Sections[t.In.Section].Neighbour, t.Label(st.b), o.Label(st.b)+", described first")
				st.doubt(t.In.Line, o, StepArrival)
				st.touch(o).In.Aside = true // said once
				break
			}
		}
	}
	t.In.OutOf = st.e.At
}
