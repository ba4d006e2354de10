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
		return &n.Gear, namesOf(m.state.Reminders, func(r *block.Reminder) string { return r.On })
	}},
	{"duty off", func(m *model, n *notation.Names) (*[]string, []string) {
		return &n.People, namesOf(m.state.OnDuty, func(o *block.OnDuty) string { return o.Name })
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

// namesOf are the names that a list has, without what has none.
func namesOf[T any](list []T, name func(*T) string) (out []string) {
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
		for _, l := range b.Sections[i].Lines {
			n.Lines = appendNew(n.Lines, l.Name)
		}
		for _, t := range b.Sections[i].Tokens.Charge {
			n.Tokens = appendNew(n.Tokens, itoa(t))
		}
		for _, c := range b.CodeBook(i) {
			n.Codes = appendNew(n.Codes, notation.CodeName{Beats: string(c.Code), Means: c.Words})
		}
	}
	n.Trains = m.here() // what is typed of trains is mostly of these
	for i := len(m.state.Trains) - 1; i >= 0; i-- {
		if t := m.state.Trains[i].Name; t != "" {
			n.Trains = appendNew(n.Trains, t)
		}
	}
	for _, p := range b.Places {
		n.Places = append(n.Places, p.Name)
	}
	for _, c := range b.Crossings {
		n.Crossings = append(n.Crossings, c.Name)
	}
	for _, s := range b.Signals {
		n.Gear = appendNew(n.Gear, s.Name)
	}
	for _, g := range b.Gear {
		n.Gear = appendNew(n.Gear, g.Name)
	}
	for _, c := range b.Crossings { // its gates or barriers fail under its own name
		n.Gear = appendNew(n.Gear, c.Name)
	}
	for _, p := range b.People {
		n.People = append(n.People, p.Name)
	}
	for _, k := range m.state.Blockages {
		for _, p := range k.Parties {
			n.Gangs = appendNew(n.Gangs, p.Name)
		}
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
