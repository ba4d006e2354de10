package block

import (
	"slices"
	"strings"
	"unicode"

	"fairhand/block/rulebook"
)

// The pilot: who or what lets a train onto a line that he works, and at which end of it
// he is.

// pilotWith: every train on a line worked by pilot is accompanied by him or has
// his ticket. Source: Great Southern Railways Rule Book 1933, rule 192; General
// Rules (India) 11.01, 11.04.
var pilotWith = Guard{
	Name: "the pilot with the train, or his ticket", Rule: rulebook.PilotMissing, Mine: true, Replaces: true,
	Expected: "the pilot named with the departure, or his ticket to the driver",
	holds: func(d *action) bool {
		c := &d.s.Circuits[d.ref().section]
		if c.Over != "" && !d.b.lineAt(d.line).bySingle() {
			return true // of another pair
		}
		if c.Pilot == "" || c.PilotAt != PilotGone && saysName(d.e.Text, c.Pilot) {
			return true
		}
		return d.train != nil && d.staff().ticketed(d.train.ID)
	},
}

// saysName says whether a text has the name of the pilot: his surname as a word of its
// own, or that it is the pilot, and not that he is missing; points and capitals are written as
// they come.
func saysName(text, name string) bool {
	plain := func(s string) []string {
		return strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '\'' && r != '-' })
	}
	words, said := plain(name), plain(text)
	for i, w := range said {
		if slices.ContainsFunc(said[max(0, i-2):i], func(w string) bool { return w == "no" || w == "without" }) {
			continue // said not to be there
		}
		w = strings.TrimSuffix(w, "'s")
		if w == "pilot" || w == "pilotman" || len(words) > 0 && w == words[len(words)-1] {
			return true
		}
		if n := len(words); n > 1 && i > 0 && said[i-1] == words[n-2] && soundsLike(w, words[n-1]) {
			return true // with his initial before it
		}
	}
	return false
}

// soundsLike says whether a name may be another misspelt: a letter off, or one letter for
// another and the order changed, behind the same first.
func soundsLike(a, b string) bool {
	if misspelt(a, b) {
		return true
	}
	if len(a) != len(b) || len(a) < 4 || a[0] != b[0] {
		return false
	}
	other := 0
	for i := range a {
		if strings.Count(a, a[i:i+1]) > strings.Count(b, a[i:i+1]) {
			other++
		}
	}
	return other <= 1
}

// rides says whether a text tells that the pilot goes with the train, and not his ticket.
func rides(text, name string) bool {
	return saysName(text, name) && !strings.Contains(strings.ToLower(text), "ticket")
}

// pilotToo is pilotWith besides what else the act breaks.
var pilotToo = Guard{
	Name: pilotWith.Name, Rule: pilotWith.Rule, Mine: true, Expected: pilotWith.Expected, holds: pilotWith.holds,
}

// cameWithPilot: a train that arrives over a line worked by a pilot brings him or
// his ticket; every train before it the other way is then out, and so is this
// one. Source: Great Southern Railways Rule Book 1933, rule 192.
func (st *step) cameWithPilot(t *Train) {
	i := t.In.Section
	if i < 0 || st.s.Circuits[i].Pilot == "" {
		return
	}
	over := st.s.Circuits[i].Over
	if over != "" && (t.In.Line < 0 || st.online(t.In.Line).lineName() != over) {
		return
	}
	st.pilotComes(t)
	if over != "" {
		return // it is told out by bell
	}
	for _, o := range slices.Clone(st.s.Trains) {
		if o.ID != t.ID && o.Where == Away && o.Out.Section == i && o.Out.Line == t.In.Line && o.Out.open() {
			st.goneBy(o, Outward)
		}
	}
	t.In.OutOf = st.e.At
	st.settle(t.In.Line)
	st.editLine(t.In.Line).Freed = t.Name // which may be told in words as well
}

// pilotComes notes where the pilot is when a train has come over the line that he works:
// with it, or still at the other end, where he gave it his ticket. Booked as here, he has
// done neither. Source: Great Southern Railways Rule Book 1933, rule 192.
func (st *step) pilotComes(t *Train) {
	i := t.In.Section
	c := st.editCircuit(i)
	switch {
	case rides(st.e.Text, c.Pilot):
		c.Otherwise.Belled = c.Otherwise.Belled || c.byPilot() && t.In.Accepted != 0
		st.pilotCame(t)
		st.pilotAt(i, PilotHere)
	case c.PilotAt == PilotHere:
		st.note(rulebook.PilotMissing, st.b.Sections[i].Neighbour, t.Label(st.b), "the pilot named with the arrival: he was last booked here").Line = c.Over
	case c.PilotAt == PilotGone:
		c.PilotAt = PilotMaybe
	}
}

// pilotCame presumes that the pilot rode on a train that went without him, when he comes
// back with another and the book has him here, or does not know where: the only one since
// that he can have gone by. Booked as gone before, he was not here to send a train by his
// ticket.
func (st *step) pilotCame(t *Train) {
	if at := st.s.Circuits[t.In.Section].PilotAt; at == PilotGone || at == PilotMaybe {
		for st.contradict(st.sentUnseen(t.In.Section)) {
		}
		return
	}
	rode := slices.DeleteFunc(slices.Clone(st.s.Doubts), func(o Doubt) bool {
		return o.Step != StepPilot || st.b.sectionOf(o.Line) != t.In.Section || t.In.Entered != 0 && t.In.Entered <= o.At // that was on its way by then
	})
	if len(rode) == 1 {
		st.notBooked(rode[0], nil, StepPilot)
	}
}

// sentUnseen matches what is dangerous should the pilot not have come back unsaid before a
// train went from here by his ticket.
func (st *step) sentUnseen(i int) func(*Presumption) bool {
	return func(p *Presumption) bool {
		return st.b.sectionOf(p.Line) == i && p.Said == (Answer{}) && slices.Contains(p.Steps, StepPilot)
	}
}

// pilotRides notes to which end of the section the pilot goes with a train that
// the entry says he rides on. Of one that has his ticket as well he may have done only one.
func (d *action) pilotRides() {
	i := d.ref().section
	c := &d.s.Circuits[i]
	switch ticketed := d.dir == Outward && d.train != nil && d.staff().ticketed(d.train.ID); {
	case c.Pilot == "":
	case rides(d.e.Text, c.Pilot) && d.dir == Inward:
		d.pilotAt(i, PilotHere)
	case rides(d.e.Text, c.Pilot) && ticketed:
		d.pilotAt(i, PilotUnknown)
	case rides(d.e.Text, c.Pilot):
		d.pilotAt(i, PilotGone)
	case ticketed && (c.PilotAt == PilotGone || c.PilotAt == PilotMaybe) && d.e.Kind != Bells:
		f := d.wouldBreak(rulebook.PilotMissing, d.section().Neighbour, d.e.Line, d.train.Label(d.b))
		d.presumption(Presumption{Line: d.line, Name: d.train.Name, Steps: []Step{StepPilot}, Found: []Finding{f}})
	}
}

// pilotAt notes where the pilot of section i is.
func (st *step) pilotAt(i int, at PilotPlace) {
	st.editCircuit(i).PilotAt = at
	st.endDoubts(func(o *Doubt) bool { return o.Step == StepPilot && st.b.sectionOf(o.Line) == i })
	st.endPresumptions(st.sentUnseen(i))
}
