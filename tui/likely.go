package tui

import (
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/register/notation"
)

// ending says of what an entry that ends something can only be: that is offered first,
// the oldest first, and may be no name of the box at all.
type ending struct {
	words string // with which the line begins, behind its time
	of    func(m *model, n *notation.Names) (list *[]string, first []string)
}

var endings = []ending{
	{"restored", gearThat(func(g *block.GearState) bool { return g.Failed || g.Released })},
	{"reconnected", gearThat(func(g *block.GearState) bool { return g.Disconnected })},
	{"unclamped", gearThat(func(g *block.GearState) bool { return g.Clamped })},
	{"reminder off", func(m *model, n *notation.Names) (*[]string, []string) {
		return &n.Gear, namesOf(m.state.Reminders, reminderOn)
	}},
	{"duty off", func(m *model, n *notation.Names) (*[]string, []string) {
		return &n.People, namesOf(m.state.OnDuty, onDutyName)
	}},
	{"blockage-up", func(m *model, n *notation.Names) (*[]string, []string) {
		return &n.Lines, namesOf(m.state.Blockages, func(b *block.LineBlockage) string { return b.Line })
	}},
	{"clear", func(m *model, n *notation.Names) (*[]string, []string) {
		return &n.Lines, namesOf(m.state.Obstructions, func(o *block.Obstruction) string { return o.Line })
	}},
}

// gearThat is the gear in a state, in the order in which it came into it.
func gearThat(is func(*block.GearState) bool) func(*model, *notation.Names) (*[]string, []string) {
	return func(m *model, n *notation.Names) (*[]string, []string) {
		return &n.Gear, namesOf(m.state.Gear, func(g *block.GearState) string {
			if !is(g) {
				return ""
			}
			return g.Name
		})
	}
}

// Names of what a box or its state has, for namesOf.
func reminderOn(r *block.Reminder) string   { return r.On }
func onDutyName(o *block.OnDuty) string     { return o.Name }
func lineName(l *block.Line) string         { return l.Name }
func placeName(p *block.Place) string       { return p.Name }
func crossingName(c *block.Crossing) string { return c.Name }
func signalName(s *block.Signal) string     { return s.Name }
func gearName(g *block.Gear) string         { return g.Name }
func personName(p *block.Person) string     { return p.Name }
func trainName(t **block.Train) string      { return (*t).Name }

// namesOf are the names that a list has, each once, without what has none.
func namesOf[T any](list []T, name func(*T) string) []string { return namesNew(nil, list, name) }

// namesNew are the names in out and those of the list that are not there yet.
func namesNew[T any](out []string, list []T, name func(*T) string) []string {
	for i := range list {
		if s := name(&list[i]); s != "" {
			out = appendNew(out, s)
		}
	}
	return out
}

// namesFor are the names for the completion of a line: of an entry that ends something,
// first those that it can be of; of a section's token, first the one that is out.
func (m *model) namesFor(line string) notation.Names {
	n := m.names()
	words := strings.Fields(line)
	if len(words) > 0 && hasClock(words[0]) {
		words = words[1:]
	}
	begun := strings.Join(words, " ") + " "
	for _, e := range endings {
		if strings.HasPrefix(begun, e.words+" ") {
			list, first := e.of(m, &n)
			*list = slices.Concat(first, slices.DeleteFunc(slices.Clone(*list), func(s string) bool { return slices.Contains(first, s) }))
		}
	}
	for i := range m.box.Sections {
		out := m.state.Tokens[i].Out
		if out != 0 && strings.Contains(strings.ReplaceAll(line, `"`, ""), m.box.Sections[i].Neighbour+" token ") {
			n.Tokens = append([]string{itoa(out)}, slices.DeleteFunc(n.Tokens, func(s string) bool { return s == itoa(out) })...)
		}
	}
	return n
}

// names are what the completion of the entry line knows.
func (m *model) names() notation.Names {
	var n notation.Names
	b := m.box
	for i := range b.Sections {
		n.Sections = append(n.Sections, b.Sections[i].Neighbour)
		n.Lines = namesNew(n.Lines, b.Sections[i].Lines, lineName)
		for _, t := range b.Sections[i].Tokens.Charge {
			n.Tokens = appendNew(n.Tokens, itoa(t))
		}
		for _, c := range b.CodeBook(i) {
			n.Codes = appendNew(n.Codes, notation.CodeName{Beats: string(c.Code), Means: c.Words})
		}
	}
	n.Trains = m.here() // what is typed of trains is mostly of these
	latest := slices.Clone(m.state.Trains)
	slices.Reverse(latest)
	n.Trains = namesNew(n.Trains, latest, trainName)
	n.Places, n.Crossings, n.People = namesOf(b.Places, placeName), namesOf(b.Crossings, crossingName), namesOf(b.People, personName)
	// the gates or barriers of a crossing fail under its own name
	n.Gear = namesNew(namesNew(namesOf(b.Signals, signalName), b.Gear, gearName), b.Crossings, crossingName)
	for _, k := range m.state.Blockages {
		n.Gangs = namesNew(n.Gangs, k.Parties, func(p *block.Party) string { return p.Name })
	}
	n.Parties = append([]string{"Control"}, n.Sections...)
	return n
}

func appendNew[T comparable](list []T, x T) []T {
	if slices.Contains(list, x) {
		return list
	}
	return append(list, x)
}
