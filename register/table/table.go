// Package table reads a book that was typed as a table, such as one copied from a
// paper book in a spreadsheet: comma- or semicolon-separated fields (RFC 4180) under
// a line with the names of the columns. It makes a book in notation of it.
package table

import (
	"bufio"
	"bytes"
	"cmp"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"fairhand/register/bounded"
	"fairhand/register/boxfile"
	"fairhand/register/measure"
	"fairhand/register/notation"
)

// Columns are the columns a table may have, in any order.
var Columns = []string{"date", "time", "written", "entry", "section", "direction", "beats", "train", "line", "remark"}

// Book turns a table into a book in notation, in which each entry stands on the
// line of the table it comes from, so that an error found in the one names the
// place in the other; see WithFaults. The faults are those of lines that make no entry
// as they are; the book then has an entry in their place, so that what else is wrong in
// it can be found and told with them, and is not to be used. The error is that of src.
func Book(src io.Reader) (book *bytes.Reader, faults notation.Errors, err error) {
	in := bufio.NewReader(bounded.Of(src, bounded.Line, bounded.Table))
	if mark, err := in.Peek(3); err == nil && string(mark) == "\ufeff" { // spreadsheets put it there
		in.Discard(3)
	}
	table := csv.NewReader(in)
	table.FieldsPerRecord = -1 // counted with words of our own
	table.TrimLeadingSpace = true
	table.LazyQuotes = true // note "late" may stand as it is
	if head, _ := in.Peek(in.Size()); semicolons(head) {
		table.Comma = ';'
	}
	names, err := table.Read()
	if err != nil {
		return nil, nil, fault(1, err)
	}
	c := reading{}
	if err := c.heading(names); err != nil {
		return nil, nil, fault(1, err)
	}
	for {
		record, err := table.Read()
		switch {
		case errors.Is(err, io.EOF):
			return bytes.NewReader(c.book.Bytes()), c.faults, nil
		case err != nil:
			if at, ok := errors.AsType[*csv.ParseError](err); ok {
				return nil, nil, append(c.faults, fault(at.Line, at.Err)...)
			}
			return nil, nil, err
		}
		line, _ := table.FieldPos(0)
		c.record(line, record)
		if len(c.faults) >= notation.MaxErrors {
			return nil, nil, c.faults
		}
	}
}

// semicolons says whether the first line of a table has them between its fields.
func semicolons(text []byte) bool {
	first, _, _ := bytes.Cut(text, []byte("\n"))
	return bytes.Count(first, []byte(";")) > bytes.Count(first, []byte(","))
}

// fault is a fault of a line of a table; it has no column, for those of the
// notation are not those of the table.
func fault(line int, err error) notation.Errors {
	if errors.Is(err, io.EOF) {
		err = errors.New("the table is empty")
	}
	return notation.Errors{{Line: line, Problem: err.Error()}}
}

// reading is a table being turned into a book.
type reading struct {
	names  []string
	book   bytes.Buffer
	lines  int // of the book so far
	date   string
	faults notation.Errors
}

func (c *reading) heading(names []string) error {
	for _, n := range names {
		n = strings.ToLower(strings.TrimSpace(n))
		if !slices.Contains(Columns, n) {
			if w := boxfile.Nearest(n, Columns); w != "" {
				return fmt.Errorf("there is no column %q; did you mean %s?", measure.Short(n, 40, "..."), w)
			}
			return fmt.Errorf("there is no column %q; known are %s", measure.Short(n, 40, "..."), strings.Join(Columns, ", "))
		}
		if slices.Contains(c.names, n) {
			return fmt.Errorf("the column %s is there twice", n)
		}
		c.names = append(c.names, n)
	}
	for _, n := range []string{"date", "time"} {
		if !slices.Contains(c.names, n) {
			return fmt.Errorf("the column %s is missing; the first line names the columns", n)
		}
	}
	if !slices.Contains(c.names, "entry") && !slices.Contains(c.names, "beats") {
		return errors.New("there must be a column entry, or the columns section, direction and beats")
	}
	return nil
}

// What stands in the place of what cannot be read: nothing of it is used.
const (
	fallbackDate  = "2000-01-01"
	fallbackTime  = "00:00"
	fallbackEntry = `note "-"`
)

// record writes the line of a record, and tells all that is wrong with it.
func (c *reading) record(line int, record []string) {
	wrong := func(format string, args ...any) {
		c.faults = append(c.faults, fault(line, fmt.Errorf(format, args...))...)
	}
	if len(record) > len(c.names) {
		wrong("there are %d fields and %d columns; a comma in a field needs quotation marks around it", len(record), len(c.names))
		record = record[:len(c.names)]
	}
	f := map[string]string{}
	empty := true
	for i, v := range record {
		f[c.names[i]] = strings.TrimSpace(v)
		empty = empty && f[c.names[i]] == ""
	}
	if empty {
		return
	}
	if _, err := time.Parse(time.DateOnly, f["date"]); err != nil && f["date"] != "" {
		wrong("%q is no date; write it as 2026-05-05", measure.Short(f["date"], 40, "..."))
		f["date"] = cmp.Or(c.date, fallbackDate)
	}
	if f["date"] == "" && c.date == "" {
		wrong("the first entry needs a date")
		f["date"] = fallbackDate
	}
	if f["time"] == "" {
		wrong("the time is missing")
		f["time"] = fallbackTime
	}
	for _, n := range []string{"time", "written"} {
		if problem := notATime(f[n]); problem != "" {
			wrong("in the column %s: %s", n, problem)
			f[n] = map[string]string{"time": fallbackTime}[n]
		}
	}
	body, err := entryOf(f)
	if err != nil {
		wrong("%w", err)
		body = fallbackEntry
	}
	if strings.ContainsAny(f["time"]+f["written"], "\n\r") { // told with the entry
		f["time"], f["written"] = fallbackTime, ""
	}
	change := f["date"] != "" && f["date"] != c.date
	for ; c.lines < line-1; c.lines++ {
		c.book.WriteByte('\n')
	}
	c.lines++
	if change {
		c.date = f["date"]
		fmt.Fprintf(&c.book, "date %s ; ", c.date)
	}
	fmt.Fprintf(&c.book, "%s %s", f["time"], body)
	if f["written"] != "" {
		fmt.Fprintf(&c.book, " written %s", f["written"])
	}
	c.book.WriteByte('\n')
}

// notATime is what the notation says of a field that is no time, empty for one that is.
func notATime(text string) string {
	if _, err := time.Parse("15:04", text); err == nil && len(text) == 5 || text == "" || strings.ContainsAny(text, "\n\r") {
		return "" // two lines are told with the entry
	}
	_, err := notation.ParseAll(strings.NewReader("date "+fallbackDate+"\n"+text+" "+fallbackEntry), time.UTC)
	if found, ok := errors.AsType[*notation.Error](err); ok {
		return found.Message()
	}
	return ""
}

// entryOf is the entry of a record in notation, without its time.
func entryOf(f map[string]string) (string, error) {
	bell := f["section"] != "" || f["direction"] != "" || f["beats"] != ""
	for _, v := range f {
		if strings.ContainsAny(v, "\n\r") {
			return "", errors.New("a field has two lines; write each entry on a line of its own")
		}
	}
	switch {
	case f["entry"] != "" && bell:
		return "", errors.New("entry and the columns of a bell signal are both filled; one of them says what happened")
	case f["entry"] != "":
		return f["entry"], nil
	case !bell:
		return "", errors.New("nothing says what happened; fill the column entry")
	}
	for _, n := range []string{"section", "direction", "beats"} {
		if f[n] == "" {
			return "", fmt.Errorf("a bell signal needs section, direction and beats; %s is missing", n)
		}
	}
	sign := ""
	switch strings.ToLower(f["direction"]) {
	case "sent":
		sign = ">"
	case "received":
		sign = "<"
	default:
		return "", fmt.Errorf("the direction %q is neither sent nor received", measure.Short(f["direction"], 40, "..."))
	}
	body := notation.Quoted(f["section"]) + " " + sign + f["beats"]
	for _, n := range []string{"train", "line"} {
		if f[n] != "" {
			body += " " + n + " " + notation.Quoted(f[n])
		}
	}
	if f["remark"] != "" {
		body += " " + notation.Quoted(f["remark"])
	}
	return body, nil
}

// WithFaults puts the faults of a table together with what was found of the book made
// of it, which may be nil, in the order of the lines; those of the book without their
// columns, which are not those of the table.
func WithFaults(faults notation.Errors, err error) error {
	found, is := errors.AsType[notation.Errors](err)
	if err != nil && !is {
		if len(faults) > 0 {
			return faults
		}
		return err
	}
	for _, f := range found {
		f.Column = 0
	}
	all := append(slices.Clone(faults), found...)
	if len(all) == 0 {
		return nil
	}
	slices.SortStableFunc(all, func(a, b *notation.Error) int { return a.Line - b.Line })
	return all[:min(len(all), notation.MaxErrors)]
}
