package block

import "fairhand/block/rulebook"

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
