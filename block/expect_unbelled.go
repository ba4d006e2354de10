package block

import "fairhand/block/rulebook"

// What is expected next while trains go over a section by message or by a pilot, and the
// words of the block are not used for it.

// sentNext expects a train that is here to go on the leave of a message, or of the pilot.
func (x *expecting) sentNext(t *Train) {
	for i := range x.b.Sections {
		c, who := &x.s.Circuits[i], x.b.Sections[i].Neighbour
		if !c.unbelled() || c.Worded || t.Name == "" || t.In.Section == i || t.Out.Section == i {
			continue
		}
		e := Expectation{Act: ActDepart, Mine: true, Wanted: x.wantsAway(t) + Minute, Label: t.Name + " departed for " + who}
		e.Event = Event{Kind: TrainDeparted, Train: t.Name, Section: who}
		x.rides(&e, i, t)
		x.offer(e)
	}
}

// piloted says whether a train goes on with the pilot: who took it is booked with its departure.
func (x *expecting) piloted(t *Train) bool { return x.b.Sections[t.Out.Section].Method.Is().Piloted }

// rides has the pilot of section i go with a train, where there is one and it has no ticket.
func (x *expecting) rides(e *Expectation, i int, t *Train) {
	if c := &x.s.Circuits[i]; c.Pilot != "" && !x.s.Staffs[i].ticketed(t.ID) {
		e.Event.Text = c.Pilot + " riding"
		e.Label += ", " + e.Event.Text
	}
}

// comesNext expects the trains that a message to the neighbour lets come, and one that the
// pilot brings, of which nothing is told before.
func (x *expecting) comesNext(i int) {
	c, ways := &x.s.Circuits[i], x.b.ways[i][Inward]
	if !c.unbelled() || c.Worded || len(ways) == 0 || x.s.occupied(ways[0]) != nil {
		return
	}
	leg := Leg{Section: i, Line: ways[0]}
	e := Expectation{Mine: true, AskProof: true, Wanted: x.s.LastAt + x.s.running(x.b, i, rulebook.Passenger), Event: Event{From: x.b.Sections[i].Neighbour}}
	if c.Pilot != "" {
		e.AskTrain, e.Untold, e.Event.Text, e.Wanted = true, true, c.Pilot+" riding", x.s.Now+laterOffer
		x.arrives("a train", &leg, e)
		return
	}
	for name := range letGo(c.Given) {
		if x.s.TrainNamed(name) == nil {
			x.arrives(name, &leg, e)
		}
	}
}
