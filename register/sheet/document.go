// Package sheet is printed matter: what stands on it, and nothing of how it is
// drawn.
//
// A Document has sections, a section has lists and tables, and a table has
// columns that say all a drawer needs: their headings long and short, their share
// of the width, how they stand, and what goes below a row where there is no room
// beside it. Whoever knows a thing describes it once (a day in package register,
// an audit in audit, a comparison in compare); package export draws any Document
// as text, HTML, PDF and XLSX, and the desk shows it. So a new column is one row,
// and a new report can be printed and filed in every format.
//
// No Document is without its foot: Foot ends with the Caution.
package sheet

import (
	"cmp"
	"fmt"
	"time"

	"fairhand/block/rulebook"
	"fairhand/register/each"
)

// Caution is said on the first start, in the README and at the foot of every
// document: what a register is and what it is not.
const Caution = "A record and a reminder, never a protection. It proves nothing on the ground: instruments, " +
	"tokens, signals, the railway's own rule book and its authorised people decide."

// Document is printed matter.
type Document struct {
	Title    string    // what it begins with; empty when its first section says it
	Running  string    // what heads each page and names the file, where that is not the Title
	Under    []string  // below the title: who was on duty, how far it goes
	Times    string    // about its times, for a table in which they are bare text
	Date     time.Time // that its files bear: never the clock's, so that the same matter gives the same bytes
	Ruled    bool      // plain text underlines its headings, as in a report
	Unbroken bool      // plain text has one line for each, however long
	Sections []Section
	Proof    []string // what proves it: numbers and hashes of entries, a seal
	Alarms   []Alarm  // what takes the worth from it, across every page
	Sign     bool     // PDF and HTML have a place at their end for who examined it
}

// Head is what heads each page and names the file.
func (d *Document) Head() string { return cmp.Or(d.Running, d.Title) }

// Foot is the foot of every page: what proves the document, and what a register is not.
func (d *Document) Foot() []string { return append(d.Proof[:len(d.Proof):len(d.Proof)], Caution) }

// SignHere is the place at the end of a report for who examined it.
const SignHere = "Examined by ........................  signature ................  on ..........."

// Section is a part of a document under a heading of its own.
type Section struct {
	Key   string // stable name; a spreadsheet names the sheet by it
	Title string // empty for none
	Parts []Part
	Data  []*Table // what a spreadsheet has instead of Parts, to sort and to reckon with
}

// Part is a Heading, a *List, a *Table or a *Figure.
type Part interface{ part() }

// Figure is a drawing, made by those who can draw it: the train graph of a day.
type Figure struct{ Of any }

// List is lines one below another.
type List struct{ Lines []Line }

// Heading is a heading of the weight of a section's title.
type Heading string

func (Heading) part() {}
func (*List) part()   {}
func (*Table) part()  {}
func (*Figure) part() {}

// Line is a line of running text and what hangs on it. Its margin is given in
// columns of plain text, as a measure for all drawers.
type Line struct {
	In     int    // margin; what leads stands within it
	Lead   string // stands before the text: a number, a tick
	Grave  Grave  // the sign of a finding stands before the text
	Text   string
	Beside string // stands after it and stands out: what stands instead of a text struck through
	Head   bool   // a heading among the lines
	Strong bool
	Faint  bool
	Struck bool // struck through and legible
	Flush  bool // lines that follow begin where the first does; else two columns further in
	Space  bool // a free line before it
	ID     string
	Link   string   // where what leads it leads to, or else the entry it names first, on a page that has links
	About  []string // names of trains, for whoever looks for one
	Under  []Line
}

// Say makes lines without margin, one of each text.
func Say(texts ...string) *List {
	return &List{each.Of(texts, func(t string) Line { return Line{Text: t} })}
}

// Add puts a line within a margin at the end of a list.
func (l *List) Add(in int, format string, a ...any) *Line {
	l.Lines = append(l.Lines, Line{In: in, Text: fmt.Sprintf(format, a...)})
	return &l.Lines[len(l.Lines)-1]
}

// Once is what was said last of each matter: what is the same again need not be read again.
type Once map[string]string

// Say gives a text, and nothing where that was said last.
func (o Once) Say(of, text string) string {
	if text == "" || o[of] == text {
		return ""
	}
	o[of] = text
	return text
}

// Grave is how grave a finding is, with a value for none.
type Grave uint8

// Graveness is that of a severity.
func Graveness(s rulebook.Severity) Grave { return Grave(s) + 1 }

// signs mark a finding: ascending.
var signs = [...]string{"", ".", "!", "!!"}

// Sign marks it beside a line; nothing for none.
func (g Grave) Sign() string { return signs[g] }

// String is the severity in a word; nothing for none.
func (g Grave) String() string {
	if g == 0 {
		return ""
	}
	return rulebook.Severity(g - 1).String()
}
