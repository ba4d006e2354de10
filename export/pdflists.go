package export

import (
	"fmt"
	"strings"

	"fairhand/register"
)

// Two columns of running text on the pages that follow the book.
const (
	flowCols  = 2
	flowGap   = 7.0
	flowWidth = (pageRight - pageLeft - flowGap*(flowCols-1)) / flowCols
	flowSize  = 7.2
	flowLine  = 3.1
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
	keep   float64 // room that has to be left below, so that it does not stand alone
}

func (f *flow) para(s string, m manner) {
	f.font(m.bold, flowSize)
	lines := f.split(s, flowWidth-m.indent)
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
		f.SetTextColor(0, 0, 0)
		f.y += flowLine
	}
}

func (f *flow) head(s string) {
	f.y += 1.5
	f.para(s, manner{bold: true, keep: 3 * flowLine})
	f.y += 0.8
}

// lists draws what was found, with the numbers that the graph shows, the handover
// sheets, the entries as written and the figures.
func (p *pdf) lists() {
	f := p.newFlow("Findings and entries")
	f.head(fmt.Sprintf("Found on this day: %d", len(p.d.Findings)))
	if len(p.d.Findings) == 0 {
		f.para("Nothing that this register can see.", manner{})
	}
	for i := range p.d.Findings {
		f.finding(i)
	}
	f.head("Signs")
	f.para(register.PageLegend[0], manner{})
	f.para("An entry struck through is in error: what stands instead is beside it. !! danger, ! irregular, . advice.", manner{})
	for i := range p.d.Sheets {
		f.handover(&p.d.Sheets[i])
	}
	f.head("Entries, as written")
	writer := "?"
	for i := range p.d.Entries {
		e := &p.d.Entries[i]
		if e.Writer != writer {
			if writer = e.Writer; writer == "" {
				f.para("writing: nobody signed on", manner{indent: 9, bold: true, keep: flowLine})
			} else {
				f.para("writing: "+writer, manner{indent: 9, bold: true, keep: flowLine})
			}
		}
		f.entry(e)
	}
	f.figures()
	f.seal()
}

// seal sets the seal line by line, so that it can be copied out and checked.
func (f *flow) seal() {
	if f.d.Seal == nil {
		return
	}
	f.head("Seal, to be checked with ssh-keygen -Y verify")
	for _, part := range sealParts(f.d.Seal) {
		f.para(part.name, manner{bold: true, keep: flowLine})
		for _, l := range strings.Split(strings.TrimRight(part.text, "\n"), "\n") {
			f.para(l, manner{})
		}
	}
}

func (f *flow) finding(i int) {
	x := &f.d.Findings[i]
	lines := register.FindingLines(x)
	f.room(flowLine * float64(len(lines)+1))
	f.para(f.d.Clock(x.At)+" "+lines[0], manner{indent: 9, lead: fmt.Sprint(i+1, " ", signs[x.Severity]), bold: true})
	f.para(fmt.Sprintf("entry %d%s", x.Seq, f.explained(x.Seq)), manner{indent: 9})
	for _, l := range lines[1:] {
		f.para(l, manner{indent: 9, grey: true})
	}
	f.y += 1
}

// explained says which entries explain what was found about one.
func (f *flow) explained(seq int64) string {
	out := ""
	for i := range f.d.Entries {
		if f.d.Entries[i].Seq != seq {
			continue
		}
		for _, n := range f.d.Entries[i].Explained {
			out += fmt.Sprintf(", explained by entry %d", n)
		}
	}
	return out
}

func (f *flow) entry(e *register.Entry) {
	m := manner{indent: 9, lead: fmt.Sprint(e.Seq), struck: e.CorrectedBy != 0}
	f.para(e.Line, m)
	if e.CorrectedBy != 0 {
		f.para(fmt.Sprintf("ERROR, corrected by entry %d: %s", e.CorrectedBy, f.d.Instead(e)), manner{indent: 13, bold: true})
	}
	for _, x := range e.Findings {
		f.para(fmt.Sprintf("%s %s", x.Severity, x.Rule), manner{indent: 13, lead: signs[x.Severity], bold: true})
	}
}
