package block

import (
	"cmp"
	"slices"

	"fairhand/block/rulebook"
)

// Single line working: trains of both directions over one line of a double line,
// each with the pilot or his ticket, the bells exchanged as before. It is begun,
// changed and ended by entries, and is a method of its own while it lasts: the line
// in use has the machine of a single line, the other is shut. Sources: Great Southern
// Railways Rule Book 1933, rules 190 to 192; that bells are exchanged all the same is
// from memory.

// unbelled says whether trains go by message or by a pilot, and not by the bells.
func (c *Circuit) unbelled() bool { return c.Message || c.Pilot != "" && c.Over == "" }

// byPilot says whether the pilot alone lets trains go: nothing is offered.
func (c *Circuit) byPilot() bool { return c.unbelled() && !c.Message }

// Worked is the box as it is worked in a state: that described, but for sections
// under single line working.
func (b *Box) Worked(s *State) *Box {
	now := b
	for i := range s.Circuits {
		over := s.Circuits[i].Over
		if over == "" || b.Sections[i].Method != rulebook.Absolute {
			continue
		}
		if now == b {
			c := *b
			now, c.Sections = &c, slices.Clone(b.Sections)
		}
		sec := &now.Sections[i]
		sec.Method, sec.Lines = rulebook.SingleLineWorking, slices.Clone(sec.Lines)
		for _, l := range b.pairOver(i, over) {
			ln := &sec.Lines[b.lines[l].line]
			if ln.Way = Shut; ln.Name == over {
				ln.Way = Both
			}
		}
	}
	if now != b {
		now.ways = now.waysOf()
	}
	return now
}

// bySingle says whether a line is one of the two of which trains use one, while single line
// working is on; others of the section are worked as ever.
func (l *Line) bySingle() bool { return l.Way == Both || l.Way == Shut }

// pairOver are the lines of the pair of section i to which a line belongs; none when
// the section has no such line.
func (b *Box) pairOver(i int, name string) []int {
	var pair []int
	named := b.lineThat(i, func(l int) bool { return b.lineAt(l).Name == name })
	for l := range b.linesOf(i) {
		if named >= 0 && b.pairs[l] == b.pairs[named] {
			pair = append(pair, l)
		}
	}
	return pair
}

// singleLine begins single line working over the line that the entry names, changes
// its pilot or its line, or notes that the form appointing him is held here. It says
// whether the entry is about it.
func (st *step) singleLine(i int) bool {
	pair := st.b.pairOver(i, st.e.Line)
	if st.e.Kind != WorkingPilot || len(pair) == 0 || st.base.Sections[i].Method != rulebook.Absolute || !st.b.Rules.Covers(rulebook.SingleLineWorking) {
		return false
	}
	c := st.editCircuit(i)
	c.Message, c.Told, c.Given, c.Worded = false, nil, nil, false
	if c.Over == st.e.Line && c.Pilot == st.e.Subject {
		c.Form = cmp.Or(st.e.PN, c.Form)
		return true
	}
	if c.Over != st.e.Line {
		st.lineFreeFor(pair)
		st.unring(i)
		st.leaveSingle(i)
	}
	c.Pilot, c.Over, c.Form, c.Begun = st.e.Subject, st.e.Line, st.e.PN, st.e.Seq
	st.pilotAt(i, PilotUnknown)
	return true
}

// lineFreeFor raises what is signalled on either line, and a train on the one that is
// to be used both ways; that on the other may be the reason.
func (st *step) lineFreeFor(pair []int) {
	for _, l := range pair {
		if st.s.Lines[l].Phase == Offered {
			st.settle(l) // it will be offered anew
		}
		t, said := st.acceptedOn(l), "Single line working was begun with a train accepted"
		if t == nil && st.online(l).lineName() == st.e.Line {
			t, said = st.s.occupied(l), "Single line working was begun with a train on the line to be used"
		}
		if t != nil {
			st.noteSaying(rulebook.WorkingChangedTrainSignalled, st.e.Section, t.Label(st.b), said, "every train out of section on the line to be used both ways, and none accepted on either")
		}
	}
}

// acceptedOn is the train for which line clear is in force on a line, nil for none.
func (st *step) acceptedOn(l int) *Train {
	if p := st.s.Lines[l].Phase; !p.lineClear() {
		return nil
	}
	return st.s.Train(st.s.Lines[l].Train)
}

// leaveSingle ends single line working: each line has its one direction again.
func (st *step) leaveSingle(i int) {
	c := st.editCircuit(i)
	for _, l := range st.b.pairOver(i, c.Over) {
		st.editLine(l).Dir = dirOf(st.base.lineAt(l).Way == In)
	}
	c.Over, c.Form = "", ""
	st.b = st.base.Worked(st.s)
}

// pilotWent asks for the pilot of a train that the bells alone tell of, when it is out of the
// section and its going is still not booked: where he went away with another before, he
// was not with it.
var pilotWent = Guard{
	Name: pilotWith.Name, Rule: pilotWith.Rule, For: piloted, Expected: pilotWith.Expected,
	holds: func(d *action) bool {
		return d.s.Circuits[d.ref().section].PilotAt != PilotGone || !d.wentUntold()
	},
}

// wentUntold says whether nothing is booked of a train's going, nor of the pilot with it.
func (d *action) wentUntold() bool {
	return d.dir == Outward && d.train != nil && !d.train.Out.Booked && !d.train.Returned && !pilotWith.holds(d)
}

// pilotUntold asks for what is not booked of a train that may have gone with the pilot.
func (d *action) pilotUntold() {
	if d.s.Circuits[d.ref().section].PilotAt != PilotGone && d.wentUntold() {
		d.noteSaying(rulebook.StepNotBooked, d.section().Neighbour, d.train.Label(d.b), "Its departure not booked, nor that the pilot or his ticket went with it", pilotWith.Expected)
	}
}

// formHeld: each box holds the form by which the pilot is appointed before a train is
// sent. Sources: Tablet regulations, Swindon 1890, clause 23; General Rules (India),
// Subsidiary Rule 11.02.1.
var formHeld = Guard{
	Name: "the form appointing the pilot held here", Rule: rulebook.PilotFormMissing, For: piloted, Mine: true,
	Expected: "the form that appoints the pilot signed and held here, and its number booked, before a train is sent",
	holds: func(d *action) bool {
		c := &d.s.Circuits[d.ref().section]
		return c.Form != "" || c.Pilot == ""
	},
}

// pilotBooked judges a departure that is written after entering was sent.
func (d *action) pilotBooked() {
	for _, g := range [...]*Guard{&pilotToo, &formHeld} {
		if g.For.of(d.section().Method) && !g.holds(d) {
			d.findSaying(g.Rule, g.Says, g.Expected)
		}
	}
	d.pilotRides()
}

// Shut says whether a line is given no trains, the other being worked as a single line.
func (s *State) Shut(b *Box, l BoxLine) bool {
	over := s.Circuits[l.Section].Over
	return over != "" && over != l.Line.Name && slices.Contains(b.pairOver(l.Section, over), l.Index)
}

// Single says how section i is worked while single line working lasts, "" when it
// does not.
func (s *State) Single(i int) string {
	c := &s.Circuits[i]
	switch {
	case c.Over == "":
		return ""
	case c.Form == "":
		return "single line working over " + c.Over + ", pilot " + c.Pilot + pilotWords[c.PilotAt] + ", his form not yet held here"
	}
	return "single line working over " + c.Over + ", pilot " + c.Pilot + pilotWords[c.PilotAt] + ", form " + c.Form
}

// singleLines expects the pilot's form, and the end of single line working or of
// working by message.
func (x *expecting) singleLines() {
	for i := range x.b.Sections {
		c, who := &x.s.Circuits[i], x.b.Sections[i].Neighbour
		switch {
		case c.unbelled() && c.Over == "":
			first := x.b.firstLine(i)
			if slices.ContainsFunc(x.s.Lines[first:first+len(x.b.Sections[i].Lines)], func(l *LineState) bool { return l.Phase != Normal }) {
				continue
			}
			x.offer(Expectation{Event: Event{Kind: WorkingNormal, Section: who}, Mine: true, Wanted: x.s.Now + laterHandBack, Label: "normal working to " + who + " again",
				Clears: "Working by " + cmp.Or(So(c.Message, "message"), "pilot") + " to " + who + " is ended. Is the instrument right again, the last train each way reported in, and the section clear?"})
		case c.Over == "":
		case c.Form == "":
			x.offer(Expectation{Event: Event{Kind: WorkingPilot, Section: who, Subject: c.Pilot, Line: c.Over, PN: "1"}, Mine: true, AskPN: true, Wanted: x.s.LastAt,
				Label: "form appointing " + c.Pilot + " signed and held here, " + who})
		default:
			x.offer(Expectation{Event: Event{Kind: WorkingNormal, Section: who}, Mine: true, Wanted: x.s.Now + laterHandBack, Label: "both lines to " + who + " in use again",
				Clears: "Single line working over " + c.Over + " to " + who + " is ended. Is the other line clear and safe, the last train reported in, and the pilot's forms given up?"})
		}
	}
}
