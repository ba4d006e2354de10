package export

import (
	"strings"

	"fairhand/register/each"
	"fairhand/register/sheet"
)

const (
	bodySize   = 7.2
	bodyLine   = 3.05 // from one line of text to the next
	rowPad     = 1.5
	headHeight = 15.0
	cellPad    = 0.7
)

// bookRoom is what the heading of the columns leaves for lines.
const bookRoom = pageFoot - pageTop - headHeight - 1 // a millimetre to spare

// laid is a table to be drawn, its columns as wide as their shares.
type laid struct {
	*pdf
	*sheet.Table
	widths []float64
	line   float64    // from one line of text to the next
	heads  *sheet.Row // of its columns; nil for none
}

func (p *pdf) lay(t *sheet.Table, width, line float64) *laid {
	l := &laid{p, t, t.Widths(width), line, nil}
	heads := sheet.Row{Cells: each.Of(t.Columns, func(c sheet.Column) string { return strings.TrimSpace(c.Brief()) })}
	if strings.Join(heads.Cells, "") != "" {
		l.heads = &heads
	}
	return l
}

// pen chooses the font of a cell, unless it is chosen.
func (p *laid) pen(r *sheet.Row, column int) {
	if bold := r == p.heads || p.Columns[column].Strong; bold != p.bold || p.size != bodySize {
		p.font(bold, bodySize)
	}
}

// cells breaks the texts of a row to the widths of its columns.
func (p *laid) cells(r *sheet.Row) [][]string {
	out := make([][]string, len(r.Cells))
	for i, s := range r.Cells {
		p.pen(r, i)
		room := p.widths[i] - 2*cellPad
		if i == 0 {
			room -= float64(r.In) * columnMM
		}
		out[i] = p.split(s, room)
	}
	return out
}

// set draws the lines of text from one to another of a row's cells side by side, the first
// with its base line at y. Times stand to the right, minutes under minutes.
func (p *laid) set(r *sheet.Row, cells [][]string, from, till int, x, y float64) {
	for i := range cells {
		c := &p.Columns[i]
		p.pen(r, i)
		for n := from; n < min(till, len(cells[i])); n++ {
			at := x + cellPad
			if i == 0 && !p.Book {
				at = x + float64(r.In)*columnMM
			}
			if c.Clock || c.Right {
				at = x + p.widths[i] - cellPad - p.wide(cells[i][n])
			}
			p.say(at, y+p.line*float64(n-from), cells[i][n])
		}
		x += p.widths[i]
	}
}

// book draws the pages of one side of the book.
func (p *pdf) book(t *sheet.Table) {
	b := p.lay(t, pageRight-pageLeft, bodyLine)
	for _, rows := range t.Pages(bookRoom, b.lineHeight) {
		p.page(t.Title)
		b.columns()
		y := pageTop + headHeight
		for i := range rows {
			y = b.bookLine(&rows[i], y)
		}
		p.frame(y)
	}
}

// lineHeight measures a line of the page with what draws it.
func (p *laid) lineHeight(l *sheet.Row) float64 {
	return float64(linesOf(p.texts(l)))*bodyLine + rowPad
}

func linesOf(cells [][]string) int {
	n := 1
	for _, c := range cells {
		n = max(n, len(c))
	}
	return n
}

// texts are the cells of a line. Across the page there is one, beside the time.
func (p *laid) texts(l *sheet.Row) [][]string {
	p.font(false, bodySize)
	switch {
	case l.Kind != sheet.Across:
		return p.cells(l)
	case p.besides(l):
		return [][]string{{l.Text}}
	}
	text := p.split(l.Text, acrossWidth)
	p.font(true, bodySize)
	return [][]string{append(append([]string{}, text...), p.split(l.Beside, acrossWidth)...)}
}

const (
	acrossLeft  = pageLeft + 12
	acrossWidth = pageRight - acrossLeft - 1
	besideGap   = 4.0
)

// besides says whether what stands beside an entry across the page has room on
// its own line.
func (p *laid) besides(l *sheet.Row) bool {
	p.font(true, bodySize)
	beside := p.wide(l.Beside)
	p.font(false, bodySize)
	return l.Beside != "" && p.wide(l.Text)+besideGap+beside <= acrossWidth
}

// bookLine draws a line of the page at y and returns where the next begins. A
// line that is longer than a page goes on at the top of the next.
func (p *laid) bookLine(l *sheet.Row, y float64) float64 {
	cells := p.texts(l)
	for from := 0; ; {
		room := int((pageFoot - y - rowPad) / bodyLine)
		till := min(from+max(room, 1), linesOf(cells))
		height := float64(till-from)*bodyLine + rowPad
		p.ground(l, y, height)
		if from == 0 {
			p.sign(pageLeft-4, y+bodyLine, l.Grave)
		}
		switch l.Kind {
		case sheet.Across:
			p.across(l, cells[0], from, till, y)
		case sheet.Past: // what did not remain is grey
			p.SetTextColor(95, 95, 95)
			fallthrough
		default:
			p.set(l, cells, from, till, pageLeft, y+bodyLine)
		}
		p.SetTextColor(0, 0, 0)
		y += height
		if from = till; from >= linesOf(cells) {
			return y
		}
		p.frame(y)
		p.page(p.side)
		p.columns()
		y = pageTop + headHeight
	}
}

// ground is what lies under a line: a tint across the page, a rule below.
func (p *laid) ground(l *sheet.Row, y, height float64) {
	if l.Kind == sheet.Across {
		p.SetFillColor(246, 243, 234)
		p.Rect(pageLeft, y+0.1, pageRight-pageLeft, height-0.1, "F")
	}
	p.SetDrawColor(205, 205, 205)
	p.SetLineWidth(0.1)
	p.Line(pageLeft, y+height, pageRight, y+height)
	if l.Kind == sheet.Across {
		return
	}
	x := pageLeft
	for _, w := range p.widths {
		p.Line(x, y, x, y+height)
		x += w
	}
}

// across draws an entry across the page; a corrected one is struck through and
// stays legible, with what stands instead in bold beside or below it.
func (p *laid) across(l *sheet.Row, lines []string, from, till int, y float64) {
	p.font(false, bodySize)
	if from == 0 {
		p.say(pageLeft+10-p.wide(l.Clock), y+bodyLine, l.Clock)
	}
	p.font(false, bodySize)
	first := len(p.split(l.Text, acrossWidth))
	for n := from; n < till; n++ {
		base := y + bodyLine*float64(n-from+1)
		p.font(n >= first, bodySize)
		p.say(acrossLeft, base, lines[n])
		if l.Struck && n < first {
			p.SetDrawColor(163, 0, 27)
			p.strike(acrossLeft, base, lines[n])
		}
	}
	if p.besides(l) {
		at := acrossLeft + p.wide(l.Text) + besideGap
		p.font(true, bodySize)
		p.say(at, y+bodyLine, l.Beside)
	}
}

// columns draws the heading of the columns.
func (p *laid) columns() {
	p.SetFillColor(236, 236, 236)
	p.Rect(pageLeft, pageTop, pageRight-pageLeft, headHeight, "F")
	p.SetDrawColor(120, 120, 120)
	p.SetLineWidth(0.2)
	x, group, groupAt := pageLeft, "", pageLeft
	ruleTop := pageTop
	for i, c := range append(p.Columns[:len(p.Columns):len(p.Columns)], sheet.Column{}) {
		if c.Group != group {
			if group != "" {
				p.font(true, 7)
				p.say(groupAt+(x-groupAt-p.wide(group))/2, pageTop+3.2, group)
				p.Line(groupAt, pageTop+4.4, x, pageTop+4.4)
			}
			group, groupAt, ruleTop = c.Group, x, pageTop
		}
		if i == len(p.Columns) {
			break // past the last
		}
		head := c.Head
		if c.Mark {
			head = c.Short // as the legend says
		}
		p.font(false, 5.9)
		for n, s := range p.split(head, p.widths[i]-2*cellPad) {
			p.say(x+cellPad, pageTop+7+2.5*float64(n), s)
		}
		p.Line(x, ruleTop, x, pageTop+headHeight)
		if c.Group != "" {
			ruleTop = pageTop + 4.4 // within a group its name stands above
		}
		x += p.widths[i]
	}
}

// frame draws the outline of the page's table, whose lines end at y, and the
// rules between its groups.
func (p *pdf) frame(y float64) {
	p.SetDrawColor(70, 70, 70)
	p.SetLineWidth(0.35)
	p.Rect(pageLeft, pageTop, pageRight-pageLeft, y-pageTop, "D")
	p.Line(pageLeft, pageTop+headHeight, pageRight, pageTop+headHeight)
}
