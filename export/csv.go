package export

import (
	"encoding/csv"
	"io"
	"regexp"
	"strconv"
	"strings"
	"time"

	"fairhand/block"
	"fairhand/register"
)

// The CSV export, schema fairhand-day-csv-1: RFC 4180, UTF-8, one heading
// record, one record for each entry of the day in the order of writing, and one
// last record with "foot" in the first field, the number and hash of the last
// entry of the register and, under text, the caution.
//
// Bell signals are spelled ("received 3 pause 1, sent 3 pause 1"), because a
// spreadsheet takes 3-1 for a date. A text that a spreadsheet would take for a
// formula (it begins with = + - @ or a control character), a number (0153, 1E45) or a
// date begins with an apostrophe; so does one that begins with an apostrophe
// itself, so that a program gets the text back by taking one away. Sources:
// Ziemann, Eren, El-Osta, Genome Biology 17:177 (2016) for the dates and
// numbers; CWE-1236 for the formulas. Fields added later come last.
var csvHead = []string{
	"record", "entry", "at", "recorded", "writer", "kind", "section", "line", "train", "description",
	"bells", "number", "place", "proof", "subject", "text",
	"corrected_by", "stands_instead", "explained_by", "findings", "as_written", "hash",
}

func writeCSV(w io.Writer, d *register.Day) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true // RFC 4180
	if err := out.Write(csvHead); err != nil {
		return err
	}
	about := trainsOf(d)
	for i := range d.Entries {
		if err := out.Write(csvRecord(d, &d.Entries[i], about[d.Entries[i].Seq])); err != nil {
			return err
		}
	}
	foot := make([]string, len(csvHead))
	foot[0], foot[1], foot[15], foot[21] = "foot", strconv.FormatInt(d.Head.Seq, 10), sheetSafe(register.Caution), hashText(d.Head.Hash)
	if err := out.Write(foot); err != nil {
		return err
	}
	out.Flush()
	return out.Error()
}

func csvRecord(d *register.Day, e *register.Entry, trains []*register.TrainRow) []string {
	ev := &e.Event
	var names, codes, found, explained []string
	for _, r := range trains {
		names = append(names, r.Train.Label(d.Box))
		if r.Train.Code != "" {
			codes = append(codes, Spell(r.Train.Code))
		}
	}
	if len(names) == 0 && ev.Train != "" {
		names = []string{ev.Train}
	}
	for _, f := range e.Findings {
		found = append(found, f.Severity.String()+" "+string(f.Rule))
	}
	for _, n := range e.Explained {
		explained = append(explained, strconv.FormatInt(n, 10))
	}
	by, instead, num := "", "", ""
	if e.CorrectedBy != 0 {
		by, instead = strconv.FormatInt(e.CorrectedBy, 10), d.Instead(e)
	}
	if register.KindNumbered(ev.Kind) {
		num = strconv.Itoa(ev.Number)
	}
	return []string{
		"entry", strconv.FormatInt(e.Seq, 10), stamp(d, ev.At), stamp(d, block.Time(e.Recorded)), sheetSafe(e.Writer), register.KindWord(ev.Kind),
		sheetSafe(ev.Section), sheetSafe(ev.Line), sheetSafe(strings.Join(names, ", ")), strings.Join(codes, ", "),
		bellsText(ev.Bells), num, sheetSafe(ev.Place), ev.Proof.String(), sheetSafe(ev.Subject), sheetSafe(ev.Text),
		by, sheetSafe(instead), strings.Join(explained, " "), strings.Join(found, ", "), sheetSafe(e.Line), hashText(e.Hash),
	}
}

// trainsOf gives the rows each entry concerns.
func trainsOf(d *register.Day) map[int64][]*register.TrainRow {
	out := map[int64][]*register.TrainRow{}
	for i := range d.Rows {
		for _, n := range d.Rows[i].Entries {
			out[n] = append(out[n], &d.Rows[i])
		}
	}
	return out
}

// Spell is a bell code in a form that is no date and no number: "3 pause 1",
// "4 beats".
func Spell(c block.Code) string {
	switch {
	case strings.Contains(string(c), "-"):
		return strings.ReplaceAll(string(c), "-", " pause ")
	case c == "1":
		return "1 beat"
	}
	return string(c) + " beats"
}

func bellsText(bells []block.Bell) string {
	var out []string
	for _, b := range bells {
		way := "received "
		if b.Sent {
			way = "sent "
		}
		out = append(out, way+Spell(b.Code))
	}
	return strings.Join(out, ", ")
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
	return time.Unix(int64(at), 0).In(d.Zone).Format(time.RFC3339)
}
