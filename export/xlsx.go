package export

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"

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
	f := excelize.NewFile()
	defer f.Close()
	b := workbook{File: f, doc: doc}
	for i := range doc.Sections {
		s := &doc.Sections[i]
		for _, t := range s.Data {
			b.table(t)
			b.fit()
		}
		if len(s.Data) == 0 && len(s.Parts) > 0 {
			b.reading(s)
			b.fit()
		}
	}
	if b.err != nil {
		return b.err
	}
	f.SetActiveSheet(0)
	day := doc.Date.Format(time.RFC3339)
	err := f.SetDocProps(&excelize.DocProperties{Creator: "fairhand", LastModifiedBy: "fairhand", Created: day, Modified: day,
		Title: xmlSafe(doc.Head()), Description: sheet.Caution, Language: "en-GB"})
	if err != nil {
		return err
	}
	_, err = f.WriteTo(w)
	return err
}

// workbook fills sheets; the first error stays.
type workbook struct {
	*excelize.File
	doc         *sheet.Document
	n           int // sheets so far
	name        string
	row         int
	title, bold int // styles
	err         error
}

func (b *workbook) do(err error) {
	if b.err == nil && err != nil {
		b.err = fmt.Errorf("sheet %s, row %d: %w", b.name, b.row, err)
	}
}

// begin begins a sheet with the title and the foot of the document.
func (b *workbook) begin(name string) {
	b.name = sheetName(name)
	if b.n == 0 {
		var err error
		b.title, err = b.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true, Size: 13}})
		b.do(err)
		b.bold, err = b.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}, Border: []excelize.Border{{Type: "bottom", Color: "444444", Style: 1}},
			Alignment: &excelize.Alignment{Vertical: "top", WrapText: true}})
		b.do(err)
		b.do(b.SetSheetName(b.GetSheetName(0), b.name))
	} else {
		_, err := b.NewSheet(b.name)
		b.do(err)
	}
	b.n++
	b.row = 1
	title := b.doc.Head()
	for _, a := range slices.Backward(b.doc.Alarms) {
		title = a.String() + ". " + title
	}
	if b.doc.Times != "" {
		title += " (" + b.doc.Times + ")"
	}
	b.text(1, title)
	b.do(b.SetCellStyle(b.name, "A1", "A1", b.title))
	b.row = 2
	b.text(1, strings.Join(b.doc.Proof, ". "))
	b.row = 3
	b.text(1, sheet.Caution)
	b.row = sheetHead - 1
}

// fit has a sheet printed to the width of a page. It comes after a filter, which takes that away.
func (b *workbook) fit() {
	landscape, fit, tall, yes := "landscape", 1, 0, true
	b.do(b.SetSheetProps(b.name, &excelize.SheetPropsOptions{FitToPage: &yes}))
	b.do(b.SetPageLayout(b.name, &excelize.PageLayoutOptions{Orientation: &landscape, FitToWidth: &fit, FitToHeight: &tall}))
}

var sheetNameTaken = strings.NewReplacer(":", " ", "\\", " ", "/", " ", "?", " ", "*", " ", "[", "(", "]", ")", "'", " ")

// sheetName is a name that a sheet can have: of at most 31 characters, without
// some signs (excelize.ErrSheetNameInvalid).
func sheetName(s string) string {
	r := []rune(sheetNameTaken.Replace(s))
	return strings.ToUpper(string(r[:1])) + string(r[1:min(len(r), 31)])
}

// table is a sheet with a table to sort: its headings stay in view.
func (b *workbook) table(t *sheet.Table) {
	b.begin(t.Name)
	b.headings(t)
	b.do(b.SetRowHeight(b.name, sheetHead, 30)) // two lines
	b.do(b.AutoFilter(b.name, b.at(1)+":"+b.at(len(t.Columns)), nil))
	b.do(b.SetPanes(b.name, &excelize.Panes{Freeze: true, XSplit: 1, YSplit: sheetHead, TopLeftCell: "B" + strconv.Itoa(sheetHead+1), ActivePane: "bottomRight"}))
	for i := range t.Rows {
		b.line(t.Columns, t.Rows[i].Cells)
	}
}

func (b *workbook) headings(t *sheet.Table) {
	b.row++
	for i := range t.Columns {
		b.text(i+1, t.Columns[i].Head)
		col, err := excelize.ColumnNumberToName(i + 1)
		b.do(err)
		b.do(b.SetColWidth(b.name, col, col, t.Columns[i].Share))
	}
	b.do(b.SetCellStyle(b.name, b.at(1), b.at(len(t.Columns)), b.bold))
}

// reading is a sheet with the parts of a section as they are read.
func (b *workbook) reading(s *sheet.Section) {
	b.begin(s.Key)
	if s.Title != "" {
		b.row++
		b.text(1, s.Title)
	}
	for _, p := range s.Parts {
		switch x := p.(type) {
		case sheet.Heading:
			b.row++
			b.text(1, string(x))
		case *sheet.List:
			b.lines(x.Lines)
		case *sheet.Table:
			b.headings(x)
			for i := range x.Rows {
				if r := &x.Rows[i]; r.Cells == nil {
					b.row++
					b.text(1, strings.TrimSpace(r.Clock+" "+r.Text+" "+r.Beside))
				} else {
					b.line(x.Columns, r.Cells)
				}
				b.lines(x.Rows[i].Under)
			}
		}
	}
}

func (b *workbook) lines(list []sheet.Line) {
	for i := range list {
		l := &list[i]
		b.row++
		b.text(1, strings.TrimSpace(strings.Join([]string{l.Lead, l.Grave.Sign(), l.Text, l.Beside}, " ")))
		b.lines(l.Under)
	}
}

// at is the name of a cell of the present row.
func (b *workbook) at(col int) string {
	name, err := excelize.CoordinatesToCellName(col, b.row)
	b.do(err)
	return name
}

func (b *workbook) text(col int, s string) {
	if s != "" && b.err == nil {
		b.do(b.SetCellStr(b.name, b.at(col), xmlSafe(s)))
	}
}

// line writes a row of a table.
func (b *workbook) line(cols []sheet.Column, values []string) {
	b.row++
	for i, v := range values {
		if n, err := strconv.ParseInt(v, 10, 64); err == nil && cols[i].Number {
			b.do(b.SetCellInt(b.name, b.at(i+1), n))
		} else if x, err := strconv.ParseFloat(v, 64); err == nil && cols[i].Number {
			b.do(b.SetCellFloat(b.name, b.at(i+1), x, -1, 64))
		} else {
			b.text(i+1, v)
		}
	}
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
