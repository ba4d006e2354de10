// Package table reads a book that was typed as a table, such as one copied from a
// paper book in a spreadsheet: comma- or semicolon-separated fields (RFC 4180) under
// a line with the names of the columns. It makes a book in notation of it.
package table

import (
	"bufio"
	"bytes"
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
// place in the other; see WithoutColumns. The error is notation.Errors for all lines
// that make no entry, or that of src.
func Book(src io.Reader) (*bytes.Reader, error) {
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
		return nil, fault(1, err)
	}
	c := reading{}
	if err := c.heading(names); err != nil {
		return nil, fault(1, err)
	}
	for {
		record, err := table.Read()
		switch {
		case errors.Is(err, io.EOF):
			if len(c.faults) > 0 {
				return nil, c.faults
			}
			return bytes.NewReader(c.book.Bytes()), nil
		case err != nil:
			var at *csv.ParseError
			if errors.As(err, &at) {
				return nil, append(c.faults, fault(at.Line, at.Err)...)
			}
			return nil, err
		}
		line, _ := table.FieldPos(0)
		if err := c.record(line, record); err != nil {
			c.faults = append(c.faults, fault(line, err)...)
		}
		if len(c.faults) >= notation.MaxErrors {
			return nil, c.faults
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

// record writes the line of a record.
func (c *reading) record(line int, record []string) error {
	if len(record) > len(c.names) {
		return fmt.Errorf("there are %d fields and %d columns; a comma in a field needs quotation marks around it", len(record), len(c.names))
	}
	f := map[string]string{}
	empty := true
	for i, v := range record {
		f[c.names[i]] = strings.TrimSpace(v)
		empty = empty && f[c.names[i]] == ""
	}
	if empty {
		return nil
	}
	if f["date"] != "" {
		if _, err := time.Parse(time.DateOnly, f["date"]); err != nil {
			return fmt.Errorf("%q is no date; write it as 2026-05-05", measure.Short(f["date"], 40, "..."))
		}
	}
	change := f["date"] != "" && f["date"] != c.date
	switch {
	case f["date"] == "" && c.date == "":
		return errors.New("the first entry needs a date")
	case f["time"] == "":
		return errors.New("the time is missing")
	}
	body, err := entryOf(f)
	if err != nil {
		return err
	}
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
	return nil
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
	body := inQuotes(f["section"]) + " " + sign + f["beats"]
	for _, n := range []string{"train", "line"} {
		if f[n] != "" {
			body += " " + n + " " + inQuotes(f[n])
		}
	}
	if f["remark"] != "" {
		body += " " + inQuotes(f["remark"])
	}
	return body, nil
}

// inQuotes writes a name or a text as the notation does.
func inQuotes(s string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(s) + `"`
}

// WithoutColumns takes the columns off the errors of a book that was made of a
// table.
func WithoutColumns(err error) error {
	var faults notation.Errors
	if errors.As(err, &faults) {
		for _, f := range faults {
			f.Column = 0
		}
	}
	return err
}
