package export

import (
	"encoding/csv"
	"io"
	"regexp"
	"strconv"
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register"
	"fairhand/register/calendar"
)

// The CSV export, schema fairhand-day-csv-1: RFC 4180, UTF-8, one heading
// record, one record for each entry of the day in the order of writing, one with
// "handover" in the first field for each thing on a handover sheet, and one last
// record with "foot" in the first field, the number and hash of the last
// entry of the register and, under text, the caution.
//
// Bell signals are spelled ("received 3 pause 1, sent 3 pause 1"), because a
// spreadsheet takes 3-1 for a date. A text that a spreadsheet would take for a
// formula (it begins with = + - @ or a control character), a number (0153, 1E45) or a
// date begins with an apostrophe; so does one that begins with an apostrophe
// itself, so that a program gets the text back by taking one away. Sources:
// Ziemann, Eren, El-Osta, Genome Biology 17:177 (2016) for the dates and
// numbers; CWE-1236 for the formulas. Fields added later come last.
func writeCSV(w io.Writer, d *register.Day) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true // RFC 4180
	put := func(record string, value func(c *entryColumn) string) {
		rec := []string{record}
		for i := range entryColumns {
			rec = append(rec, value(&entryColumns[i]))
		}
		_ = out.Write(rec) // out.Error has it
	}
	fields := func(of map[string]string) func(*entryColumn) string {
		return func(c *entryColumn) string { return of[c.name] }
	}
	put("record", func(c *entryColumn) string { return c.name })
	for _, v := range entryViews(d, Spell) {
		put("entry", func(c *entryColumn) string {
			if c.kind == freeText {
				return sheetSafe(c.value(&v))
			}
			return c.value(&v)
		})
	}
	for _, r := range handoverRecords(d) {
		put("handover", fields(r))
	}
	put("foot", fields(map[string]string{"entry": strconv.FormatInt(d.Head.Seq, 10), "text": sheetSafe(register.Caution), "hash": hashText(d.Head.Hash)}))
	out.Flush()
	return out.Error()
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
var sheetTaken = regexp.MustCompile(`(?i)^\s*(` +
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
		strings.HasPrefix(t, "＝") || strings.HasPrefix(t, "＋") || strings.HasPrefix(t, "－") || strings.HasPrefix(t, "＠") || sheetTaken.MatchString(s) {
		return "'" + s
	}
	return s
}

// stamp is a moment as RFC 3339 with the offset of the box's zone.
func stamp(d *register.Day, at block.Time) string {
	if at == 0 {
		return ""
	}
	return calendar.Stamp(at, d.Zone)
}
