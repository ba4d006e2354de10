package block

import (
	"slices"
	"strings"

	"fairhand/block/rulebook"
)

// cameByMessage looks at the authority of a train that came here with no line
// clear by bell while the section is worked by message or by a pilot. It reports
// whether the section is worked so.
func (st *step) cameByMessage(t *Train) bool {
	i := t.In.Section
	c := st.editCircuit(i)
	k := allowing(c.Given, t.Name)
	if name := st.nearIn(c.Given, t.Name, alike); c.Message && name != "" {
		t, k = st.letGoAs(t, name), allowing(c.Given, name)
		st.perhapsTwo(rulebook.WorkingByMessageNoMessage, name, st.found[len(st.found)-1], leaveExpected)
	}
	switch {
	case c.Message && k < 0 && !c.Worded && askedAndLeft(c.Heard, t.Name):
		st.noteSaying(rulebook.StepNotBooked, st.b.Sections[i].Neighbour, t.Label(st.b), "Line clear by message is not booked", "the message to the box in rear that the train may come")
	case c.Message && (k < 0 || c.Worded):
		st.note(rulebook.WorkingByMessageNoMessage, st.b.Sections[i].Neighbour, t.Label(st.b), leaveExpected)
	case c.Message:
		st.unclearLeave(i, t, c.Given[k])
		c.Given = slices.Delete(slices.Clone(c.Given), k, k+1)
		st.notOnItsBell(t)
	case !c.unbelled():
		return false
	}
	c.Heard = slices.DeleteFunc(slices.Clone(c.Heard), func(text string) bool {
		return strings.Contains(text, t.Name) || len(namesIn(text)) == 0
	})
	return true
}

// notOnItsBell puts aside those to which line clear was given by bell, where another comes before
// them by message: they were cancelled, as it seems.
func (st *step) notOnItsBell(t *Train) {
	for _, o := range slices.Clone(st.s.Trains) {
		if o.ID != t.ID && o.In.Line == t.In.Line && o.In.accepted() && !o.In.Aside {
			st.doubt(o.In.Line, o, StepCancel)
			st.touch(o).In.Aside = true
		}
	}
}

// letGoAs takes a train for the one that a message lets go under a name much like its own.
func (st *step) letGoAs(t *Train, name string) *Train {
	as := t.Name
	t = st.touch(t)
	t.Name = name
	return st.goesBy(t, as)
}

const leaveExpected = "a message to the box in rear that the train may come, written down and repeated back, before it comes"

// leaveUnused gives a train back the leave that another was taken to have come by under its name.
func (st *step) leaveUnused(section int, name string) {
	if section >= 0 && st.twoAfterAll(func(p *Presumption) bool {
		return p.Name == name && p.Found[0].Rule == rulebook.WorkingByMessageNoMessage
	}) {
		c := st.editCircuit(section)
		c.Given = append(slices.Clip(c.Given), "line clear for "+name)
	}
}

// askedAndLeft says whether messages of the box in rear asked line clear for a train and said that
// it had left: it was let come between.
func askedAndLeft(heard []string, train string) bool {
	asked, left := false, false
	for _, text := range heard {
		if strings.Contains(text, train) {
			asked, left = asked || asks(wordsIn(text)), left || says(wordsIn(text), saidGone)
		}
	}
	return asked && left
}

// cameFrom reads the arrival of a train that nothing signalled, with no box booked that it came
// from, as from one with which trains are worked by message or by a pilot: over no other section
// may one come without a bell, and none is on its way there; or as from one of which the axle
// counter shows a train that nobody knows. Of two such it is the one it had leave for, or whose
// pilot rides on it. What is booked in a siding, and not as complete, may be of the yard.
func (st *step) cameFrom(t *Train) {
	if p := st.b.PlaceNamed(st.e.Place); p != nil && p.Siding && st.e.Proof == ProofNone {
		return
	}
	if st.e.From != "" || t.In.Section >= 0 || t.Opened != st.e.Seq || st.s.midway() {
		return
	}
	by, lets := -1, func(c *Circuit) bool {
		return allowing(c.Given, t.Name) >= 0 || c.Pilot != "" && rides(st.e.Text, c.Pilot)
	}
	for i := range st.b.Sections {
		c, how := &st.s.Circuits[i], st.b.Sections[i].Method.Is()
		unknown := st.b.lineThat(i, func(l int) bool { return st.s.Lines[l].unknownIn() }) >= 0
		switch {
		case (c.unbelled() || unknown) && (by < 0 || lets(c)):
			by = i
		case c.unbelled():
		case st.b.Sections[i].OnlyReported, !how.Offers, st.b.byInterval(i):
			return
		}
	}
	coming := func(o *Train) bool {
		return o != t && o.In.Section >= 0 && o.In.Section != by && o.In.open() && o.In.Arrived == 0
	}
	unnamed := func(p *Presumption) bool { return p.Unnamed }
	if by >= 0 && firstTrain(st.s.Trains, coming) == nil && first(st.s.Presumed, unnamed) == nil {
		st.readAs(inFrom, st.b.Sections[by].Neighbour)
	}
}
