package block

import (
	"slices"
	"strconv"
	"strings"

	"fairhand/block/rulebook"
)

// train expects the movements of a train within the box.
func (x *expecting) train(t *Train) {
	x.staffNext(t)
	switch {
	case t.Where == Away && t.In.inSection() && t.Proof == ProofNone && !t.Returned && t.Name != "": // belled on: until its tail lamp is written, the section in rear is not given out
		x.offer(Expectation{Event: Event{Kind: TrainPassed, Train: t.Name, Proof: Complete}, Mine: true, AskProof: true, Wanted: t.Out.Entered, Label: t.Name + " passed complete"})
	case t.Proof == NoTailLamp && t.Name != "" && t.Where != Here && t.In.open():
		x.completeNext(t)
	case t.Where == Approaching:
		x.arrivalNext(t)
		x.wentBack(t)
	case t.Where == Here && t.Proof == NoTailLamp && t.Name != "":
		x.completeNext(t)
	case t.Where == Away && t.Name != "" && t.Out.open() && (x.s.Lines[t.Out.Line].Phase == Shunting || x.fetched(t)):
		x.arrives(t.Name, &t.Out, Expectation{Mine: true, AskProof: true, Wanted: t.Out.Entered + soonEntering, Event: Event{From: x.b.Sections[t.Out.Section].Neighbour}})
	case t.Returned && t.Out.inSection():
		x.returned(t)
	case t.stillHere() && t.toGo(-1):
		x.warnNext(t)
		x.onPaperNext(t)
		e := Expectation{Act: ActDepart, Mine: true, Wanted: max(x.arrival(t), t.Out.Accepted) + Minute}
		e.Event = Event{Kind: TrainDeparted, Train: t.Name, Section: x.b.Sections[t.Out.Section].Neighbour}
		e.Label = t.Label(x.b) + " departed for " + e.Event.Section
		x.rides(&e, t.Out.Section, t)
		if t.Name != "" {
			x.offer(e)
		}
	case t.stillHere() && !t.Out.open():
		x.sentNext(t)
	case t.Where == Away && t.Name != "" && t.Out.open() && !t.Out.Booked && (t.PlaceSeq != 0 && t.Proof != ProofNone || x.piloted(t)): // belled on before its departure was written
		who := x.b.Sections[t.Out.Section].Neighbour
		e := Expectation{Act: ActDepart, Mine: true, Wanted: x.s.Now + laterOffer - 3, Event: Event{Kind: TrainDeparted, Train: t.Name, Section: who},
			Label: t.Label(x.b) + " departed for " + who + ", to be booked still"}
		if x.rides(&e, t.Out.Section, t); x.piloted(t) {
			e.Wanted = t.Out.Entered
		}
		x.offer(e)
	}
}

// warnNext expects the driver of a train to be told of one in front of it, or to be
// given his authority as the first after the reset of an axle counter.
func (x *expecting) warnNext(t *Train) {
	if t.Name != "" && !t.Warned && x.s.Lines[t.Out.Line].Reset {
		x.offer(Expectation{Mine: true, Wanted: t.Out.Accepted, Event: Event{Kind: TrainWarned, Train: t.Name, Text: "first after the reset"}, Label: t.Name + " authorised in writing, first after the reset"})
	}
	if !x.b.Sections[t.Out.Section].Method.Is().Follows || t.Warned || t.Name == "" || x.s.occupied(t.Out.Line) == nil {
		return
	}
	x.offer(Expectation{Mine: true, Wanted: t.Out.Accepted, Event: Event{Kind: TrainWarned, Train: t.Name}, Label: t.Name + " warned of the train in front"})
}

// arrivalNext expects an approaching train to pass, if line clear ahead was
// obtained, or to arrive.
func (x *expecting) arrivalNext(t *Train) {
	name := t.Label(x.b) // where it has none, a guess to be written over: a movement needs a name
	arrived := Expectation{Mine: true, AskProof: true, AskTrain: t.Name == "", Wanted: x.arrival(t)}
	passed := arrived
	passed.Event, passed.Label = Event{Kind: TrainPassed, Train: name, Proof: Complete}, name+" passed complete"
	if t.Out.Accepted != 0 {
		x.offer(passed)
		arrived.Wanted++
		x.arrives(name, &t.In, arrived)
		return
	}
	x.arrives(name, &t.In, arrived)
	if len(x.b.Sections) == 1 { // with a section ahead it passes once line clear is in hand
		passed.Wanted++
		x.offer(passed)
	}
}

// completeNext expects a train without tail lamp to be found complete.
func (x *expecting) completeNext(t *Train) {
	x.offer(Expectation{Event: Event{Kind: TrainEntire, Train: t.Name}, Mine: true, Wanted: t.ProofAt + Minute,
		Label:  t.Label(x.b) + " found complete",
		Clears: t.Label(x.b) + " ran without tail lamp. Has somebody seen that the whole train is there, and no part of it in the section?"})
}

// arrives expects a train, from the section of a leg, at the first place where nothing is
// against it. It comes whether there is one or not: where none is offered the reason is given.
func (x *expecting) arrives(name string, l *Leg, e Expectation) {
	before := len(x.withheld)
	e.Event.Kind, e.Event.Train, e.Event.Proof = TrainArrived, name, Complete
	name += " arrived" + So(e.Event.From != "", " from "+e.Event.From)
	places := x.freePlaces(&x.b.Sections[l.Section], x.b.lineAt(l.Line).Name)
	if x.s.Lines[l.Line].Phase == Shunting {
		places = []string{""} // to where it went from, or to a siding
	}
	for _, place := range places {
		e.Event.Place, e.Label = place, name+So(place != "", " at "+place)+" complete"
		if x.offer(e) {
			x.withheld = x.withheld[:before]
			return
		}
		x.withheld = x.withheld[:min(len(x.withheld), before+1)]
	}
}

// freePlaces are the places on the running lines with room for a train that came on a line of
// a section, those that lie on the way of other trains only last; one without a name where
// there is none.
func (x *expecting) freePlaces(from *Section, on string) (list []string) {
	var others []string
	for _, p := range x.b.Places {
		if p.Siding {
			continue
		}
		n := 0
		for _, t := range x.s.Trains {
			if t.Where == Here && t.Place == p.Name {
				n++
			}
		}
		switch {
		case p.Holds != 0 && n >= p.Holds:
		case len(p.BeyondHome) == 0 && !ofAnotherLine(p.Name, from, on),
			slices.ContainsFunc(p.BeyondHome, func(h BeyondHome) bool { return h.Section == from.Neighbour }):
			list = append(list, p.Name)
		default:
			others = append(others, p.Name)
		}
	}
	if list = append(list, others...); len(list) == 0 {
		return []string{""}
	}
	return list
}

// ofAnotherLine tells of a place by the words of its name that it lies along another line of
// the section: a train of the Up does not come to the Down Platform as a rule. No more than
// the order in which places are proposed hangs on it.
func ofAnotherLine(place string, s *Section, on string) bool {
	words, own := strings.Fields(place), strings.Fields(on)
	shared := func(of, without []string) bool {
		return slices.ContainsFunc(of, func(w string) bool { return slices.Contains(words, w) && !slices.Contains(without, w) })
	}
	return slices.ContainsFunc(s.Lines, func(l Line) bool {
		other := strings.Fields(l.Name)
		return shared(other, own) && !shared(own, other)
	})
}

// returned expects the section of a train set back to this box to be closed from
// here: the token in, then out of section; cancelling over a double line. Sources: Block
// Working Manual part A 3.3(B); signalbox.org, Block system ch. 8.
func (x *expecting) returned(t *Train) {
	i := t.Out.Section
	if x.s.Bells[i].Asked.Open {
		return
	}
	who := x.b.Sections[i].Neighbour
	if !x.b.Sections[i].Method.Is().Single {
		if row := x.row(i, rulebook.Cancelling, rulebook.AnyClass); row != nil {
			x.offer(Expectation{Event: Event{Kind: Bells, Section: who, Train: t.Name, Bells: x.exchange(i, row, true)}, Act: ActCancel, Mine: true, Wanted: t.PlaceAt,
				Label:  t.Label(x.b) + " came back: cancelling, to " + who,
				Clears: wentAndCame(x.b, t) + " and clear of the section?"})
		}
		return
	}
	if n := x.s.Tokens[i].Out; n != 0 {
		x.offer(Expectation{Event: Event{Kind: TokenIn, Section: who, Number: n}, Act: ActRestore, Mine: true, Wanted: t.PlaceAt,
			Label:  "token " + strconv.Itoa(n) + " in, " + who + ", " + t.Label(x.b) + " came back",
			Clears: wentAndCame(x.b, t) + " and is the token in your hand?"})
		return
	}
	if row := x.row(i, rulebook.OutOfSection, rulebook.AnyClass); row != nil {
		x.offer(Expectation{Event: Event{Kind: Bells, Section: who, Train: t.Name, Bells: x.exchange(i, row, true)}, Act: ActOut, Mine: true, Wanted: t.PlaceAt,
			Label:  t.Label(x.b) + " came back: out of section, to " + who,
			Clears: wentAndCame(x.b, t) + " and is its token or staff here?"})
	}
}

// wentAndCame is what the section of a train set back to this box is cleared of.
func wentAndCame(b *Box, t *Train) string {
	return t.Label(b) + " had gone to " + b.Sections[t.Out.Section].Neighbour + ", and the section is cleared of it: is the whole train back, with its tail lamp,"
}

// staffNext expects the staff to be handed to a train that may go, or given up
// by one that came with it.
func (x *expecting) staffNext(t *Train) {
	for i := range x.b.Sections {
		sec, s := &x.b.Sections[i], &x.s.Staffs[i]
		how := sec.Method.Is()
		if how.Carries != rulebook.CarriesStaff || t.Name == "" || t.Where != Here {
			continue
		}
		ready := t.toGo(i)
		if !how.Offers {
			ready = t.In.Section != i && x.s.occupied(x.b.firstLine(i)) == nil && !t.Out.open() && firstTrain(x.s.Trains, t.wentTo) == nil
		}
		switch {
		case s.Where == StaffIsHere && ready:
			if how.Tickets {
				x.ticketNext(TicketToTrain, "ticket to ", sec.Neighbour, t, x.arrival(t)+1)
			}
			x.offer(Expectation{Event: Event{Kind: StaffToTrain, Section: sec.Neighbour, Train: t.Name}, Mine: true, Wanted: x.arrival(t),
				Label: "staff to " + t.Name + ", " + sec.Neighbour})
		case s.Where == StaffOnTrain && s.Train == t.ID && (t.Returned || t.Out.Section != i), s.Where == StaffIsAway && t.In.Section == i && t.In.open() && t.In.Arrived != 0:
			x.offer(Expectation{Event: Event{Kind: StaffFromTrain, Section: sec.Neighbour, Train: t.Name}, Mine: true, Wanted: t.PlaceAt,
				Label: "staff from " + t.Name + ", " + sec.Neighbour})
		}
		if how.Tickets && (t.In.Section == i && t.In.open() && t.In.Arrived != 0 || t.Returned && t.Out.Section == i && s.ticketed(t.ID)) {
			x.ticketNext(TicketFromTrain, "ticket from ", sec.Neighbour, t, t.PlaceAt+1)
		}
		if !how.Offers && (s.Where == StaffUnknown && ready || s.Where == StaffOnTrain && s.Train == t.ID && !t.Out.open()) {
			x.offer(Expectation{Event: Event{Kind: TrainDeparted, Section: sec.Neighbour, Train: t.Name}, Act: ActDepart, Mine: true, Wanted: x.arrival(t),
				Label: t.Name + " departed for " + sec.Neighbour})
		}
	}
}

// wentBack expects, last of all, out of section from the box that let the train
// go: it may have been set back there.
func (x *expecting) wentBack(t *Train) {
	i := t.In.Section
	if how := x.b.Sections[i].Method.Is(); !how.Single || !how.Offers || x.s.Bells[i].Asked.Open {
		return
	}
	if row := x.row(i, rulebook.OutOfSection, rulebook.AnyClass); row != nil {
		x.offer(Expectation{Event: Event{Kind: Bells, Section: x.b.Sections[i].Neighbour, Train: t.Name, Bells: x.exchange(i, row, false)}, Act: ActOut,
			Wanted: x.arrival(t) + laterRemoval, Label: t.Label(x.b) + " went back to " + x.b.Sections[i].Neighbour + ": out of section from there",
			Clears: t.Label(x.b) + " is " + Whereabouts(x.b, t) + ", and the line is cleared of it. Has " + x.b.Sections[i].Neighbour + " said that the whole train is back there, with its tail lamp, and where is its token?"})
	}
}

// onPaperNext expects the paper ticket of a train, the next of its book, where the
// inquiries are numbered, a ticket was used before, or no token is drawn.
func (x *expecting) onPaperNext(t *Train) {
	i := t.Out.Section
	s := &x.s.Staffs[i]
	if d := x.next.begin(t.Out.Line, Outward, true); t.Name != "" && d.onPaper() && (s.Form != 0 || d.ls().Inquiry != 0 || d.byToken() && d.tokens().Out == 0) &&
		!s.ticketed(t.ID) {
		x.ticketNext(TicketToTrain, "ticket to ", x.b.Sections[i].Neighbour, t, t.Out.Accepted)
	}
}

// ticketNext expects a ticket to or from a train; its number is asked.
func (x *expecting) ticketNext(k Kind, words, who string, t *Train, wanted Time) {
	x.offer(Expectation{Event: Event{Kind: k, Section: who, Number: x.s.Staffs[x.b.SectionIndex(who)].Form + 1, Train: t.Name}, Mine: true, AskNumber: true, Wanted: wanted,
		Label: words + t.Name + ", " + who})
}

func (x *expecting) outNext(d action) {
	x.outOf(d, func(t *Train) bool { return t.occupies(d.line) })
}

// outOf expects train out of section for the trains that match.
func (x *expecting) outOf(d action, match func(*Train) bool) {
	row := x.row(d.ref().section, rulebook.OutOfSection, rulebook.AnyClass)
	if row == nil {
		return
	}
	for _, t := range x.s.Trains {
		l := t.leg(d.dir)
		if !match(t) || l.Line != d.line || (t.Returned || t.Back) && !d.mine {
			continue // an engine that is to come back is not awaited over there
		}
		e := Expectation{Event: x.bellEvent(&d, row, t), Act: ActOut, Mine: d.mine, Wanted: l.Entered + x.s.running(x.b, d.ref().section, t.Class)}
		if d.section().Method.Is().Counter {
			e.Event = Event{Kind: Indicator, Section: d.section().Neighbour, Subject: "free", Line: d.lineName()}
		}
		e.Label = t.Label(x.b) + " out of section, from " + d.section().Neighbour
		if d.mine {
			e.Label = t.Label(x.b) + " out of section, to " + d.section().Neighbour
			e.Wanted = t.In.Arrived + 1 // it goes into the next section first
			if t.Where == Here {
				e.Wanted = min(t.In.Entered, t.In.Arrived-1) // owed before any offer
			}
		}
		if !d.mine && firstTrain(x.s.Trains, func(o *Train) bool { return o.Helps == t.ID && o.Where == Here }) != nil {
			e.Wanted = x.s.Now + laterOffer - 3 // an engine is to go to it first
		}
		if t.aside(d.line) {
			e.Clears = t.Label(x.b) + " is in doubt: " + Whereabouts(x.b, t) + ". Is it clear of the section, with its tail lamp?"
		}
		x.offer(e)
	}
}
