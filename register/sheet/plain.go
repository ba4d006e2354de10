package sheet

import (
	"fmt"
	"math"
	"strings"

	"fairhand/register/measure"
)

// PlainWidth is how many columns plain text is broken to, for paper and screen.
const PlainWidth = 80

// pageLines is how many rows of the book go on one page of plain text: about what
// a printed page holds with two lines to a train.
const pageLines = 25

// PlainLine is a line of plain text.
type PlainLine struct {
	Text string
	Head bool // a heading
}

// Plain lays a document out in columns of type, for a file and for the desk. Lines
// are of at most so many columns, but for words that are longer.
func (d *Document) Plain(width int) []PlainLine {
	p := plain{width: width, text: width, ruled: d.Ruled}
	if d.Unbroken {
		p.text = math.MaxInt32
	}
	for _, s := range d.Sections {
		for _, part := range s.Parts {
			if t, ok := part.(*Table); ok && t.Book {
				p.of += len(t.Pages(pageLines, oneLine))
				p.books = append(p.books, t)
			}
		}
	}
	if d.Title != "" {
		p.head(d.Title, "=")
	}
	p.alarms(d.Alarms)
	for _, s := range d.Under {
		p.line(&Line{Text: s, Flush: true})
	}
	for i := range d.Sections {
		p.section(&d.Sections[i])
	}
	p.gap()
	p.alarms(d.Alarms)
	for _, s := range d.Proof {
		p.line(&Line{Text: s})
	}
	p.text = width
	p.line(&Line{Text: Caution, Flush: true})
	for i := range p.out {
		p.out[i].Text = measure.Visible(p.out[i].Text)
	}
	return p.out
}

// alarms go from edge to edge.
func (p *plain) alarms(list []Alarm) {
	for _, a := range list {
		p.put(strings.Repeat("!", p.width))
		for _, l := range measure.Wrap(a.String(), p.width, p.width) {
			p.out = append(p.out, PlainLine{l, true})
		}
		p.put(strings.Repeat("!", p.width))
	}
}

func oneLine(*Row) float64 { return 1 }

// plain gathers lines.
type plain struct {
	out      []PlainLine
	width    int // of tables
	text     int // of running text
	ruled    bool
	page, of int      // of the book
	books    []*Table // all of its pages, so that their columns stand alike
}

func (p *plain) put(s string) { p.out = append(p.out, PlainLine{Text: strings.TrimRight(s, " ")}) }

// gap leaves a line free, unless one is or nothing stands above.
func (p *plain) gap() {
	if n := len(p.out); n > 0 && p.out[n-1].Text != "" {
		p.put("")
	}
}

func (p *plain) head(s, rule string) {
	widest := 0
	for _, l := range measure.Wrap(s, p.text, p.text-2) {
		if widest > 0 {
			l = "  " + l
		}
		p.out = append(p.out, PlainLine{l, true})
		widest = max(widest, measure.Width(l))
	}
	if p.ruled {
		p.put(strings.Repeat(rule, widest))
	}
}

func (p *plain) section(s *Section) {
	if len(s.Parts) == 0 {
		return
	}
	p.gap()
	if s.Title != "" {
		p.head(s.Title, "-")
	}
	for _, part := range s.Parts {
		switch x := part.(type) {
		case Heading:
			p.gap()
			p.head(string(x), "-")
		case *List:
			for i := range x.Lines {
				p.line(&x.Lines[i])
			}
		case *Table:
			p.table(x)
		}
	}
}

// line sets a line of running text and what is under it.
func (p *plain) line(l *Line) {
	if l.Space {
		p.gap()
	}
	lead, text := l.Lead, l.Text
	if l.Struck {
		text = "~" + text + "~"
	}
	switch sign := l.Grave.Sign(); {
	case sign != "" && lead != "":
		lead += " " + sign
	case sign != "":
		text = sign + " " + text
	}
	if l.Beside != "" {
		text += " " + l.Beside
	}
	hang := 2
	if l.Flush {
		hang = 0
	}
	p.wrapped(measure.PadLeft(lead, l.In-1), l.In, hang, text)
	for i := range l.Under {
		p.line(&l.Under[i])
	}
}

// wrapped sets a text within margins, with what leads its first line.
func (p *plain) wrapped(lead string, in, hang int, text string) {
	for i, s := range measure.Wrap(text, p.text-in, p.text-in-hang) {
		if i == 0 {
			if measure.Width(lead) >= in && lead != "" {
				lead += " " // a time in brackets
			}
			p.put(measure.Pad(lead, in) + s)
		} else {
			p.put(strings.Repeat(" ", in+hang) + s)
		}
	}
}

func (p *plain) table(t *Table) {
	if !t.Book {
		p.rows(newPlainGrid(p.width, t), t.Rows)
		return
	}
	g := newPlainGrid(p.width, t, p.books...)
	for _, rows := range t.Pages(pageLines, oneLine) {
		p.page++
		p.gap()
		p.out = append(p.out, PlainLine{fmt.Sprintf("%s, page %d of %d", t.Title, p.page, p.of), true})
		p.rows(g, rows)
	}
}

// rows sets rows under their headings.
func (p *plain) rows(g *plainGrid, rows []Row) {
	for _, l := range g.headings() {
		p.put(l)
	}
	for i := range rows {
		r := &rows[i]
		switch r.Kind {
		case Above:
			p.gap()
			p.wrapped("", 0, 2, r.Text)
		case Across:
			text := r.Text
			if r.Struck {
				text = "~" + text + "~"
			}
			if r.Beside != "" {
				text += "  [" + r.Beside + "]"
			}
			in := g.signs + len("00:00 ")
			p.wrapped(measure.Pad(r.Grave.Sign(), g.signs)+measure.PadLeft(r.Clock, len("00:00")), in, 0, text)
		default:
			p.put(g.row(r))
			for _, s := range g.below(r) {
				p.wrapped("", g.signs+2, 2, s)
			}
		}
		for j := range r.Under {
			p.line(&r.Under[j])
		}
	}
}
