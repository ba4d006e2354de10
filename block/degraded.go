package block

import (
	"strings"

	"fairhand/block/rulebook"
)

// Working when bells or instruments have failed: by message, or with a pilot.

// byMessage: the section is worked by message and the box in advance has sent
// one since the last train went. Source: from memory; form of the messages per
// railway.
var byMessage = Guard{
	Name: "allowed by message or pilot",
	holds: func(d *action) bool {
		c := &d.s.Circuits[d.ref().section]
		return c.Message || c.Pilot != ""
	},
}

var messageHeld = Guard{
	Name: "a message in hand for this train", Rule: rulebook.WorkingByMessageNoMessage, Mine: true, Replaces: true,
	Expected: "a message from the box in advance, written down and repeated back, before the train goes",
	holds: func(d *action) bool {
		c := &d.s.Circuits[d.ref().section]
		return !c.Message || c.Told > 0
	},
}

// pilotWith: every train on a line worked by pilot is accompanied by him or has
// his ticket. Source: Great Southern Railways Rule Book 1933, rule 192; General
// Rules (India) 11.01, 11.04.
var pilotWith = Guard{
	Name: "the pilot with the train, or his ticket", Rule: rulebook.PilotMissing, Mine: true, Replaces: true,
	Expected: "the pilot named with the departure, or his ticket to the driver",
	holds: func(d *action) bool {
		c := &d.s.Circuits[d.ref().section]
		if c.Pilot == "" || strings.Contains(d.e.Text, c.Pilot) {
			return true
		}
		for _, k := range d.s.Staffs[d.ref().section].Tickets {
			if d.train != nil && k.Train == d.train.ID {
				return true
			}
		}
		return false
	},
}

// told takes a message from a box that works by message with us: the arrival of
// the train in section, or consent to the next.
func (st *step) told() {
	i := st.b.SectionIndex(st.e.Subject)
	if i < 0 || !st.s.Circuits[i].Message || st.e.Kind != MessageFrom {
		return
	}
	for _, t := range st.s.Trains {
		if t.Where == Away && t.Out.Section == i && t.Out.open() && t.Name != "" && strings.Contains(st.e.Text, t.Name) {
			// A message that names the train in section reports it in.
			line := t.Out.Line
			t = st.touch(t)
			t.Out.OutOf = st.e.At
			st.close(t)
			st.settle(line)
			return
		}
	}
	st.editCircuit(i).Told++
}

// usesMessage takes the message in hand for a train that goes on it.
func (d *action) usesMessage() {
	if d.s.Circuits[d.ref().section].Told > 0 && d.dir == Outward {
		d.editCircuit(d.ref().section).Told = 0
	}
}

// Working in wrong direction was agreed on the line.
var wrongWayAgreed = Guard{
	Name:  "working in wrong direction agreed",
	holds: func(d *action) bool { return d.ls().WrongWay },
}

var messageOrWrongWay = Guard{
	Name:  "allowed by message or pilot, or working in wrong direction agreed",
	holds: func(d *action) bool { return d.ls().WrongWay || byMessage.holds(d) },
}

var acceptedOrWrongWay = Guard{
	Name:  "train had been accepted, or working in wrong direction agreed",
	holds: func(d *action) bool { return d.ls().WrongWay || wasAccepted.holds(d) },
}
