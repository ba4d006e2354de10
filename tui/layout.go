package tui

import (
	"fmt"
	"slices"
	"strings"

	"fairhand/register/measure"
)

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

// window puts those of the rows, from first, that there is room for, and no fewer.
func (p *page) window(rows []row, first, room int) {
	first = max(0, min(first, len(rows)-room))
	p.put(rows[first:min(len(rows), first+room)]...)
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
		p.put(calledRows(m, w)...)
		pageTable[m.mode].put(m, p)
	case m.mode == modeStop:
		if h > 34 {
			p.put(diagram(m, p.t, p.w, 12)...)
		}
		lines, out := stateRows(m, p, 0)
		for _, state := range [][]row{slices.Concat(lines, out), lines} {
			if p.left()-len(state) >= leastStop {
				p.put(state...)
				break
			}
		}
		stopPanel(m, p)
	default:
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

// pageTable is what fills the screen in each mode of lists, and how many rows can be
// chosen or turned to there.
var pageTable = map[mode]struct {
	put    func(*model, *page)
	length func(*model) int
}{
	modeBook:     {bookPage, func(m *model) int { return len(m.entries()) }},
	modePage:     {tradePage, func(*model) int { return 1 << 20 }}, // it knows its own end
	modeFindings: {findingsPage, func(m *model) int { return len(m.unexplained()) }},
	modeDue:      {duePage, func(m *model) int { return len(m.due) }},
	modeForms:    {formsPage, func(m *model) int { return len(m.kinds()) }},
	modeHandover: {handoverPage, func(m *model) int { return len(sheetLines(&m.sheet)) }},
	modeTrains:   {trainsPage, func(m *model) int { return len(m.ahead.Trains) }},
	modeFound:    {foundPage, func(m *model) int { return len(m.hunt.hits) }},
	modeAudit:    {auditPage, (*model).paperSteps},
	modeGraph:    {graphPage, (*model).paperSteps},
	modeCodes:    {codesPage, (*model).paperSteps},
	modeWhole:    {paperPage(" EVERYTHING THAT STANDS "), (*model).paperSteps},
	modeHelp:     {paperPage(" HELP "), (*model).paperSteps},
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

// leastRegister is how many rows of the register are shown before more than leastNext
// of what is expected.
const leastRegister = 3

// wideDesk is the width from which what falls due stands beside what is expected.
const wideDesk = 110

// nextWidth is how wide the list of entries expected next is.
func nextWidth(p *page) int {
	if p.w >= wideDesk {
		return p.w*5/8 - 1
	}
	return p.w
}

// nextRoom is how many rows of the desk there are for what is expected next, under
// the panel of the line, beside so many rows typed in.
func nextRoom(m *model, p *page, next [][]row, typing int) int {
	want := max(2, height(next))
	if p.w >= wideDesk {
		want = max(3, want, min(height(sideList(m, p)), p.left()/2))
	}
	free := p.left() - typing - 2
	room := max(2, min(leastNext, free-1), free-leastRegister)
	return max(0, min(room, want, p.left()-typing-1))
}

// nextShown is how many entries expected next the window shows.
func nextShown(m *model) int {
	if m.small || m.width < minWidth || m.height < minHeight || lists.has(m.mode) || m.mode == modeStop {
		return 0
	}
	p := &page{w: m.width, h: m.height - len(messageRows(m, m.width)) - len(footer(m, m.width)), t: &theme{glyphs: lineGlyphs}}
	p.put(row{})
	next, _, n := upper(m, p)
	_, shown := p.t.inRows(next, n, "")
	return min(shown, len(m.listed))
}

// upper draws the panel of the line, and gives what comes below it: the entries expected
// next, what is being typed, and how many rows there are for the former.
func upper(m *model, p *page) (next [][]row, typing []row, room int) {
	next = nextRows(m, nextWidth(p))
	linePanel(m, p, height(next))
	typing = typingPanel(m, p)
	return next, typing, nextRoom(m, p, next, len(typing))
}

// deskPanels are the line, the expected entries, what is being typed, and the register.
func deskPanels(m *model, p *page) {
	next, typing, n := upper(m, p)
	rest := ""
	if m.mode == modeDesk {
		rest = "0"
	}
	rows, _ := p.t.inRows(next, n, rest)
	if p.w >= wideDesk {
		side, _ := p.t.inRows(sideList(m, p), n, "d, f, n")
		lw := nextWidth(p) + 1
		p.put(ruled(p.t, " EXPECTED NEXT ", lw).fit(lw, "").add(head, ruleText(p.t, " DUE, TO EXPLAIN, NEXT TRAINS ", p.w-lw)))
		for i := range n {
			p.put(append(at(rows, i).fit(lw-1, p.t.more).add(dim, " "), at(side, i)...))
		}
	} else {
		p.put(ruled(p.t, " EXPECTED NEXT ", p.w))
		for i := range n {
			p.put(at(rows, i))
		}
	}
	p.put(typing...)
	rows, eve := todayRows(m, p.t, p.left()-1, p.w)
	p.put(ruled(p.t, registerTitle(m, eve), p.w))
	p.put(rows...)
}

// at is row i of a list, an empty one beyond its end.
func at(list []row, i int) row {
	if i < len(list) {
		return list[i]
	}
	return row{}
}

// height is how many rows the items of a list take.
func height(items [][]row) int {
	n := 0
	for _, x := range items {
		n += len(x)
	}
	return n
}

// inRows are the items of a list that n rows hold whole, and how many those are.
// Where not all do, the last row says how many more there are, and the key that
// shows them.
func (t *theme) inRows(items [][]row, n int, key string) (out []row, shown int) {
	if height(items) > n {
		n--
	} else {
		key = ""
	}
	for _, x := range items {
		if len(out)+len(x) > n {
			break
		}
		out, shown = append(out, x...), shown+1
	}
	if shown < len(items) && n >= 0 {
		more := fmt.Sprintf("      %s and %d more", t.more, len(items)-shown)
		if key != "" {
			more += " (" + key + ")"
		}
		out = append(out, line(strong, more))
	}
	return out, shown
}

// list puts the rows of a list of items that room holds about the chosen one, which is
// marked, and says how many more there are below.
func (p *page) list(items [][]row, pick, room int) {
	rows, of, at := []row{}, []int{}, 0 // of is the item that each row is of
	for i, item := range items {
		for n, r := range item {
			if i == pick && n == 0 {
				r, at = r.marked(p.w, p.t), len(rows)
			}
			rows, of = append(rows, r), append(of, i)
		}
	}
	first := max(0, min(at-room*2/3, len(rows)-room))
	last := min(len(rows), first+room)
	if last < len(rows) {
		last-- // for how many more there are
	}
	p.put(rows[first:last]...)
	if last < len(rows) {
		p.put(line(dim, fmt.Sprintf("     %d more", len(items)-of[last])))
	}
}

// ruled is a heading with a rule to the edge.
func ruled(t *theme, title string, w int) row { return line(head, ruleText(t, title, w)) }

func ruleText(t *theme, title string, w int) string {
	s := t.rule + title
	return s + strings.Repeat(t.rule, max(0, w-measure.Width(safe(s))))
}
