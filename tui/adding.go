package tui

import (
	"cmp"
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/register/boxfile"
	"fairhand/register/notation"
)

// Somebody or something new at the box is added without leaving the desk: a line that
// begins with new puts a row into box.yaml, and an entry tells what is otherwise. From a
// name that nobody here knows Tab leads there, and what was typed is there again after.

// aside is the line left to add a name to the box; its text is empty for none.
type aside struct {
	text    string
	purpose purpose
	target  int64
	from    mode
	stands  string
}

// adding is the line that adds a name of a sort to the box; "" where none does.
func (m *sight) adding(sort, name string) string {
	switch name = notation.Word(name); sort {
	case "place":
		return "new place " + name
	case "person of the box":
		return "new person " + name + " " + boxfile.Roles[0]
	case "gear":
		return "new gear " + name + " " + boxfile.GearKinds[0]
	case "signal":
		s := &m.box.Sections[0]
		line := "new signal " + name + " " + boxfile.SignalKinds[0] + " " + notation.Word(s.Neighbour)
		if i := slices.IndexFunc(s.Lines, func(l block.Line) bool { return l.Way == block.Out }); i >= 0 {
			line += " " + notation.Word(s.Lines[i].Name)
		}
		return line
	}
	return ""
}

// toAdding leaves the line for the one that adds its unknown name to the box.
func (m model) toAdding() model {
	left := aside{cmp.Or(m.unmeant, m.edit.String()), m.purpose, m.target, m.from, m.stands}
	m = m.line(forEntry, 0, m.adds)
	m.aside, m.from, m.came = left, left.from, m.moment
	return m.saying(sentence(m.key("Enter"))+" adds this to box.yaml; "+m.key("Esc")+" goes back to what was typed. Nothing is written yet.", calm)
}

// resumed is back at the line that was left, with what is said of what came of it.
func (m model) resumed(said message) model {
	left := m.aside
	m = m.line(left.purpose, left.target, left.text)
	m.aside, m.from, m.stands, m.came = aside{}, left.from, left.stands, m.moment
	m.msg = said
	return m
}

// addingOffers are what may come next in a line that adds to the box; nil for another.
func (m *model) addingOffers(line string) []notation.Suggestion {
	a := boxfile.AdditionOf(line)
	if a == nil {
		return nil
	}
	words, err := notation.Words(line)
	form := []notation.Suggestion{{Says: a.Form()}}
	if err != nil || strings.HasSuffix(line, `"`) {
		return form
	}
	typed, before := "", line
	if !strings.HasSuffix(line, " ") {
		typed = words[len(words)-1]
		words, before = words[:len(words)-1], strings.TrimSuffix(line, typed)
	}
	var out []notation.Suggestion
	for _, w := range m.addingWords(a, words) {
		if strings.HasPrefix(w, typed) {
			out = append(out, notation.Suggestion{Text: w, Says: form[0].Says, Line: before + notation.Word(w)})
		}
	}
	if out == nil {
		return form
	}
	return out
}

// addingWords are what the next value may be, behind the words typed.
func (m *model) addingWords(a *boxfile.Addition, words []string) []string {
	at := len(words) - 2
	if at < 0 || at >= len(a.Keys) {
		return nil
	}
	switch a.Keys[at] {
	case "role":
		return boxfile.Roles
	case "kind":
		if a.Word == "gear" {
			return boxfile.GearKinds
		}
		return boxfile.SignalKinds
	case "section":
		return m.names().Sections
	case "line":
		if i := m.box.SectionIndex(words[len(words)-1]); i >= 0 {
			return namesOf(m.box.Sections[i].Lines, lineName)
		}
	}
	return nil
}
