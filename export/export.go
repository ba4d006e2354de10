package export

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"time"

	"fairhand/register"
)

// Format is one way to write a day.
type Format struct {
	Name  string // as given to --format
	Ext   string // file name ending, with its dot
	Help  string // one line
	Bytes bool   // not text: no use on a terminal
	write func(w io.Writer, d *register.Day) error
}

// formats are the ways to write a day.
var formats = []Format{
	{"text", ".txt", "the page and the list of entries with findings, to read or print, 80 columns", false, writeText},
	{"csv", ".csv", "one record for each entry, for programs (for a spreadsheet take xlsx)", false, writeCSV},
	{"json", ".json", "entries, trains, findings and handovers, for programs", false, writeJSON},
	{"html", ".html", "the page, findings, handovers, entries, figures and train graph, to look at in a browser", false, writeHTML},
	{"xlsx", ".xlsx", "trains, entries, findings, handovers and figures as a spreadsheet, codes and times as text", true, writeXLSX},
	{"pdf", ".pdf", "the pages of the book to print, with findings, handovers, entries, figures and train graph, A4", true, writePDF},
	{"notation", ".book", "the entries as a plain book, which fairhand import and check read", false, writeNotation},
}

// Formats lists the formats in the order of the help.
func Formats() []Format { return append([]Format(nil), formats...) }

// Names are the names of the formats, for help and completion.
func Names() []string {
	out := make([]string, len(formats))
	for i, f := range formats {
		out[i] = f.Name
	}
	return out
}

// Write writes a day in a format. The error names the formats when it is none
// of them; after another error w may hold a part of the export.
func Write(w io.Writer, format string, day *register.Day) error {
	for _, f := range formats {
		if f.Name != format {
			continue
		}
		var buf bytes.Buffer // a fault in the making leaves nothing half written
		if err := guarded(f.write, &buf, day); err != nil {
			return fmt.Errorf("writing %s as %s: %w", register.DateText(day.Date), format, err)
		}
		if _, err := w.Write(buf.Bytes()); err != nil {
			return fmt.Errorf("writing %s as %s: %w", register.DateText(day.Date), format, err)
		}
		return nil
	}
	return fmt.Errorf("there is no export format %q; known are %s", format, strings.Join(Names(), ", "))
}

// guarded turns a panic of a library into an error: whatever a remark holds, the
// desk goes on.
func guarded(write func(io.Writer, *register.Day) error, w io.Writer, day *register.Day) (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("a fault within the program: %v; the register is not touched, try another format and report this", r)
		}
	}()
	return write(w, day)
}

// FileName is the name proposed for the export of a day: ennerholme-2026-05-05.txt.
func FileName(format string, day *register.Day) string {
	ext := ".txt"
	for _, f := range formats {
		if f.Name == format {
			ext = f.Ext
		}
	}
	box := strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			return r
		case r >= 'A' && r <= 'Z':
			return r + 'a' - 'A'
		}
		return '-'
	}, day.Box.Name)
	return strings.Trim(box, "-") + "-" + register.DateText(day.Date) + ext
}

// midnightUTC is a register day as a date for the heads of files: never the
// clock, so that the same day gives the same bytes.
func midnightUTC(day int32) time.Time {
	return time.Date(int(day/10000), time.Month(day/100%100), int(day%100), 0, 0, 0, 0, time.UTC)
}

// sealPart is a part of a seal for people to read and copy.
type sealPart struct{ name, text string }

func sealParts(s *register.DaySeal) []sealPart {
	return []sealPart{{"Statement", s.Statement}, {"Signature", s.Signature}, {"Public key", s.PublicKey}}
}
