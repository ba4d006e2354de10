package tui

import (
	"fmt"

	"fairhand/block"
	"fairhand/register/calendar"
)

// An entry set back in time may come to stand before what its own train did first. It is
// written when it was so, and asked about before.

// before says what is booked of an event's own train, or as the signal that it answers,
// after the moment that the event is given and must have come first; "" for nothing.
func (m *sight) before(e *block.Event) string {
	if i := m.box.SectionIndex(e.Section); i >= 0 && e.Kind == block.Bells && e.At != 0 {
		c := &m.state.Bells[i].Asked
		if c.Open && e.Bells[0] == (block.Bell{Sent: !c.Sent, Code: c.Code}) && c.At > e.At {
			return fmt.Sprintf("%s was given at %s: this would stand before it, at %s, and be no answer to it.",
				c.Code, calendar.Exact(c.At, m.zone), calendar.Exact(e.At, m.zone))
		}
	}
	for _, t := range m.state.Trains {
		if t.Name == "" || t.Name != e.Train || e.At == 0 {
			continue
		}
		came, went := &t.In, &t.Out
		moves := e.Kind == block.TrainArrived || e.Kind == block.TrainPassed || e.Kind == block.TrainDeparted || e.Kind == block.TrainMoved
		for _, step := range []struct {
			at    block.Time
			words string
			first bool // that it must have come first
		}{
			{came.Accepted, "accepted", true},
			{came.Entered, "in section", moves || m.on(e, came)},
			{came.Arrived, "arrived", m.on(e, came) || e.Kind == block.TrainDeparted},
			{t.PlaceAt, "at " + orHere(t.Place), e.Kind == block.TrainMoved},
			{went.Accepted, "accepted ahead", m.on(e, went)},
			{went.Entered, "in section ahead", m.on(e, went)},
		} {
			if step.first && step.at > e.At {
				return fmt.Sprintf("%s is booked as %s at %s: this would stand before it, at %s.",
					t.Name, step.words, calendar.Exact(step.at, m.zone), calendar.Exact(e.At, m.zone))
			}
		}
	}
	return ""
}

// on says whether an event is about the section of a leg.
func (m *sight) on(e *block.Event, l *block.Leg) bool {
	return l.Section >= 0 && m.box.Sections[l.Section].Neighbour == e.Section
}
