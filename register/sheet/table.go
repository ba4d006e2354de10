package sheet

import "cmp"

// Table is rows under the headings of their columns.
type Table struct {
	Title   string // stands above it, empty for none
	Name    string // of its sheet in a spreadsheet
	Book    bool   // a page of the book: it has pages of its own, groups of columns, and signs of findings beside its rows
	Columns []Column
	Rows    []Row
}

// Column is a column of a table: all that a drawer needs to know about it.
type Column struct {
	Key     string  // stable name
	Group   string  // heading over several columns
	Head    string  // heading
	Short   string  // heading of a few letters, for plain text and the desk; that is Head if empty
	Share   float64 // of the width, in columns of type if there is room for all; every column has one
	Right   bool    // numbers: stand to the right
	Clock   bool    // times: to the right, minutes under minutes
	Number  bool    // a number to a spreadsheet; all else is text
	Mark    bool    // a sign close to the column before, without a heading of its own in plain text
	Strong  bool    // stands out
	Below   bool    // stands in a line below its row where there is no room for all
	Lead    string  // leads it in there; without one it has that line alone
	Beside  int     // columns that are enough on a screen to stand beside the others though Below; 0: never
	Implied bool    // the rest of the table tells as much: left out on a screen without room
}

// Brief is the heading of a few letters.
func (c *Column) Brief() string { return cmp.Or(c.Short, c.Head) }

// RowKind says what a row of a table is.
type RowKind uint8

// The kinds of row.
const (
	Plain  RowKind = iota // a cell for each column
	Past                  // the same, of what did not remain
	Across                // Text and Beside across the table, after the Clock
	Above                 // Text, a heading of the rows below it
)

// Row is one row, ready to show.
type Row struct {
	Kind   RowKind
	Cells  []string // for each column; nil across the table
	Hours  []string // of each cell in a column of times, what names its hour: see Pages
	In     int      // margin of the first cell
	Clock  string   // across the table: the time, and what names its hour
	Hour   string
	Text   string // across the table
	Struck bool   // Text is struck through and legible
	Beside string // across the table: what stands out after Text
	Grave  Grave  // of what was found about it
	About  []string
	Under  []Line // below it
	ID     string
}

// Pages parts the rows of a table so that their heights fit the room, at least
// one row to a page; with no room all are one page. A time has its hour for the
// first in each hour of its column and at the top of each page, else minutes alone.
// The height of a row must not depend on that. Source of the custom: the printed
// instructions on a page of the Quintinshill exhibition (10.7, 21, 35, 50, 11.2).
func (t *Table) Pages(room float64, height func(*Row) float64) [][]Row {
	var pages [][]Row
	rows := t.Rows
	for first := true; first || len(rows) > 0; first = false {
		hours := make([]string, len(t.Columns)+1) // the last for rows across the table
		page := make([]Row, 0, len(rows))
		left := room
		for i := range rows {
			r := rows[i].under(hours)
			if room > 0 {
				if left -= height(&r); left < 0 && i > 0 {
					break
				}
			}
			page = append(page, r)
		}
		pages, rows = append(pages, page), rows[len(page):]
	}
	return pages
}

// under is the row as it stands under others, given the hours last written in
// each column; it changes those to its own.
func (r *Row) under(hours []string) Row {
	out := *r
	last := len(hours) - 1
	out.Clock = ditto(r.Clock, r.Hour, &hours[last])
	if r.Hours != nil {
		out.Cells = make([]string, len(r.Cells))
		for i, s := range r.Cells {
			out.Cells[i] = ditto(s, r.Hours[i], &hours[i])
		}
	}
	return out
}

// ditto leaves out the two figures of an hour that stands above already.
func ditto(clock, hour string, last *string) string {
	if hour != "" && hour == *last {
		return clock[len("00"):]
	}
	if hour != "" {
		*last = hour
	}
	return clock
}

// Widths shares out a width among the columns.
func (t *Table) Widths(all float64) []float64 {
	sum := 0.0
	for i := range t.Columns {
		sum += t.Columns[i].Share
	}
	out := make([]float64, len(t.Columns))
	for i := range t.Columns {
		out[i] = all * t.Columns[i].Share / sum
	}
	return out
}
