package block

import (
	"slices"

	"fairhand/block/rulebook"
)

// staff follows the one staff of a section under staff and ticket or one-train
// working.
func (st *step) staff() {
	l := st.tokenLine()
	if l < 0 {
		return
	}
	i := st.b.lines[l].section
	s := st.editStaff(i)
	d := st.begin(l, Outward, true)
	d.staffShown()
	switch st.e.Kind {
	case StaffHere:
		s.Where, s.Train = StaffIsHere, 0
	case StaffAway:
		s.Where, s.Train = StaffIsAway, 0
	case StaffToTrain:
		t := st.claim(st.named(), l, Outward)
		d.train = t
		if s.Where != StaffIsHere && s.Where != StaffUnknown {
			d.find(rulebook.StaffElsewhere, "the staff here before it is handed to a train")
		}
		s.Where, s.Train = StaffOnTrain, t.ID
		t.Out.HasToken = true
		t.Carries = CarriedToken{Any: true, Section: i}
	case StaffFromTrain:
		t := st.claim(st.named(), l, Inward)
		st.presumeBack(t)
		s = st.editStaff(i)
		s.Where, s.Train = StaffIsHere, 0
		t.In.HasToken = false
		t.Carries = CarriedToken{}
	}
}

// ticket follows the tickets of a section under staff and ticket: a ticket is
// issued only with the staff at this end. Source: General Rules (India) 12.01,
// 12.08; Romney Sands, 28 August 2019.
func (st *step) ticket() {
	l := st.tokenLine()
	if l < 0 {
		return
	}
	s := st.editStaff(st.b.lines[l].section)
	d := st.begin(l, Outward, true)
	switch st.e.Kind {
	case TicketToTrain:
		t := st.claim(st.named(), l, Outward)
		d.train = t
		if s.Where != StaffIsHere && s.Where != StaffUnknown {
			d.find(rulebook.TicketWithoutStaff, "the staff at this end when a ticket is issued")
		}
		s.Tickets = append(slices.Clone(s.Tickets), Ticket{st.e.Number, t.ID, st.e.At, st.e.Seq, s.Where == StaffIsHere || s.Where == StaffUnknown})
		t.Out.HasToken = true
		t.Carries = CarriedToken{Any: true, Section: d.ref().section, Number: int32(st.e.Number)}
	case TicketFromTrain, TicketCancelled:
		s.Tickets = slices.DeleteFunc(slices.Clone(s.Tickets), func(k Ticket) bool { return k.Number == st.e.Number })
	}
}

// staffGoes notes a train entering a section with the staff or a ticket.
func (d *action) staffGoes(t *Train) {
	if d.section().Method.Is().Carries != rulebook.CarriesStaff || d.dir != Outward {
		return
	}
	s := d.editStaff(d.ref().section)
	s.LastOut = d.e.At
	if s.Where == StaffIsHere && !staffWithTrain.holds(d) {
		s.Where = StaffUnknown // it went without staff or ticket, or with the staff and unbooked
	}
}

// staffArrives notes the staff at the other end once the train that carried it
// is out of section there, and its ticket used.
func (d *action) staffArrives(t *Train) {
	if !d.section().Method.Is().Tickets || d.dir != Outward || d.mine {
		return
	}
	s := d.editStaff(d.ref().section)
	if s.Where == StaffOnTrain && s.Train == t.ID {
		s.Where, s.Train = StaffIsAway, 0
	}
	s.Tickets = slices.DeleteFunc(slices.Clone(s.Tickets), func(k Ticket) bool { return k.Train == t.ID })
}
