package tui

import (
	"fmt"
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/boxfile"
	"fairhand/register/calendar"
	"fairhand/register/notation"
)

// line opens the line to type something.
func (m model) line(why purpose, target int64, text string) model {
	m.from = m.mode
	m.mode, m.purpose, m.target = modeLine, why, target
	m.msg, m.recall = message{}, 0
	return m.typed(edited(text))
}

// typed takes a changed text: what was said about the old one no longer holds.
func (m model) typed(e editor) model {
	m.edit, m.fault, m.fitting = e, nil, -1
	m.offers, m.doubted, m.adds, m.meant, m.unmeant, m.msg = nil, "", "", "", "", message{}
	if m.mode == modeLine && (m.purpose == forRelief || m.purpose == forPIN) {
		m.offers = m.peopleFor(e.String())
	}
	if m.mode == modeLine && (m.purpose <= forCorrect || m.purpose == forSign) && e.at == len(e.text) {
		m.fitted = e.String()
		if m.offers = m.addingOffers(m.fitted); m.offers == nil {
			m.offers = notation.Complete(m.fitted, m.namesFor(m.fitted))
		}
	}
	return m
}

// pressLine is the keys of the line.
func (m model) pressLine(p pressed) (model, cmd) {
	switch p.do {
	case doText:
		return m.typed(m.edit.put(p.key)), cmd{}
	case doFit:
		switch {
		case m.meant != "":
			return m.takesMeant(), cmd{}
		case m.adds != "":
			return m.toAdding(), cmd{}
		}
		return m.fit(), cmd{}
	case doDrop:
		if m.aside.text != "" {
			return m.resumed(message{"Not added. Nothing was written.", calm}), cmd{}
		}
		return m.givenUp(), cmd{}
	case doAccept:
		return m.enter(p.at)
	}
	before := len(m.edit.text)
	e := m.edit.do(p.do)
	if len(e.text) == before { // the cursor moved
		m.edit = e
		return m, cmd{}
	}
	return m.typed(e), cmd{}
}

// fit puts the next completion into the line.
func (m model) fit() model {
	var fitting []notation.Suggestion
	for _, o := range m.offers {
		if o.Text != "" {
			fitting = append(fitting, o)
		}
	}
	switch {
	case len(fitting) == 0:
		return m
	case len(fitting) == 1:
		return m.typed(edited(fitting[0].Line + " "))
	}
	m.fitting = (m.fitting + 1) % len(fitting)
	m.edit, m.fault = edited(fitting[m.fitting].Line), nil
	return m
}

// lasts are the purposes of which a line that was given up is kept, with the key that begins
// one. Something more urgent may have come: what was typed is not to be typed anew.
var lasts = map[purpose]string{forEntry: "e", forCorrect: "c", forExplain: "x", forQuery: "x", forRemark: "n", forSign: "s"}

// givenUp ends the line without writing it, and keeps it among those written before.
func (m model) givenUp() model {
	text, said := strings.TrimSpace(m.edit.String()), message{"Dropped. Nothing was written.", calm}
	if key := lasts[m.purpose]; key != "" && text != "" && (m.purpose != forCorrect || text != strings.TrimSpace(m.stands)) {
		m.history = append(slices.Clip(m.history), kept{m.purpose, m.target, text})
		said.text += " The line is kept: " + key + ", then " + m.key("Up") + "."
	}
	if m.purpose == forCorrect || m.purpose == forExplain || m.purpose >= forDate { // back to the list it was begun in
		m.mode, m.edit = m.from, editor{}
		if lasts[m.purpose] != "" {
			m.msg = said
		}
		return m
	}
	m = m.done()
	m.msg = said
	return m
}

// earlier are the lines written or given up of the kind that is typed, oldest first.
func (m *model) earlier() (list []string) {
	for _, k := range m.history {
		if k.purpose == m.purpose && k.target == m.target {
			list = append(list, k.text)
		}
	}
	return list
}

// remember goes back or forth in the lines written.
func (m model) remember(step int) model {
	to, lines := m.recall+step, m.earlier()
	if to < 0 || to > len(lines) {
		return m
	}
	if m.recall == 0 {
		m.draft = m.edit.String()
	}
	m.recall = to
	if to == 0 {
		return m.typed(edited(m.draft))
	}
	return m.typed(edited(lines[len(lines)-to]))
}

// enter writes what was typed, for whatever purpose.
func (m model) enter(at block.Time) (model, cmd) {
	if m.purpose >= forTime {
		return m.enterOther(at)
	}
	if m.edit.empty() && m.purpose == forCorrect {
		m.mode, m.msg = m.from, message{}
		return m.strike(m.entry(m.target)), cmd{}
	}
	if m.edit.empty() {
		return m.says("Nothing is typed. Nothing was written.", warn)
	}
	if m.purpose != forExplain {
		typed := m.edit.String()
		if first, rest, _ := strings.Cut(typed, " "); strings.HasSuffix(strings.ToLower(first), "m") {
			typed = strings.TrimSpace(notation.By24Hours(first) + " " + rest) // 2.30pm
		}
		if spelled := m.quoted(notation.Hyphened(typed), at); spelled != m.edit.String() {
			m.edit = edited(spelled) // shown as it is written, should anything be asked
		}
	}
	text := strings.TrimSpace(m.edit.String())
	was := m.then(at)
	switch m.purpose {
	case forCorrect:
		if text == strings.TrimSpace(m.stands) {
			return m.says(fmt.Sprintf("Nothing changed: entry %d stands like that. Nothing was written.", m.target), warn)
		}
		e := block.Event{Kind: block.Correct, Target: m.target, Text: text, At: at}
		return m, cmd{do: write, events: []block.Event{e}, asTyped: m.doubted == text}
	case forExplain:
		e := block.Event{Kind: block.Explain, Target: m.target, Text: text, At: at}
		return m, cmd{do: write, events: []block.Event{e}}
	}
	if m.shift < 0 && !hasClock(text) && boxfile.AdditionOf(text) == nil {
		text = calendar.Exact(was, m.zone) + " " + text
	}
	return m, cmd{do: write, line: closed(text), asTyped: m.doubted == strings.TrimSpace(m.edit.String())}
}

// quoted is a line with the names of the box that have several words in quotes, where it can
// be read so and not as it was typed: who knows the line has no need to quote it.
func (m *model) quoted(line string, at block.Time) string {
	if m.reads(line, at) {
		return line
	}
	n := m.names()
	names := slices.Concat(n.Sections, n.Lines, n.Places, n.Crossings, n.People, n.Gear)
	slices.SortStableFunc(names, func(a, b string) int { return len(b) - len(a) })
	parts := strings.Split(line, `"`) // every other one is quoted
	for i := 0; i < len(parts); i += 2 {
		for _, name := range names {
			if word := notation.Word(name); word != name {
				parts[i] = strings.ReplaceAll(" "+parts[i]+" ", " "+name+" ", " "+strings.ReplaceAll(word, " ", "\u00a0")+" ")
				parts[i] = parts[i][1 : len(parts[i])-1]
			}
		}
		parts[i] = strings.ReplaceAll(parts[i], "\u00a0", " ")
	}
	if as := strings.Join(parts, `"`); m.reads(as, at) {
		return as
	}
	return line
}

// reads says whether a line can be read.
func (m *model) reads(line string, at block.Time) bool {
	_, err := notation.ParseLine(m.zone, at, closed(line))
	return err == nil
}

// hasClock says whether a line begins with a clock time of its own.
func hasClock(text string) bool {
	first, _, _ := strings.Cut(text, " ")
	return strings.Contains(first, ":")
}

// opening is the words with which a form begins, as far as they are fixed, with
// the likeliest neighbour where the form begins with one, and with the quote
// where text comes next.
func (m *model) opening(form string) string {
	words := ""
	all := strings.Fields(form)
	for i, w := range all {
		switch {
		case i == 0 && w == "SECTION" && len(all) > 1:
			words += m.likely(all[1:]) + " "
			continue
		case w == "TEXT" || w == "MATTER":
			return words + `"`
		case strings.ToLower(w) != w || strings.ContainsAny(w, "[<>|"):
			return words
		}
		words += w + " "
	}
	return words
}

// likely is the neighbour that a form concerns which begins with one: where it is so worked,
// or what is worked there is out of order; else the one chosen last.
func (m *model) likely(form []string) string {
	name, words := m.neighbour(), strings.Join(form, " ")
	for i := range m.box.Sections {
		s, c := &m.box.Sections[i], &m.state.Circuits[i]
		is := false
		switch {
		case form[0] == "token" || form[0] == "count":
			is = len(s.Tokens.Charge) > 0
		case form[0] == "staff" || form[0] == "ticket":
			is = s.Method.Is().Carries == rulebook.CarriesStaff
		case strings.HasPrefix(words, "working normal"):
			is = c.Message || c.Pilot != ""
		case form[0] == "working":
			is = m.outOfOrder(s.Neighbour)
		}
		if is {
			name = s.Neighbour
			break
		}
	}
	return notation.Word(name)
}

// outOfOrder says whether gear of a section is out of use.
func (m *model) outOfOrder(section string) bool {
	return slices.ContainsFunc(m.state.Gear, func(g block.GearState) bool {
		return slices.ContainsFunc(m.box.Gear, func(d block.Gear) bool { return d.Name == g.Name && d.Section == section })
	})
}

// closed closes a quote left open at the end of a line.
func closed(line string) string {
	open := false
	for i := 0; i < len(line); i++ {
		switch {
		case line[i] == '\\' && open:
			i++
		case line[i] == '"':
			open = !open
		}
	}
	if open {
		return line + `"`
	}
	return line
}

// here are the names of the trains that are here, the last to come first.
func (m *model) here() (names []string) {
	for _, t := range slices.Backward(m.state.Trains) {
		if t.Where == block.Here && t.Name != "" {
			names = append(names, t.Name)
		}
	}
	return names
}
