package tui

import (
	"fmt"
	"slices"
	"strings"

	"fairhand/register/measure"
	"fairhand/register/sheet"
)

// Long texts, a report or a graph, are scrolled like a paper through the window.

// graphPage is the train graph of the day shown, drawn by whoever opened the desk.
func graphPage(m *model, p *page) {
	switch {
	case m.graph == nil:
		p.put(line(dim, " This desk was opened without anything that draws a train graph."))
	case m.shown == nil:
		p.put(ruled(p.t, " TRAIN GRAPH ", p.w), line(dim, " No entry."))
	case m.glance:
		p.put(ruled(p.t, " TRAIN GRAPH ", p.w), line(dim, " The graph is being made from the book."))
	default:
		p.paper(m, " TRAIN GRAPH ", m.paperText(p.w, p.left()-1, p.t))
	}
}

// graphRows draws the graph of the day shown: so that the day and its
// explanation fit so many lines, or with five minutes a line.
func graphRows(m *model, w, lines int) []row {
	const around, least = 6, 8 // its heading and explanation; the fewest lines that show a day
	height := max(least, lines-around)
	if m.fine {
		height = 0
	}
	return textRows(m.graph(m.shown, w, height), w)
}

// codesPage is the code card of the box, as whoever opened the desk prints it.
func codesPage(m *model, p *page) {
	if m.codes == "" {
		p.put(ruled(p.t, " BELL CODES ", p.w), line(dim, " This desk was opened without the code card."))
		return
	}
	p.paper(m, " BELL CODES ", m.paperText(p.w, 0, p.t))
}

// paperPage is a long text under its title.
func paperPage(title string) func(*model, *page) {
	return func(m *model, p *page) { p.paper(m, title, m.paperText(p.w, 0, p.t)) }
}

// paperText is the long text of the present mode; a graph is drawn for so many lines.
func (m *model) paperText(w, lines int, t *theme) []row {
	switch m.mode {
	case modeHelp:
		return helpText(m.back)
	case modeAudit:
		return paperRows(m.exam.text, w)
	case modeWhole:
		return wholeRows(m, w, t)
	case modeCodes:
		return textRows(m.codes, w)
	}
	return graphRows(m, w, lines)
}

// wholeRows are everything that stands, nothing left out or cut.
func wholeRows(m *model, w int, t *theme) []row {
	var out []row
	part := func(title string, rows ...row) { out = append(append(out, line(head, title)), rows...) }
	for _, l := range m.box.Lines() {
		out = append(out, sectionIn(m, t, l, tight).wrapped(w, 4)...)
	}
	out = append(out, crossingRows(m, w)...)
	if list := notices(m); len(list) > 0 {
		part(" OUT OF THE ORDINARY")
		for _, n := range list {
			out = append(out, row{txt(plain, " "), txt(n.role, n.text+n.reason)}.wrapped(w, 4)...)
		}
	}
	part(" EXPECTED NEXT")
	for i := range m.listed {
		x := &m.listed[i]
		out = append(out, line(plain, strings.TrimRight(fmt.Sprintf(" %s %s  %s", numberOr(x.number), x.Label, x.wants()), " ")).wrapped(w, 4)...)
		if x.body != "" {
			out = append(out, line(dim, "     "+x.body).wrapped(w, 9)...)
		}
		for _, way := range x.ways {
			out = append(out, line(dim, "     "+way.Label).wrapped(w, 9)...)
		}
	}
	return append(out, aheadRows(m, w)...)
}

// aheadRows are the special notices, the messages that bind, what is due and what waits for a remark.
func aheadRows(m *model, w int) (out []row) {
	if special := noticesPart(m, w); len(special) > 0 {
		out = append([]row{line(head, " SPECIAL NOTICES")}, slices.Concat(special...)...)
	}
	told := false
	for _, x := range m.state.Messages {
		if x.To || x.Asks() {
			continue // those are out of the ordinary
		}
		if !told {
			out, told = append(out, line(head, " MESSAGES THAT BIND UNTIL ONE ANSWERS THEM")), true
		}
		out = append(out, line(plain, fmt.Sprintf(" %s from %s: %s  (%d)", m.clock(x.At), x.With, x.Text, x.Seq)).wrapped(w, 7)...)
	}
	out = append(out, line(head, " DUE, AND TO EXPLAIN"))
	for _, d := range m.due {
		out = append(out, append(line(plain, " "), dueRow(m, d)...).wrapped(w, 12)...)
	}
	for _, f := range m.unexplained() {
		out = append(out, append(line(plain, " "), findingRow(m, f)...).wrapped(w, 4)...)
	}
	return out
}

// numberOr is the key of an entry expected next, blank for none.
func numberOr(n int) string {
	if n == 0 {
		return " "
	}
	return itoa(n)
}

// textRows are the lines of a drawing or a card.
func textRows(text string, w int) []row {
	var out []sheet.PlainLine
	for l := range strings.SplitSeq(strings.TrimRight(text, "\n"), "\n") {
		out = append(out, sheet.PlainLine{Text: l})
	}
	return paperRows(out, w)
}

// paperRows are the lines of a document, those too long for the window wrapped.
func paperRows(text []sheet.PlainLine, w int) []row {
	var out []row
	for _, l := range text {
		k := plain
		if l.Head {
			k = strong
		}
		if measure.Width(l.Text) <= w {
			out = append(out, line(k, l.Text))
			continue
		}
		indent := strings.Repeat(" ", min(w/2, len(l.Text)-len(strings.TrimLeft(l.Text, " "))))
		for n, part := range wrap(l.Text, w-len(indent)-4) {
			if n == 1 {
				indent += "    "
			}
			out = append(out, line(k, indent+part))
		}
	}
	return out
}

// paper puts the part of a long text that the window shows, under its title.
func (p *page) paper(m *model, title string, rows []row) {
	room := p.left() - 1
	first := max(0, min(m.top, len(rows)-room))
	last := min(len(rows), first+room)
	if len(rows) > room {
		title += fmt.Sprintf(" lines %d to %d of %d ", first+1, last, len(rows))
	}
	p.put(ruled(p.t, title, p.w))
	p.put(rows[first:last]...)
}

// paperSteps is in how many steps of a line the text of this mode scrolls.
func (m *model) paperSteps() int {
	room := m.height - 2 - len(calledRows(m, m.width)) - len(messageRows(m, m.width)) - len(footer(m, m.width))
	if undrawn := m.graph == nil || m.shown == nil || m.glance; m.mode == modeGraph && undrawn {
		return 1
	}
	return len(m.paperText(m.width, room, &theme{glyphs: lineGlyphs})) - room + 1
}
