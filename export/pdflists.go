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

// room goes on to the next column when the height does not fit, and says whether it did.
func (f *flow) room(height float64) (moved bool) {
	if f.y+height-flowLine <= pageFoot {
		return false
	}
	if f.col++; f.col == flowCols {
		f.col = 0
		f.page(f.title)
	}
	f.y = pageTop + flowLine
	return true
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

func (f *flow) head(s string, keep float64) {
	f.y += 1.5
	f.para(s, manner{bold: true, keep: keep})
	f.y += 0.8
}

// lines sets lines below each other, a heading with what it heads.
func (f *flow) lines(all []sheet.Line) {
	for i := range all {
		keep := 0.0
		if all[i].Head && i+1 < len(all) {
			keep = flowLine * float64(min(f.height(&all[i+1]), togetherLines))
		}
		f.line(&all[i], keep)
	}
}

// line sets a line and what is under it; they stand together if they can, with some room
// to keep below.
func (f *flow) line(l *sheet.Line, keep float64) {
	m := manner{indent: float64(l.In) * columnMM, lead: strings.TrimSpace(l.Lead + " " + l.Grave.Sign()), bold: l.Head || l.Strong, grey: l.Faint, struck: l.Struck}
	if m.lead != "" {
		m.indent = max(m.indent, 4*columnMM)
	}
	if !l.Flush {
		m.hang = 2 * columnMM
	}
	m.keep = keep
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
	f.lines(l.Under)
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

// first is the height of what has to stand with the title: the heads of the columns, and
// the first row whose cells they head.
func (f *flow) first(t *laid) float64 {
	n := 1
	for i := range t.Rows {
		if t.Rows[i].Cells != nil {
			n += f.tall(t, &t.Rows[i])
			break
		}
		n++
	}
	return float64(n) * flowLine
}

// tall is how many lines a row takes, with those under it that stand with it.
func (f *flow) tall(t *laid, r *sheet.Row) int {
	under := 0
	for i := range r.Under {
		under += f.height(&r.Under[i])
	}
	return linesOf(t.cells(r)) + min(under, togetherLines)
}

// table sets a table, with the heads of its columns wherever it begins or goes on.
func (f *flow) table(of *sheet.Table) {
	t := f.lay(of, flowWidth, flowLine)
	f.room(f.first(t))
	top := func() {
		if t.heads != nil {
			f.row(t, t.heads)
		}
	}
	top()
	for i := range t.Rows {
		r := &t.Rows[i]
		if r.Cells == nil {
			f.y += 1
			if f.room(3 * flowLine) {
				top()
			}
			f.para(strings.TrimSpace(r.Clock+" "+r.Text+" "+r.Beside), manner{bold: true})
		} else {
			if f.room(flowLine * float64(f.tall(t, r))) {
				top()
			}
			f.row(t, r)
		}
		f.lines(r.Under)
	}
	f.y += 1
}

// row sets the cells of a row side by side.
func (f *flow) row(t *laid, r *sheet.Row) {
	cells := t.cells(r)
	t.set(r, cells, 0, linesOf(cells), f.left(), f.y)
	f.y += float64(linesOf(cells)) * flowLine
}
