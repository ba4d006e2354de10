package export

import (
	"encoding/csv"
	"errors"
	"io"
	"slices"
	"strconv"
	"strings"

	"fairhand/block/rulebook"
	"fairhand/register"
	"fairhand/register/each"
	"fairhand/register/pattern"
	"fairhand/register/sheet"
)

// csvForm is how CSV is written: guarded against spreadsheets, or plain.
type csvForm struct {
	text func(string) string        // a text that may hold anything
	code func(rulebook.Code) string // a bell code
}

var (
	guardedCSV = csvForm{sheetSafe, Spell}
	plainCSV   = csvForm{func(s string) string { return s }, plainCode}
)

// day writes a day, schema fairhand-day-csv-1, as CSVHelp tells it. Why texts and codes
// are guarded: Ziemann, Eren, El-Osta, Genome Biology 17:177 (2016) for the dates and
// numbers that spreadsheets make of them; CWE-1236 for the formulas.
func (c csvForm) day(w io.Writer, d *register.Day) error {
	var all [][]string
	put := func(record string, value func(col entryColumn) string) {
		all = append(all, slices.Insert(each.Of(entryColumns, value), 0, record))
	}
	fields := func(of map[string]string) func(entryColumn) string {
		return func(col entryColumn) string { return of[col.name] }
	}
	put("record", func(col entryColumn) string { return col.name })
	for _, v := range entryViews(d, c.code) {
		put("entry", func(col entryColumn) string {
			if col.kind == freeText {
				return c.text(col.value(&v))
			}
			return col.value(&v)
		})
	}
	for _, r := range handoverRecords(d, c.text) {
		put("handover", fields(r))
	}
	put("foot", fields(map[string]string{"entry": strconv.FormatInt(d.Head.Seq, 10), "text": c.text(register.Caution), "hash": d.Head.Hash.String()}))
	return writeRecords(w, all)
}

// document writes the first table of a document that has one to reckon with, a record
// a row: of an audit and of a comparison the findings. The first field of each record
// is row; the last has foot, and under text what proves the table and the caution.
// Columns that hold numbers alone are not guarded.
func (c csvForm) document(w io.Writer, doc *sheet.Document) error {
	has := slices.IndexFunc(doc.Sections, func(s sheet.Section) bool { return len(s.Data) > 0 })
	if has < 0 {
		return errors.New("there is no table in it to write as CSV")
	}
	t := doc.Sections[has].Data[0]
	all := [][]string{append([]string{"record"}, each.Of(t.Columns, func(col sheet.Column) string { return col.Key })...)}
	for i := range t.Rows {
		rec := []string{"row"}
		for j, cell := range t.Rows[i].Cells {
			if !t.Columns[j].Number {
				cell = c.text(cell)
			}
			rec = append(rec, cell)
		}
		all = append(all, rec)
	}
	foot := make([]string, len(t.Columns)+1)
	foot[0] = "foot"
	foot[1+max(slices.IndexFunc(t.Columns, func(col sheet.Column) bool { return col.Key == "text" }), 0)] = c.text(strings.Join(doc.Foot(), ". "))
	return writeRecords(w, append(all, foot))
}

// writeRecords ends each record as RFC 4180 has it.
func writeRecords(w io.Writer, all [][]string) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true
	return out.WriteAll(all)
}

// Spell is a bell code in a form that is no date and no number: "3 pause 1",
// "4 beats".
func Spell(c rulebook.Code) string {
	switch {
	case strings.Contains(string(c), "-"):
		return strings.ReplaceAll(string(c), "-", " pause ")
	case c == "1":
		return "1 beat"
	}
	return string(c) + " beats"
}

// Texts that spreadsheets turn into a number or a date: digits, digits with an
// exponent, digits parted as in dates and clock times, and a month with a number.
var sheetTaken = pattern.Late(`(?i)^\s*(` +
	`[\d.,]+\s*%?|` +
	`[\d.,]+[ed][+-]?\d+|` +
	`\d+([-/.: ]\d+)+|` +
	`\d*[-/. ]*(jan|feb|mar|apr|may|jun|jul|aug|sep|sept|oct|nov|dec)[a-z]*[-/. ]*\d*|` +
	`true|false)\s*$`)

// sheetSafe guards a text against spreadsheets.
func sheetSafe(s string) string {
	if s == "" {
		return s
	}
	t := strings.TrimLeft(s, " ")
	if s[0] == '\'' || s[0] < ' ' || t != "" && (strings.ContainsRune("=+-@", rune(t[0])) || t[0] < ' ') ||
		strings.HasPrefix(t, "＝") || strings.HasPrefix(t, "＋") || strings.HasPrefix(t, "－") || strings.HasPrefix(t, "＠") || sheetTaken().MatchString(s) {
		return "'" + s
	}
	return s
}
