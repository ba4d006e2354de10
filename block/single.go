package block

import (
	"slices"

	"fairhand/block/rulebook"
)

// oneTrainRows need no bells: the staff in its place is the proof that the line
// is free. Where bells are exchanged all the same they are only written down.
// Source: General and Subsidiary Rules (South Central Railway) 13.03.
var oneTrainRows = []Row{
	{From: Normal, Act: ActDepart, To: InSection, Guards: []Guard{staffWithTrain}},
	{From: Normal, Act: ActEnter, To: InSection, Guards: []Guard{staffWithTrain}},
	{From: InSection, Act: ActEnter, To: InSection, Guards: []Guard{sameTrain, enteringDue}},
	{From: InSection, Act: ActOut, To: settled, Guards: []Guard{arrived, complete}},
	{From: InSection, Opposed: true, Act: ActOut, To: settled, Guards: []Guard{arrived, complete}},
	{From: InSection, Act: ActDepart, To: InSection, Rule: rulebook.EnteredWithoutAcceptance, Unless: []Guard{toAssist}, Guards: []Guard{staffWithTrain}},
	{From: InSection, Opposed: true, Act: ActDepart, To: InSection, Rule: rulebook.EnteredWithoutAcceptance, Guards: []Guard{staffWithTrain}},
	{From: InSection, Opposed: true, Act: ActEnter, To: InSection, Rule: rulebook.EnteredWithoutAcceptance},
	{From: Normal, Act: ActOut, To: stay, Rule: rulebook.OutOfSectionNoTrain},
}

var staffNotHere = Guard{
	Name: "staff not at this end", Rule: rulebook.StaffElsewhere, For: withStaff, Mine: true,
	Says:     "A train was accepted from the other end with the staff here, or with a train of ours",
	Expected: "no train accepted from the other end until the staff has gone there with a train",
	holds: func(d *action) bool {
		s := d.staff()
		if d.dir == Outward || s.Where != StaffIsHere && s.Where != StaffOnTrain {
			return true
		}
		t := d.s.Train(s.Train)
		return s.Where == StaffOnTrain && (t == nil || t.Where == Away || t.In.Section == d.ref().section && t.In.open())
	},
}

var staffWithTrain = Guard{
	Name: "staff or ticket with the train", Rule: rulebook.StaffElsewhere, For: withStaff, Mine: true,
	Expected: "the staff, or where there are tickets one issued with the staff here, handed to the driver first",
	holds: func(d *action) bool {
		s := d.staff()
		if !d.section().Method.Is().Offers && s.Where == StaffUnknown {
			return true // worked without staff: the train itself is the proof
		}
		if d.s.Circuits[d.ref().section].Pilot != "" || toAssist.holds(d) {
			return true // the pilot takes the place of the staff; or that is with the train in need: General Rules (India) 13.04
		}
		if d.train == nil {
			return s.Where == StaffOnTrain
		}
		return s.Where == StaffOnTrain && s.Train == d.train.ID || d.section().Method.Is().Tickets && slices.ContainsFunc(s.Tickets, func(k Ticket) bool { return k.Train == d.train.ID && k.Sound })
	},
}

var followsByInterval = Guard{
	Name: "following by interval authorised",
	holds: func(d *action) bool {
		return d.b.Rules.StaffFollow == rulebook.FollowInterval && (d.ls().Phase == Normal || d.ls().Dir == d.dir)
	},
}

var (
	followsOrAssists  = either("following by interval authorised, or to assist the train in section, its driver told", followsByInterval, toAssist)
	intervalOrMessage = either("following by interval, or allowed by message or pilot", followsByInterval, byMessage)
)

var intervalPast = Guard{
	Name: "interval past", Rule: rulebook.FollowingIntervalShort, Mine: true,
	Expected: "the full interval after the train in front, and the driver warned",
	holds: func(d *action) bool {
		return d.b.Rules.StaffFollow != rulebook.FollowInterval || toAssist.holds(d) || d.e.At-d.staff().LastOut >= d.b.Limit(rulebook.TicketInterval)
	},
}

// Following by interval: under staff and ticket trains may follow one another
// after a time, with no bell for any of them. The staff at an end is the proof
// that nothing comes from the other. Source: General Rules (India) 12.01 to 12.08.

// byInterval says whether trains need no line clear on section i.
func (b *Box) byInterval(i int) bool {
	return b.Rules.StaffFollow == rulebook.FollowInterval && b.Sections[i].Method.Is().Tickets
}

// cameByInterval takes a train that came by the clock: those sent before it are
// out, or it could not have been let in, and it leaves the section free.
func (st *step) cameByInterval(t *Train) {
	i, line := t.In.Section, t.In.Line
	if staff := &st.s.Staffs[i]; staff.Where == StaffIsHere {
		st.note(rulebook.StaffElsewhere, st.b.Sections[i].Neighbour, t.Label(st.b), "the staff at the other end before a train comes from there")
	}
	for _, o := range st.s.On(line) {
		if o.Out.Line == line && o.Out.Accepted == 0 {
			st.goneBy(o, Outward)
		}
	}
	t.In.Entered = st.e.At
	st.inByInterval(t)
}

// inByInterval ends the section of a train that came by the clock, once it is
// complete: there is no bell for it.
func (st *step) inByInterval(t *Train) {
	if i := t.In.Section; i < 0 || !st.b.byInterval(i) || t.In.Accepted != 0 || !t.In.open() || t.In.Arrived == 0 || t.Proof != Complete {
		return
	}
	t.In.OutOf = st.e.At
	st.settle(t.In.Line)
}

// longGone says whether a train went by the clock so long ago that the next
// might follow it.
func (b *Box) longGone(t *Train, now Time) bool {
	return t.Where == Away && t.Out.Accepted == 0 && b.byInterval(t.Out.Section) && now-t.Out.Entered >= b.Limit(rulebook.TicketInterval)
}

// awaited says whether a train in section i is due out of it by some time: not
// where it went by the clock, nor where the one train of a dead end comes back
// when its work is done, unless the box file gives the time it takes.
func (b *Box) awaited(i int, l *Leg) bool {
	s := &b.Sections[i]
	return l.Accepted != 0 || !b.byInterval(i) && (s.Method.Is().Offers || s.Running != [rulebook.ClassCount]Time{})
}
