package tui

import "fmt"

// The smallest window in which the desk can be worked.
const (
	minWidth  = 80
	minHeight = 24
)

// page is what is drawn: height rows, each at most width wide.
type page struct {
	w, h int
	rows []row
	t    *theme
}

func (p *page) put(rows ...row) {
	for _, r := range rows {
		if len(p.rows) < p.h {
			p.rows = append(p.rows, r.fit(p.w, p.t.more))
		}
	}
}

// left is how many rows are free.
func (p *page) left() int { return p.h - len(p.rows) }

// view lays out the whole screen for a window of w by h cells.
func view(m *model, t *theme, w, h int) []row {
	p := &page{w: w, h: h, t: t}
	if m.box == nil {
		return nil
	}
	if w < minWidth || h < minHeight {
		return tooSmall(p)
	}
	foot := footer(m, w)
	said := messageRows(m, w)
	p.h = h - len(said) - len(foot)
	p.put(topLine(m, w))
	switch {
	case lists.has(m.mode):
		pageOf(m, p)
	case m.mode == modeStop:
		if h > 34 {
			p.put(diagram(m, p.t, p.w, 12)...)
		}
		if state := stateRows(m, p); p.left()-len(state) >= leastStop {
			p.put(state...)
		}
		stopPanel(m, p)
	default:
		linePanel(m, p)
		deskPanels(m, p)
	}
	for p.left() > 0 {
		p.put(row{})
	}
	p.h = h
	p.put(said...)
	p.put(foot...)
	return p.rows
}

// pageOf puts the page that fills the screen in the present mode.
func pageOf(m *model, p *page) {
	switch m.mode {
	case modeBook:
		bookPage(m, p)
	case modePage:
		tradePage(m, p)
	case modeFindings:
		findingsPage(m, p)
	case modeDue:
		duePage(m, p)
	case modeForms:
		formsPage(m, p)
	case modeHandover:
		handoverPage(m, p)
	case modeTrains:
		trainsPage(m, p)
	case modeFound:
		foundPage(m, p)
	case modeAudit:
		auditPage(m, p)
	case modeGraph:
		graphPage(m, p)
	case modeCodes:
		codesPage(m, p)
	case modeHelp:
		helpPage(m, p)
	}
}

// leastStop is how many rows a danger takes with its reasons and its two answers.
const leastStop = 13

// tooSmall is the notice in a window too small to work in.
func tooSmall(p *page) []row {
	for _, s := range []string{
		fmt.Sprintf("This window is %d by %d.", p.w, p.h),
		fmt.Sprintf("The desk needs %d by %d.", minWidth, minHeight),
		"Make it larger to go on.",
		"Every entry written is on disk;",
		"what is half typed stays.",
		"No key writes until then.",
		"Ctrl-C, then y: leave.",
	} {
		for _, l := range wrap(s, max(1, p.w)) {
			p.put(line(strong, l))
		}
	}
	return p.rows
}

// leastRegister is how many rows of the register are always shown.
const leastRegister = 3

// nextRoom is how many rows of the desk there are for what is expected next, under
// the panel of the line, beside so many rows typed in.
func nextRoom(m *model, p *page, typing int) int {
	want := len(m.listed)
	if p.w >= 110 {
		want = max(3, want, len(sideList(m, p)))
	}
	room := max(2, p.left()-typing-leastRegister-2)
	return max(0, min(room, max(2, want), p.left()-typing-1))
}

// nextShown is how many entries expected next the window shows.
func nextShown(m *model) int {
	if m.small || m.width < minWidth || m.height < minHeight || lists.has(m.mode) || m.mode == modeStop {
		return 0
	}
	p := &page{w: m.width, h: m.height - len(messageRows(m, m.width)) - len(footer(m, m.width)), t: &theme{glyphs: lineGlyphs}}
	p.put(row{})
	linePanel(m, p)
	n := nextRoom(m, p, len(typingPanel(m, p)))
	if len(m.listed) > n {
		return max(0, n-1) // the last row says how many more there are
	}
	return len(m.listed)
}

// deskPanels are the expected entries, what is being typed, and the register.
func deskPanels(m *model, p *page) {
	typing := typingPanel(m, p)
	next, n := nextRows(m, p.t), nextRoom(m, p, len(typing))
	if p.w >= 110 {
		side := sideList(m, p)
		lw := p.w * 5 / 8
		p.put(ruled(p.t, " EXPECTED NEXT ", lw).fit(lw, "").add(head, ruleText(p.t, " DUE, TO EXPLAIN, NEXT TRAINS ", p.w-lw)))
		for i := range n {
			p.put(append(at(next, i, n, p.t).fit(lw-1, p.t.more).add(plain, " "), at(side, i, n, p.t)...))
		}
	} else {
		p.put(ruled(p.t, " EXPECTED NEXT ", p.w))
		for i := range n {
			p.put(at(next, i, n, p.t))
		}
	}
	p.put(typing...)
	p.put(ruled(p.t, registerTitle(m), p.w))
	p.put(todayRows(m, p.t, p.left(), p.w)...)
}

// at is row i of a list shown in n rows; the last says when there are more.
func at(list []row, i, n int, t *theme) row {
	switch {
	case i >= len(list):
		return row{}
	case i == n-1 && len(list) > n:
		return line(dim, fmt.Sprintf("      %s and %d more", t.more, len(list)-n+1))
	}
	return list[i]
}

// ruled is a heading with a rule to the edge.
func ruled(t *theme, title string, w int) row { return line(head, ruleText(t, title, w)) }

func ruleText(t *theme, title string, w int) string {
	s := t.rule + title
	for n := (row{txt(plain, s)}).width(); n < w; n++ {
		s += t.rule
	}
	return s
}
