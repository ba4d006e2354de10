package tui

import (
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/each"
)

// Obstruction danger cannot wait for a form to be filled in: a key and the number
// of the line send it, to the box that trains come from on that line.

// danger is obstruction danger to the neighbour on one line.
type danger struct {
	line   block.BoxLine
	events []block.Event
	says   string
}

// dangers are the signals of obstruction danger that this box can send, by line. Where no
// bell tells it, the obstruction is booked and the neighbour told in words.
func (m *model) dangers() []danger {
	var out []danger
	for _, l := range m.box.Lines() {
		if l.Line.Way == block.Out || len(out) == numbers {
			continue // on the other line it is for the other box to send
		}
		who := m.box.Sections[l.Section].Neighbour
		if e, ok := m.state.AlarmByWord(m.box, l.Section); ok {
			foul := block.Event{Kind: block.Obstruct, Line: l.Line.Name, Section: who}
			out = append(out, danger{l, []block.Event{foul, e}, "  by telephone: " + e.Text})
			continue
		}
		for _, r := range m.box.CodeBook(l.Section) {
			if r.Means != rulebook.ObstructionDanger {
				continue
			}
			// Alone: the key goes down with the signal or before it, and what the other box
			// answers is written when he has.
			e := block.Event{Kind: block.Bells, Section: who, Bells: []block.Bell{{Sent: true, Code: r.Code}}}
			if m.comesBy(l.Section) > 1 {
				e.Line = l.Line.Name
			}
			out = append(out, danger{l, []block.Event{e}, "  sends " + string(r.Code)})
			break
		}
	}
	return out
}

// comesBy is on how many lines of a section trains come here.
func (m *model) comesBy(section int) (n int) {
	for _, l := range m.box.Sections[section].Lines {
		if l.Way != block.Out {
			n++
		}
	}
	return n
}

// pressObstruct is the keys while the line is asked.
func (m model) pressObstruct(p pressed) (model, cmd) {
	list := m.dangers()
	if p.do != doNth {
		return m.dropped(), cmd{}
	}
	n := int(p.key[0] - '1')
	if n >= len(list) {
		return m.says("No line stands under "+p.key+". Nothing was sent or written.", warn)
	}
	events := each.Of(list[n].events, func(e block.Event) block.Event { return timed(e, p.at, p.at) })
	return m, cmd{do: write, events: events}
}

// obstructPanel asks which line.
func obstructPanel(m *model, p *page) []row {
	out := []row{line(peril, "!!! OBSTRUCTION DANGER: SEND IT NOW. ON WHICH LINE?")}
	var lines []row
	for i, d := range m.dangers() {
		lines = append(lines, row{txt(plain, "  "), txt(keycap, itoa(i+1)), txt(strong, " "+m.box.Sections[d.line.Section].Neighbour+", "+d.line.Line.Name), txt(plain, d.says)})
	}
	if len(lines) > oneEach {
		lines = flowed(lines, p.w)
	}
	out = append(out, lines...)
	if len(out) == 1 {
		out = append(out, line(plain, " The code book has no such signal."))
	} else {
		out = append(out, line(plain, "  The signal alone is written; its answer then stands first under EXPECTED NEXT."))
	}
	away := namesOf(m.box.Lines(), func(l *block.BoxLine) string { // told, or one looks for them in vain
		if l.Line.Way != block.Out {
			return ""
		}
		return m.box.Sections[l.Section].Neighbour + ", " + l.Line.Name
	})
	if len(away) > 0 {
		words := "  - " + strings.Join(away, "; ") + ": trains go out on it. Keep them here by signals; the box there sends it to you."
		out = append(out, line(plain, words).wrapped(p.w, 4)...)
	}
	return out
}

// oneEach is up to how many lines have a row of their own.
const oneEach = 4

// flowed puts short rows beside and below each other.
func flowed(list []row, w int) (out []row) {
	now := row{}
	for _, r := range list {
		if len(now) > 0 && now.width()+r.width() > w {
			out, now = append(out, now), row{}
		}
		now = append(now, r...)
	}
	return append(out, now)
}
