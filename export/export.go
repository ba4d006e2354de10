package export

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"strings"

	"fairhand/register"
	"fairhand/register/each"
	"fairhand/register/sheet"
)

// Format is one way to write a day, and other printed matter if it draws any.
type Format struct {
	Name   string // as given to --format
	Ext    string // file name ending, with its dot
	Help   string // one line
	Bytes  bool   // not text: no use on a terminal
	write  func(w io.Writer, d *register.Day) error
	draw   func(w io.Writer, doc *sheet.Document) error
	parts  string // of a day, for a format that draws
	begins string // by which a file of it is known

	bare bool // it has no place for alarms
}

// formats are the ways to write a day.
var formats = []Format{
	{Name: "text", Ext: ".txt", Help: "the page and the list of entries with findings, to read or print, 80 columns", draw: writeText,
		parts: "page plain-signs handover entries-whole"},
	{Name: "csv", begins: "record,entry,", Ext: ".csv", Help: "one record for each entry, guarded: what a spreadsheet would take for a formula, a number or a date has an apostrophe before it", write: guardedCSV.day, draw: guardedCSV.document, bare: true},
	{Name: "csv-plain", begins: "record,entry,", Ext: ".plain.csv", Help: "the same without the guard, every field as it is in the register, for programs alone", write: plainCSV.day, draw: plainCSV.document, bare: true},
	{Name: "json", Ext: ".json", Help: "entries, trains, findings and handovers, for programs", write: writeJSON},
	{Name: "html", begins: "<!DOCTYPE html>", Ext: ".html", Help: "the page, findings, handovers, entries, figures and train graph, to look at in a browser", draw: writeHTML,
		parts: "graph findings page signs handover entries figures seal"},
	{Name: "xlsx", begins: "PK", Ext: ".xlsx", Help: "trains, entries, findings, handovers and figures as a spreadsheet, codes and times as text", Bytes: true, draw: writeXLSX,
		parts: "page entries findings handover figures seal"},
	{Name: "pdf", begins: "%PDF-", Ext: ".pdf", Help: "the pages of the book to print, with findings, handovers, entries, figures and train graph, A4", Bytes: true, draw: writePDF,
		parts: "page findings signs handover entries figures seal graph"},
	{Name: "notation", begins: "# ", Ext: ".book", Help: "the entries as a plain book, which fairhand import and check read", write: writeNotation, bare: true},
}

// Formats lists the formats in the order of the help.
func Formats() []Format { return slices.Clone(formats) }

// Names are the names of the formats, for help and completion.
func Names() []string { return names(func(*Format) bool { return true }) }

// Drawn are the names of the formats that draw any printed matter.
func Drawn() []string { return names(func(f *Format) bool { return f.draw != nil }) }

func names(such func(*Format) bool) (out []string) {
	for i := range formats {
		if such(&formats[i]) {
			out = append(out, formats[i].Name)
		}
	}
	return out
}

// named is the format of a name; nil for one unknown.
func named(format string) *Format {
	return each.First(formats, func(f *Format) bool { return f.Name == format })
}

// Ending is the ending of the files of a format, with its dot; none for one unknown.
func Ending(format string) string {
	if f := named(format); f != nil {
		return f.Ext
	}
	return ""
}

// EndsAs is the name of the format that the files with the ending of a file's name are of, the
// longest of those that fit; "" where there is none.
func EndsAs(file string) (name string) {
	longest := 0
	for _, f := range formats {
		if strings.HasSuffix(strings.ToLower(file), f.Ext) && len(f.Ext) > longest {
			name, longest = f.Name, len(f.Ext)
		}
	}
	return name
}

// Write writes a day in a format. The error names the formats when it is none
// of them; after another error w may hold a part of the export.
func Write(w io.Writer, format string, day *register.Day) error {
	return inFormat(w, format, day.Date.String(), Names(), day.Alarms, func(f *Format, w io.Writer) error {
		if f.write == nil {
			return f.draw(w, dayDocument(day, f.parts))
		}
		return f.write(w, day)
	})
}

// AlarmError is the error of alarms that stand across what was printed, or for
// which there is no place in it.
type AlarmError struct{ Alarms []sheet.Alarm }

func (e *AlarmError) Error() string {
	return each.Joined(e.Alarms, "\n", sheet.Alarm.String)
}

// Draw writes any printed matter in a format that draws, one of Drawn. Errors are
// those of Write.
func Draw(w io.Writer, format string, doc *sheet.Document) error {
	return inFormat(w, format, doc.Head(), Drawn(), doc.Alarms, func(f *Format, w io.Writer) error { return f.draw(w, doc) })
}

// inFormat writes in one of the formats named. A fault in the making leaves
// nothing half written.
func inFormat(w io.Writer, format, what string, names []string, alarms []sheet.Alarm, write func(f *Format, w io.Writer) error) error {
	f := named(format)
	if !slices.Contains(names, format) {
		return fmt.Errorf("there is no export format %q; known are %s", format, strings.Join(names, ", "))
	}
	var buf bytes.Buffer
	err := guarded(func() error {
		if len(alarms) > 0 && f.bare {
			return fmt.Errorf("%w: a file of this form has no place to say so, and none was written", &AlarmError{alarms})
		}
		return write(f, &buf)
	})
	if err == nil {
		_, err = w.Write(buf.Bytes())
	}
	if err != nil {
		return fmt.Errorf("writing %s as %s: %w", what, format, err)
	}
	return nil
}

// guarded turns a panic of a library into an error: whatever a remark holds, the
// desk goes on.
func guarded(write func() error) (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("a fault within the program: %v; the register is not touched, try another format and report this", r)
		}
	}()
	return write()
}
