package export

import (
	"strings"

	"fairhand/register/sheet"
)

// Two columns of running text on the pages that follow the book.
const (
	flowCols  = 2
	flowGap   = 7.0
	flowWidth = (pageRight - pageLeft - flowGap*(flowCols-1)) / flowCols
	flowSize  = 7.2
	flowLine  = 3.1
	columnMM  = 1.25 // a column of plain text, as a measure of margins
)

// flow sets running text in columns.
type flow struct {
	*pdf
	title string
	col   int
	y     float64
}

func (p *pdf) newFlow(title string) *flow {
	p.page(title)
	return &flow{pdf: p, title: title, y: pageTop + flowLine}
}

func (f *flow) left() float64 { return pageLeft + float64(f.col)*(flowWidth+flowGap) }

// room goes on to the next column when the height does not fit.
func (f *flow) room(height float64) {
	if f.y+height-flowLine <= pageFoot {
		return
	}
	if f.col++; f.col == flowCols {
		f.col = 0
		f.page(f.title)
	}
	f.y = pageTop + flowLine
}

// manner is how a paragraph is set.
type manner struct {
	indent float64
	lead   string // stands left of the first line
	bold   bool
	grey   bool
	struck bool
	hang   float64 // of the lines after the first, further in
	keep   float64 // room that has to be left below, so that it does not stand alone
}

func (f *flow) para(s string, m manner) {
	f.font(m.bold, flowSize)
	lines := f.split(s, flowWidth-m.indent-m.hang)
	for i, l := range lines {
		f.room(flowLine + m.keep)
		f.font(m.bold, flowSize)
		if m.grey {
			f.SetTextColor(85, 85, 85)
		}
		if i == 0 && m.lead != "" {
			f.say(f.left()+m.indent-1.5-f.wide(m.lead), f.y, m.lead)
		}
		f.say(f.left()+m.indent, f.y, l)
		if m.struck {
			f.SetDrawColor(163, 0, 27)
			f.strike(f.left()+m.indent, f.y, l)
		}
		if i == 0 {
			m.indent += m.hang
		}
		f.SetTextColor(0, 0, 0)
		f.y += flowLine
	}
}

func (f *flow) head(s string) {
	f.y += 1.5
	f.para(s, manner{bold: true, keep: 3 * flowLine})
	f.y += 0.8
}

// line sets a line and what is under it; they stand together if they can.
func (f *flow) line(l *sheet.Line) {
	m := manner{indent: float64(l.In) * columnMM, lead: strings.TrimSpace(l.Lead + " " + l.Grave.Sign()), bold: l.Head || l.Strong, grey: l.Faint, struck: l.Struck}
	if m.lead != "" {
		m.indent = max(m.indent, 4*columnMM)
	}
	if !l.Flush {
		m.hang = 2 * columnMM
	}
	if l.Head {
		m.keep = flowLine
	}
	if l.Space {
		f.y += flowLine / 2
	}
	if l.Strong {
		f.room(flowLine * float64(len(l.Under)+2))
	} else if len(l.Under) > 0 {
		f.room(flowLine * float64(min(f.height(l), togetherLines)))
	}
	f.para(l.Text, m)
	if l.Beside != "" {
		f.para(l.Beside, manner{indent: m.indent + 2*columnMM, bold: true})
	}
	for i := range l.Under {
		f.line(&l.Under[i])
	}
	if l.Strong {
		f.y++
	}
}

// togetherLines is how many lines of one matter are kept from being torn apart.
const togetherLines = 6

// height is how many lines a line and what is under it take.
func (f *flow) height(l *sheet.Line) int {
	f.font(l.Head || l.Strong, flowSize)
	n := len(f.split(l.Text, flowWidth-float64(l.In+2)*columnMM))
	for i := range l.Under {
		n += f.height(&l.Under[i])
	}
	return n
}

// table sets a table in a column of text, its columns as wide as their shares.
func (f *flow) table(t *sheet.Table) {
	widths := t.Widths(flowWidth)
	heads := sheet.Row{}
	any := false
	for i := range t.Columns {
		head := strings.TrimSpace(t.Columns[i].Brief())
		heads.Cells, any = append(heads.Cells, head), any || head != ""
	}
	if any {
		f.room(3 * flowLine)
		f.row(t, &heads, widths, true)
	}
	for i := range t.Rows {
		r := &t.Rows[i]
		if r.Cells == nil {
			f.y += 1
			f.para(strings.TrimSpace(r.Clock+" "+r.Text+" "+r.Beside), manner{bold: true, keep: 2 * flowLine})
		} else {
			f.room(flowLine * float64(1+min(len(r.Under), togetherLines)))
			f.row(t, r, widths, false)
		}
		for j := range r.Under {
			f.line(&r.Under[j])
		}
	}
	f.y += 1
}

// row sets the cells of a row side by side.
func (f *flow) row(t *sheet.Table, r *sheet.Row, widths []float64, bold bool) {
	f.font(bold, flowSize)
	in := float64(r.In) * columnMM
	lines, n := make([][]string, len(r.Cells)), 1
	for i, s := range r.Cells {
		room := widths[i] - 2*cellPad
		if i == 0 {
			room -= in
		}
		lines[i] = f.split(s, room)
		n = max(n, len(lines[i]))
	}
	f.room(float64(n) * flowLine)
	f.font(bold, flowSize)
	x := f.left()
	for i := range lines {
		for j, s := range lines[i] {
			at := x + cellPad
			if i == 0 {
				at = x + in
			}
			if c := &t.Columns[i]; c.Right || c.Clock {
				at = x + widths[i] - cellPad - f.wide(s)
			}
			f.say(at, f.y+float64(j)*flowLine, s)
		}
		x += widths[i]
	}
	f.y += float64(n) * flowLine
}
