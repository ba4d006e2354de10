package export

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"fairhand/register/measure"
	"fairhand/register/pattern"
	"fairhand/register/sheet"
)

// A spreadsheet has a sheet for each table of a document's data, and for each
// section without any its parts as they are read. Bell codes, names of trains and
// times are text, so that 3-1 stays 3-1 and 1E45 stays 1E45; only columns of
// numbers are numbers. Times are those of the railway (XLSX knows no zones:
// github.com/qax-os/excelize/issues/1069), with the day and the zone in the heading.

const sheetHead = 5 // the row of the headings; above it the title, the foot and a free row

func writeXLSX(w io.Writer, doc *sheet.Document) error {
	b := workbook{}
	for i := range doc.Sections {
		s := &doc.Sections[i]
		for _, t := range s.Data {
			b.table(doc, t)
		}
		if len(s.Data) == 0 && len(s.Parts) > 0 {
			b.reading(doc, s)
		}
	}
	return b.write(w, doc)
}

// begin begins a sheet with the title and the foot of the document.
func (b *workbook) begin(doc *sheet.Document, name string) *worksheet {
	s := &worksheet{name: sheetName(name)}
	b.sheets = append(b.sheets, s)
	title := doc.Head()
	for _, a := range slices.Backward(doc.Alarms) {
		title = a.String() + ". " + title
	}
	if doc.Times != "" {
		title += " (" + doc.Times + ")"
	}
	s.line(styleTitle, title)
	s.line(stylePlain, strings.Join(doc.Proof, ". "))
	s.line(stylePlain, sheet.Caution)
	s.row++
	return s
}

// sheetName is a name that a sheet can have: of at most 31 characters, without
// some signs.
func sheetName(s string) string {
	r := []rune(strings.NewReplacer(":", " ", "\\", " ", "/", " ", "?", " ", "*", " ", "[", "(", "]", ")", "'", " ").Replace(s))
	if len(r) == 0 {
		r = []rune("Sheet")
	}
	return strings.ToUpper(string(r[:1])) + string(r[1:min(len(r), 31)])
}

// table is a sheet with a table to sort: its headings stay in view.
func (b *workbook) table(doc *sheet.Document, t *sheet.Table) {
	s := b.begin(doc, t.Name)
	s.headings(t.Columns)
	for i := range t.Rows {
		s.values(t.Columns, t.Rows[i].Cells)
	}
	s.sorted = columnName(len(t.Columns)) // the last column
}

// reading is a sheet with the parts of a section as they are read.
func (b *workbook) reading(doc *sheet.Document, in *sheet.Section) {
	s := b.begin(doc, in.Key)
	if in.Title != "" {
		s.line(stylePlain, in.Title)
	}
	for _, p := range in.Parts {
		switch x := p.(type) {
		case sheet.Heading:
			s.line(stylePlain, string(x))
		case *sheet.List:
			s.lines(x.Lines)
		case *sheet.Table:
			s.headings(x.Columns)
			for i := range x.Rows {
				if r := &x.Rows[i]; r.Cells == nil {
					s.line(stylePlain, strings.TrimSpace(r.Clock+" "+r.Text+" "+r.Beside))
				} else {
					s.values(x.Columns, r.Cells)
				}
				s.lines(x.Rows[i].Under)
			}
		}
	}
}

func (s *worksheet) lines(list []sheet.Line) {
	for i := range list {
		l := &list[i]
		s.line(stylePlain, strings.TrimSpace(strings.Join([]string{l.Lead, l.Grave.Sign(), l.Text, l.Beside}, " ")))
		s.lines(l.Under)
	}
}

// values writes a row of a table.
func (s *worksheet) values(cols []sheet.Column, values []string) {
	s.begin(0)
	for i, v := range values {
		if x, err := strconv.ParseFloat(v, 64); err == nil && cols[i].Number && !math.IsNaN(x) && !math.IsInf(x, 0) {
			s.number(i, x)
		} else {
			s.text(i, stylePlain, v)
		}
	}
	s.end()
}

// In a spreadsheet _x0041_ stands for A (ECMA-376 part 1, 22.9.2.19, ST_Xstring),
// so a text that happens to hold such a thing has its first _ written that way.
var sheetEscape = pattern.Late(`_x[0-9A-Fa-f]{4}_`)

// xmlSafe makes characters that XML cannot hold visible as their number.
func xmlSafe(s string) string {
	s = sheetEscape().ReplaceAllStringFunc(s, func(m string) string { return "_x005F" + m })
	bad := func(r rune) bool {
		return r < 0x20 && r != '\t' && r != '\n' && r != '\r' || r == 0xFFFE || r == 0xFFFF || r > 0x7E && measure.Hidden(r)
	}
	if !strings.ContainsFunc(s, bad) {
		return s
	}
	var out strings.Builder
	for _, r := range s {
		if bad(r) {
			fmt.Fprintf(&out, "[U+%04X]", r)
		} else {
			out.WriteRune(r)
		}
	}
	return out.String()
}
