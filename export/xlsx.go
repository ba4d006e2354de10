package export

import (
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"

	"fairhand/block/rulebook"
	"fairhand/register"
)

// The spreadsheet has a sheet each for trains, entries, findings, handovers and figures. Bell codes,
// names of trains and times are text, so that 3-1 stays 3-1 and 1E45 stays 1E45;
// only numbers of entries and tokens and the figures are numbers. Times are those of the railway
// (XLSX knows no zones: github.com/qax-os/excelize/issues/1069), with the day
// and the zone in the heading.

// sheetColumn is a column of a sheet.
type sheetColumn struct {
	head   string
	width  float64
	number bool
}

const sheetHead = 5 // the row of the headings; above it the title, the foot and a free row

func writeXLSX(w io.Writer, d *register.Day) error {
	f := excelize.NewFile()
	defer f.Close()
	b := workbook{File: f, d: d}
	b.trains()
	b.entries()
	b.findings()
	b.handovers()
	b.figures()
	b.seal()
	if b.err != nil {
		return b.err
	}
	f.SetActiveSheet(0)
	day := midnightUTC(d.Date).Format(time.RFC3339)
	err := f.SetDocProps(&excelize.DocProperties{Creator: "fairhand", LastModifiedBy: "fairhand", Created: day, Modified: day,
		Title: xmlSafe(d.Title()), Description: register.Caution, Language: "en-GB"})
	if err != nil {
		return err
	}
	_, err = f.WriteTo(w)
	return err
}

// workbook fills sheets; the first error stays.
type workbook struct {
	*excelize.File
	d    *register.Day
	n    int // sheets so far
	name string
	row  int
	err  error
}

func (b *workbook) do(err error) {
	if b.err == nil && err != nil {
		b.err = fmt.Errorf("sheet %s, row %d: %w", b.name, b.row, err)
	}
}

// sheet begins a sheet with its heading.
func (b *workbook) sheet(name string, cols []sheetColumn) {
	b.name = name
	if b.n == 0 {
		b.do(b.SetSheetName(b.GetSheetName(0), name))
	} else {
		_, err := b.NewSheet(name)
		b.do(err)
	}
	b.n++
	bold, err := b.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}, Border: []excelize.Border{{Type: "bottom", Color: "444444", Style: 1}},
		Alignment: &excelize.Alignment{Vertical: "top", WrapText: true}})
	b.do(err)
	title, err := b.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true, Size: 13}})
	b.do(err)
	start := time.Unix(int64(b.d.BookedAt(0)), 0).In(b.d.Zone)
	b.row = 1
	b.text(1, b.d.Title()+" (UTC"+start.Format("-07:00")+" as the day begins)")
	b.row = 2
	foot := b.d.Foot()
	b.text(1, strings.Join(foot[:len(foot)-1], ". "))
	b.row = 3
	b.text(1, foot[len(foot)-1])
	b.row = sheetHead
	for i, c := range cols {
		b.text(i+1, c.head)
		col, err := excelize.ColumnNumberToName(i + 1)
		b.do(err)
		b.do(b.SetColWidth(name, col, col, c.width))
	}
	last, err := excelize.CoordinatesToCellName(len(cols), sheetHead)
	b.do(err)
	first := "A" + strconv.Itoa(sheetHead)
	b.do(b.SetCellStyle(name, first, last, bold))
	b.do(b.SetCellStyle(name, "A1", "A1", title))
	b.do(b.SetRowHeight(name, sheetHead, 30)) // two lines
	b.do(b.AutoFilter(name, first+":"+last, nil))
	b.do(b.SetPanes(name, &excelize.Panes{Freeze: true, XSplit: 1, YSplit: sheetHead, TopLeftCell: "B" + strconv.Itoa(sheetHead+1), ActivePane: "bottomRight"}))
	landscape, fit, tall, yes := "landscape", 1, 0, true
	b.do(b.SetSheetProps(name, &excelize.SheetPropsOptions{FitToPage: &yes}))
	b.do(b.SetPageLayout(name, &excelize.PageLayoutOptions{Orientation: &landscape, FitToWidth: &fit, FitToHeight: &tall}))
}

func (b *workbook) text(col int, s string) {
	if s == "" || b.err != nil {
		return
	}
	at, err := excelize.CoordinatesToCellName(col, b.row)
	b.do(err)
	b.do(b.SetCellStr(b.name, at, xmlSafe(s)))
}

// line writes a row of a table.
func (b *workbook) line(cols []sheetColumn, values []string) {
	b.row++
	for i, v := range values {
		if n, err := strconv.ParseInt(v, 10, 64); err == nil && cols[i].number {
			at, err := excelize.CoordinatesToCellName(i+1, b.row)
			b.do(err)
			b.do(b.SetCellInt(b.name, at, n))
			continue
		}
		if x, err := strconv.ParseFloat(v, 64); err == nil && cols[i].number {
			at, err := excelize.CoordinatesToCellName(i+1, b.row)
			b.do(err)
			b.do(b.SetCellFloat(b.name, at, x, -1, 64))
			continue
		}
		b.text(i+1, v)
	}
}

func (b *workbook) entries() {
	var cols []sheetColumn
	for _, c := range entryColumns {
		cols = append(cols, sheetColumn{c.head, c.width, c.kind == number})
	}
	b.sheet("Entries", cols)
	for _, v := range entryViews(b.d, func(c rulebook.Code) string { return string(c) }) {
		var values []string
		for _, c := range entryColumns {
			values = append(values, c.value(&v))
		}
		b.line(cols, values)
	}
}

func (b *workbook) findings() {
	cols := []sheetColumn{{"Number", 8, true}, {"Time", 26, false}, {"Severity", 10, false}, {"Rule", 34, false}, {"Section", 14, false},
		{"Line", 12, false}, {"Train", 12, false}, {"Finding", 60, false}, {"Expected", 50, false}, {"Entry", 7, true}, {"Rests on entries", 16, false}, {"Source", 50, false}}
	b.sheet("Findings", cols)
	for i, f := range b.d.Findings {
		b.line(cols, []string{strconv.Itoa(i + 1), stamp(b.d, f.At), f.Severity.String(), string(f.Rule), f.Section, f.Line, f.Train, f.Text, f.Expected,
			strconv.FormatInt(f.Seq, 10), strings.Trim(fmt.Sprint(f.Rests), "[]"), f.Ref})
	}
}

// seal is a sheet of its own, so that each part can be copied out whole.
func (b *workbook) seal() {
	if b.d.Seal == nil {
		return
	}
	cols := []sheetColumn{{"Part", 12, false}, {"Seal, to be checked with ssh-keygen -Y verify", 80, false}}
	b.sheet("Seal", cols)
	for _, p := range sealParts(b.d.Seal) {
		b.line(cols, []string{p.name, p.text})
	}
}

// In a spreadsheet _x0041_ stands for A (ECMA-376 part 1, 22.9.2.19, ST_Xstring),
// so a text that happens to hold such a thing has its first _ written that way.
var sheetEscape = regexp.MustCompile(`_x[0-9A-Fa-f]{4}_`)

// xmlSafe makes characters that XML cannot hold visible as their number.
func xmlSafe(s string) string {
	s = sheetEscape.ReplaceAllStringFunc(s, func(m string) string { return "_x005F" + m })
	bad := func(r rune) bool {
		return r < 0x20 && r != '\t' && r != '\n' && r != '\r' || r == 0xFFFE || r == 0xFFFF
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
