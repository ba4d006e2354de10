package tui

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/calendar"
	"fairhand/register/notation"
)

// A misspelt name is in the register for good. A name typed that the box, or what
// is on hand, does not have is asked about once; Enter again writes it as typed.

// doubtful is a name in a line typed that nobody here knows; nothing is written. Without
// words there is none.
type doubtful struct {
	words      string
	name, near string // what is typed, and what may be meant; "" for none
	adds       string // the line that would add it to the box; "" for none
}

// named is what a name of an event must be one of. Nothing is asked where the box
// lists none of its sort.
type named struct {
	sort, name string
	known      []string
}

// none stands for the names where there is none.
const none = "none"

// doubts says of the first name in events that is not known what it may mean, or
// which trains are left to nobody.
func (m *sight) doubts(events []block.Event) doubtful {
	if words := m.deserted(events); words != "" {
		return doubtful{words: words}
	}
	for _, e := range events {
		if words := m.before(&e); words != "" {
			return doubtful{words: words}
		}
		for _, n := range m.namesIn(&e) {
			if n.name == "" || len(n.known) == 0 || slices.Contains(n.known, n.name) {
				continue
			}
			words := fmt.Sprintf("There is no %s %q here.", n.sort, n.name)
			near := notation.Nearest(n.name, n.known)
			if near != "" {
				words += fmt.Sprintf(" Did you mean %q?", near)
			} else if len(n.known) <= 4 && n.known[0] != none {
				words += " There is " + strings.Join(n.known, ", ") + "."
			}
			return doubtful{words, n.name, near, m.adding(n.sort, n.name)}
		}
		if d := m.likeBooked(&e); d.words != "" {
			return d
		}
		if words := m.wouldFind(&e); words != "" {
			return doubtful{words: words}
		}
	}
	return doubtful{}
}

// likeBooked asks about a train offered under a name that is not booked, and is near to that
// of one which the same box is still to send: nobody sees two figures exchanged.
func (m *sight) likeBooked(e *block.Event) doubtful {
	sent, offered := m.offer(e)
	if !offered || e.Train == "" || slices.Contains(namesOf(m.state.Trains, trainName), e.Train) {
		return doubtful{}
	}
	var coming []string
	for i := range m.ahead.Trains {
		p := &m.ahead.Trains[i]
		if p.Train == e.Train {
			return doubtful{}
		}
		if p.ID == 0 && (!sent && p.From == e.Section || sent && p.From == "" && p.To == e.Section) {
			coming = append(coming, p.Train)
		}
	}
	near := notation.Nearest(e.Train, coming)
	if near == "" {
		return doubtful{}
	}
	return doubtful{fmt.Sprintf("%s is not booked here, %s is. Did you mean %q?", e.Train, near, near), e.Train, near, ""}
}

// offer says whether an event offers a train, and whether this box sends it.
func (m *sight) offer(e *block.Event) (sent, is bool) {
	i := m.box.SectionIndex(e.Section)
	if e.Kind != block.Bells || i < 0 {
		return false, false
	}
	for _, b := range e.Bells {
		if b.Code == "offer" || slices.ContainsFunc(m.box.CodeBook(i), func(r rulebook.CodeRow) bool { return r.Code == b.Code && r.Means == rulebook.Offer }) {
			return b.Sent, true
		}
	}
	return false, false
}

// wouldFind is what is asked about for what would be found of an event: that it tells of
// nothing that is here, or ends nothing; and line clear given with a user on a crossing,
// no danger yet, and the last moment at which nothing is lost by waiting.
func (m *sight) wouldFind(e *block.Event) string {
	at := *e
	at.Seq, at.At = m.state.LastSeq+1, cmp.Or(e.At, m.state.Now, m.state.LastAt)
	_, found := block.Apply(m.box, *m.state, &at)
	for _, f := range found {
		switch f.Rule {
		case rulebook.CrossingTrainLetTowards:
			if e.Kind == block.Bells && f.Severity == rulebook.Advice {
				return f.Text + "."
			}
		case rulebook.NameNotOfBox, rulebook.EndedNotBegun:
			if f.Severity == rulebook.Irregular && f.Seq == at.Seq && at.At >= m.state.LastAt { // of then, nobody can tell now
				return f.Text + "."
			}
		}
	}
	return ""
}

// namesIn are the names of an event that can be checked.
func (m *sight) namesIn(e *block.Event) []named {
	b := m.box
	var boxes, lines []string
	for i := range b.Sections {
		s := &b.Sections[i]
		boxes = append(append(boxes, s.Neighbour), s.LongSection...)
		if e.Section == "" || e.Section == s.Neighbour {
			lines = append(lines, namesOf(s.Lines, lineName)...)
		}
	}
	places := slices.Concat(namesOf(b.Places, placeName), namesOf(b.Crossings, crossingName))
	out := []named{{"neighbour", e.Section, boxes}, {"neighbour", e.From, boxes}, {"line", e.Line, append(lines, places...)}}
	if e.Kind == block.Posted || e.Kind == block.Withdrawn {
		return append(out, m.subject(e)...) // a post is anywhere
	}
	if e.Kind >= block.CrossingAsked && e.Kind <= block.TrainCautioned {
		out = append(out, named{"level crossing", e.Place, namesOf(b.Crossings, crossingName)})
	} else {
		out = append(out, named{"place", e.Place, places})
	}
	if m.mustBeOnHand(e) {
		out = append(out, named{"train", e.Train, m.onHand()})
	}
	return append(out, m.subject(e)...)
}

// subject is the subject of an event where it is a signal, gear or a person.
func (m *sight) subject(e *block.Event) []named {
	var known []string
	sort, signals, gear := "gear", namesOf(m.box.Signals, signalName), namesOf(m.box.Gear, gearName)
	switch e.Kind {
	case block.SignalOff, block.SignalOn:
		sort, known = "signal", signals
	case block.Failure, block.Disconnected, block.Clamped, block.Released:
		known = slices.Concat(gear, signals, namesOf(m.box.Crossings, crossingName))
		if len(gear) == 0 {
			return nil // the box lists none, and anything may fail
		}
	case block.PointsSet, block.PointsLocked, block.PointsWound, block.FrameOut, block.FrameIn:
		known = gear
	case block.Restored, block.Reconnected, block.Unclamped:
		sort, known = "gear out of use", namesOf(m.state.Gear, func(g *block.GearState) string { return g.Name })
	case block.ReminderOff:
		sort, known = "reminder", namesOf(m.state.Reminders, reminderOn)
	case block.DutyOn:
		sort, known = "person of the box", namesOf(m.box.People, personName)
	case block.DutyOff:
		sort, known = "person on duty", namesOf(m.state.OnDuty, onDutyName)
	default:
		return nil
	}
	if len(known) == 0 && sort != "signal" && sort != "person of the box" {
		known = []string{none}
	}
	return []named{{sort, e.Subject, known}}
}

// mustBeOnHand says whether a train that an entry names was to be signalled before:
// every movement, and every bell signal but the offer that brings it.
func (m *sight) mustBeOnHand(e *block.Event) bool {
	if i := m.box.SectionIndex(e.From); i >= 0 && m.state.Circuits[i].Unbelled() != "" {
		return false // it may come with nothing signalled
	}
	switch e.Kind {
	case block.TrainPassed, block.TrainDeparted, block.TrainMoved, block.TrainDivided, block.TrainEntire, block.TrainPutAway, block.TrainOff,
		block.TrainRenamed, block.TrainArrived, block.TrainJoined, block.EngineDetached, block.TrainExamined, block.TrainDetained, block.TrainCautioned, block.TokenFromTrain, block.StaffFromTrain, block.TokenToTrain, block.StaffToTrain, block.TicketToTrain:
		return true
	case block.Bells:
		i := m.box.SectionIndex(e.Section)
		if _, offered := m.offer(e); offered || i < 0 || len(e.Bells) == 0 {
			return false
		}
		return m.inBook(i, e.Bells[len(e.Bells)-1].Code) != nil
	}
	return false
}

// onHand are the names of the trains on hand.
func (m *sight) onHand() []string {
	out := []string{}
	for _, t := range m.state.Trains {
		if t.Name == "" {
			return nil // it may be this one that gets its name
		}
		out = append(out, t.Name)
	}
	if len(out) == 0 {
		return []string{none}
	}
	return out
}

// asks shows what a typed name may mean; Enter again writes it as typed. Where Tab is free
// it takes the name meant, and pressed again adds the one typed to the box.
func (m model) asks(d doubtful) model {
	m.doubted, m.adds, m.meant, m.shut = strings.TrimSpace(m.edit.String()), "", "", m.moment
	if m.mode == modeLine {
		m.adds, m.meant = d.adds, instead(m.edit.String(), d.name, d.near)
	}
	tab := ""
	switch {
	case m.meant != "":
		tab = m.key("Tab") + " takes it, "
	case m.adds != "":
		tab = m.key("Tab") + " adds it to the box, "
	}
	return m.saying(d.words+" "+sentence(tab+m.key("Enter"))+" again writes it as typed, "+m.key("Esc")+" goes back. Nothing is written yet.", warn)
}

// instead is a line with the name meant in the place of the one typed; "" where that is not
// to be found in it.
func instead(line, name, near string) string {
	if name == "" || near == "" {
		return ""
	}
	if strings.TrimSpace(line) == name {
		return near
	}
	for _, as := range []string{`"` + name + `"`, name} {
		if before, after, ok := strings.Cut(" "+line+" ", " "+as+" "); ok {
			return strings.TrimSpace(before + " " + notation.Word(near) + " " + after)
		}
	}
	return ""
}

// takesMeant puts the name meant in the place of the one typed, which can still be added.
func (m model) takesMeant() model {
	typed, adds, end := m.edit.String(), m.adds, ""
	m = m.typed(edited(m.meant))
	if m.adds, m.unmeant = adds, typed; adds != "" {
		end = ", " + m.key("Tab") + " again adds what was typed to the box"
	}
	return m.saying(sentence(m.key("Enter"))+" writes it so"+end+". Nothing is written yet.", calm)
}

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
