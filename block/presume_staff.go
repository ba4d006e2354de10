package block

import (
	"slices"
	"strconv"

	"fairhand/block/rulebook"
)

// onTicket says whether a finding rests on a ticket written, or used, while the train
// that brought the staff here has not been booked as giving it up.
func (st *step) onTicket(f *Finding, t *Train) bool {
	i := st.b.SectionIndex(f.Section)
	if f.Rule != rulebook.TicketWithoutStaff && f.Rule != rulebook.StaffElsewhere || t == nil || i < 0 {
		return false
	}
	s := &st.s.Staffs[i]
	return s.Where != StaffIsHere && s.Came != "" && s.ticketed(t.ID)
}

// mayHaveStaff says whether a finding is about a train let go, and the staff can be here for it: it
// was, or a train came that may have brought it.
func (st *step) mayHaveStaff(f *Finding) bool {
	i := st.b.SectionIndex(f.Section)
	if act := st.act.act; i < 0 || act != ActDepart && act != ActEnter {
		return false
	}
	return st.s.Staffs[i].Where != StaffIsAway || st.s.Staffs[i].Came != ""
}

// staffShown presumes that a train which came here, or had the staff and never
// left, gave it up, when it is then handed to another; and that it was handed to one
// that left, when it comes back. A staff is in one place: the entry itself is the
// proof. A ticket proves nothing: it can be written with the staff away.
func (d *action) staffShown() {
	s := d.staff()
	holder := d.s.Train(s.Train)
	idle := s.Where == StaffOnTrain && holder != nil && holder.Where == Here
	if idle {
		s.Came = holder.Label(d.b)
	}
	if d.e.Kind == StaffToTrain && s.Where != StaffIsHere && s.Where != StaffUnknown && s.Came != "" {
		o := Doubt{Line: d.line, Name: s.Came}
		for _, k := range d.s.Doubts {
			if k.Line == d.line && k.Step == StepTokenIn {
				o.Found = append(o.Found, k.Found...)
			}
		}
		d.find(rulebook.StaffElsewhere, "the staff here before it is handed to a train")
		d.unfind(rulebook.StaffElsewhere)
		d.notBooked(o, nil, StepTokenIn)
		d.endDoubts(func(k *Doubt) bool { return k.Line == d.line && k.Step == StepTokenIn })
		s.Where, s.Train = StaffIsHere, 0
	}
	if o := d.tokenOwed(StepTokenOut); o != nil && d.e.Kind == StaffFromTrain && (s.Where != StaffOnTrain || s.Train == o.Train || holder != d.s.TrainNamed(d.e.Train)) {
		d.notBooked(*o, nil, StepTokenOut)
	}
	s.Came = ""
}

// broughtAfterAll takes the staff as not here when a train was accepted that gives it up now,
// where it is booked as given up before: that one gave up a ticket.
func (d *action) broughtAfterAll(t *Train) {
	s := d.staff()
	if s.Where != StaffIsHere || len(s.Tickets) > 0 || t.In.Section != d.ref().section || t.In.Accepted <= s.LastOut {
		return
	}
	elsewhere, unnamed := map[rulebook.RuleID]bool{rulebook.StaffElsewhere: true}, *t
	unnamed.Name = "" // as it was when it was accepted
	list := append(d.foundOf(t, &t.In, elsewhere), d.foundOf(&unnamed, &t.In, elsewhere)...)
	if len(list) == 0 {
		return
	}
	d.noteSaying(rulebook.StaffElsewhere, d.section().Neighbour, t.Label(d.b), "The staff is booked as given up before, and this train brings it", "what the train before gave up: correct that entry").Severity = rulebook.Irregular
	d.answered(list)
}

// staffMayCome notes a train that came over a section whose staff is not here:
// it may have brought it.
func (st *step) staffMayCome(t *Train, section int) {
	if section < 0 || st.b.Sections[section].Method.Is().Carries != rulebook.CarriesStaff {
		return
	}
	s := st.editStaff(section)
	holder := st.s.Train(s.Train)
	gone := holder != nil && holder.Where == Away && st.b.byInterval(section) // nobody tells that it is there: none comes until it is
	if s.Where == StaffIsAway || s.Where == StaffOnTrain && (s.Train == t.ID || gone) {
		if s.Came != "" { // which of them brought it nobody can tell, nor what tickets rested on
			st.endDoubts(func(d *Doubt) bool { return d.Step == StepTokenIn && st.b.sectionOf(d.Line) == section })
		}
		s.Came = t.Label(st.b)
	}
}

// ticketOfOther takes the ticket that a train here has already, when it is handed another or the staff, as
// that of the one train that went since with nothing in hand: it is booked under the wrong name.
func (d *action) ticketOfOther(t *Train) {
	s := d.editStaff(d.ref().section)
	i := slices.IndexFunc(s.Tickets, func(k Ticket) bool { return k.Train == t.ID })
	if i < 0 || t.Where == Away {
		return
	}
	k := s.Tickets[i]
	f := d.s.open(func(f *Finding) bool {
		return f.Rule == rulebook.StaffElsewhere && f.Section == d.section().Neighbour && f.Seq > k.Seq && f.Train != ""
	})
	if f == nil || !k.Sound {
		return
	}
	if s.Tickets = slices.Delete(slices.Clone(s.Tickets), i, i+1); s.Where == StaffUnknown {
		s.Where = StaffIsHere // it went with neither, as it seemed
	}
	d.answered([]Answer{*f.answer()})
	d.differs(d.section().Neighbour, t, "Ticket "+strconv.Itoa(k.Number)+" is booked as handed to "+t.Name+", and was that of "+f.Train, "the name of the train that has it")
}
