package block

import (
	"slices"
	"strconv"

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
	if t := st.s.Train(s.Train); st.e.Kind == StaffToTrain && s.Where == StaffOnTrain && t != nil && t.Name == st.e.Train && (t.Where == Here || t.unseen()) {
		d.noteSaying(rulebook.StaffElsewhere, d.section().Neighbour, t.Label(d.b), "The staff is booked as handed over twice", writtenOnce).Severity = rulebook.Irregular
		return
	}
	came := s.Came != ""
	d.staffShown()
	if st.e.Kind == StaffToTrain || st.e.Kind == StaffHere {
		d.ticketWasOut()
	}
	switch st.e.Kind {
	case StaffHere:
		if s.Where == StaffIsAway && !came { // it came just now: no train had it before, nor a ticket
			d.endDoubts(func(o *Doubt) bool { return o.Line == l && o.Step == StepTokenOut })
		}
		s.Where, s.Train = StaffIsHere, 0
	case StaffAway:
		s.Where, s.Train = StaffIsAway, 0
	case StaffToTrain:
		t := st.claim(st.named(), l, Outward)
		d.train = t
		d.ticketOfOther(t)
		if s.Where != StaffIsHere && s.Where != StaffUnknown {
			d.find(rulebook.StaffElsewhere, "the staff here before it is handed to a train")
			if f := &d.found[len(d.found)-1]; s.Where == StaffIsAway || t.Helps != 0 && t.Helps == s.Train { // whoever hands it over has it
				f.Severity, f.Text = rulebook.Irregular, words("The staff is handed over here, and that it came here is not booked", f.Section, f.Train)
			}
		}
		s.Where, s.Train = StaffOnTrain, t.ID
		t.Out.HasToken = true
		t.Carries = CarriedToken{Any: true, Section: i}
	case StaffFromTrain:
		if d.contradict(func(p *Presumption) bool {
			return p.Line == l && p.Name == st.e.Train && st.e.At > p.At && slices.Contains(p.Steps, StepTokenIn)
		}) {
			return // it was not handed to the other, and is with that one now
		}
		t := st.claim(st.named(), l, Inward)
		st.presumeBack(t)
		d.broughtAfterAll(t)
		s = st.editStaff(i)
		s.Where, s.Train = StaffIsHere, 0
		t.In.HasToken = false
		t.Carries = CarriedToken{}
	}
}

// ticket follows the tickets of a section under staff and ticket: a ticket is
// issued only with the staff at this end. It is of the line on which its train goes: of
// two, or four, the one with line clear for it. Source: General Rules (India) 12.01,
// 12.08; Romney Sands, 28 August 2019.
func (st *step) ticket() {
	if st.tokenLine() < 0 {
		return
	}
	l := st.lineFor(st.b.SectionIndex(st.e.Section), Outward, ActDepart)
	s := st.editStaff(st.b.lines[l].section)
	d := st.begin(l, Outward, true)
	switch st.e.Kind {
	case TicketToTrain:
		d.ticketWasOut()
		t := d.signalledAs(st.claim(st.named(), l, Outward))
		d.train = t
		if how := d.section().Method.Is(); how.Carries == rulebook.CarriesStaff && !how.Tickets && d.s.Circuits[d.ref().section].Pilot == "" {
			d.findSaying(rulebook.TicketWithoutStaff, "A ticket was issued where the staff alone lets a train onto the line", "the staff in the driver's hands: one train at a time, and no ticket")
		} else if s.Where != StaffIsHere && s.Where != StaffUnknown {
			d.find(rulebook.TicketWithoutStaff, "the staff at this end when a ticket is issued")
		}
		if d.onPaper() && !t.accepted(l) {
			d.find(rulebook.TicketNoLineClear, "line clear for the train, in words with a private number, before its ticket is written")
		}
		if d.onPaper() { // the forms of a book, one for each way, are used in their order: General Rules (India) 14.25(2)
			if last := s.Form; last != 0 && d.e.Number != last+1 {
				d.find(rulebook.TicketNumberDiffers, "ticket "+strconv.Itoa(last+1)+", or those between booked as cancelled")
			}
			s.Form = d.e.Number
		}
		d.ticketOfOther(t)
		s.Tickets = append(slices.Clone(s.Tickets), Ticket{st.e.Number, t.ID, st.e.At, st.e.Seq, s.Where == StaffIsHere || s.Where == StaffUnknown})
		t.Out.HasToken = true
		t.Carries = CarriedToken{Any: true, Section: d.ref().section, Number: int32(st.e.Number)}
	case TicketFromTrain, TicketCancelled:
		if s.Form != 0 && st.e.Number == s.Form+1 && st.e.Kind == TicketCancelled {
			s.Form++ // a form spoilt in writing
		}
		if o := d.tokenOwed(StepTokenOut); o != nil && o.Name == st.e.Train && st.e.Kind == TicketFromTrain {
			d.notBooked(*o, nil, StepTokenOut) // he gives up what he had
		}
		k := first(s.Tickets, func(k *Ticket) bool { return k.Number == st.e.Number })
		if k == nil {
			s.Came = "" // of the other end, where the staff was when it was written
		} else if st.e.Kind == TicketCancelled && st.s.Train(k.Train) != nil {
			t := st.touch(st.s.Train(k.Train))
			t.Out.HasToken, t.Carries = false, CarriedToken{}
		}
		s.Tickets = slices.DeleteFunc(slices.Clone(s.Tickets), func(k Ticket) bool { return k.Number == st.e.Number })
	}
}

// wentUnbooked has a train that comes from where no train was let come go there first, where it
// could: with the staff that it was handed here and no bell, or for the shunt into the section
// that was signalled. Its departure is not booked.
func (st *step) wentUnbooked(t *Train) *Train {
	i := st.b.SectionIndex(st.e.From)
	if i < 0 || t.Where == Away || t.In.Section == i && t.In.open() {
		return t
	}
	line, box, with := st.lineFor(i, Outward, ActDepart), st.b.Sections[i].Neighbour, "for the shunt signalled"
	switch s := &st.s.Staffs[i]; {
	case !st.b.Sections[i].Method.Is().Offers && s.Where == StaffOnTrain && s.Train == t.ID:
		with = "with the staff that it has"
	case st.s.Lines[line].Phase != Shunting || st.s.occupied(line) != nil || !mayBeSame(t.Name, st.s.Lines[line].Shunts):
		return t
	}
	st.noteSaying(rulebook.StepNotBooked, box, t.Label(st.b), "Its departure not booked; this entry shows that it went", "its departure, "+with)
	st.departOn(t, line)
	return st.s.Train(t.ID)
}

// ticketWasOut presumes the ticket, not booked, of a train that the box in advance has given
// out of section: the staff is here yet.
func (d *action) ticketWasOut() {
	o := d.tokenOwed(StepTokenOut)
	if s := d.staff(); o == nil || s.Where != StaffUnknown || !d.section().Method.Is().Tickets || d.s.occupied(d.line) != nil || d.s.Train(o.Train) != nil {
		return
	}
	d.notBooked(*o, nil, StepTokenOut)
}

// staffGoes notes a train entering a section with the staff or a ticket.
func (d *action) staffGoes() {
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
	if !d.section().Method.Is().Offers || d.dir != Outward || d.mine {
		return
	}
	if s := d.staff(); s.Where == StaffOnTrain && s.Train == t.ID {
		s = d.editStaff(d.ref().section)
		s.Where, s.Train = StaffIsAway, 0
	}
	if len(d.staff().Tickets) > 0 {
		s := d.editStaff(d.ref().section)
		s.Tickets = left(s.Tickets, func(k *Ticket) bool { return k.Train == t.ID })
	}
}

// onPaper says whether the section is worked by paper line clear: by message in the
// words of the block, a ticket the driver's authority. Source: Block Working Manual
// (South Central Railway), annexure on paper line clear, 1.1 to 1.10.
func (d *action) onPaper() bool {
	c := &d.s.Circuits[d.ref().section]
	return c.Message && c.Worded && d.section().Method.Is().Carries != rulebook.CarriesStaff
}

// onTicket judges a train sent by message in the words of the block: where the token is
// the driver's authority, or tickets are booked, he has something in hand. The Block
// Working Manual asks for a paper ticket; of other books none was read that lets a train
// go with nothing but words, nor one that forbids it (the Tablet regulations, Swindon
// 1890, clause 23, have a pilot where nothing can be said), so there it is from memory.
func (d *action) onTicket(t *Train) {
	s, token := d.staff(), d.byToken()
	inHand := s.ticketed(t.ID) || token && d.tokens().Out != 0 || t.Warned
	if !d.onPaper() || inHand || !token && s.Form == 0 {
		return
	}
	if d.find(rulebook.PaperTicketMissing, "the token in the driver's hands, or his paper ticket, and that booked before he goes"); !d.b.Rules.PrivateNumbers {
		f := &d.found[len(d.found)-1]
		f.Severity, f.Ref = rulebook.Irregular, rulebook.FromMemory
	}
}

var paperTicketBack = Guard{
	Name: "its paper ticket back", Rule: rulebook.TicketNotRecovered, Mine: true,
	Expected: "the ticket recovered from the driver first, and that booked",
	holds:    func(d *action) bool { return !d.onPaper() || d.train == nil || !d.staff().ticketed(d.train.ID) },
}
