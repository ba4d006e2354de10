package table

import (
	"io"
	"strings"
	"testing"
)

// FuzzBook: no table breaks the reader, and what it makes has a line for each of its own.
func FuzzBook(f *testing.F) {
	f.Add("date,time,entry\n2026-05-05,10:00,\"note \"\"a\"\"\"\n")
	f.Add("date;time;section;direction;beats;train\n2026-05-05;10:00;Saltgarth;sent;3-1;2A01\n")
	f.Add("\ufeffdate,time,entry,written\n,,,\n")
	f.Fuzz(func(t *testing.T, text string) {
		book, bad, err := Book(strings.NewReader(text))
		if err = WithFaults(bad, err); err != nil {
			return
		}
		made, err := io.ReadAll(book)
		if err != nil {
			t.Fatal(err)
		}
		if lines, most := strings.Count(string(made), "\n"), strings.Count(text, "\n")+1; lines > most {
			t.Errorf("%d lines of %d: %q", lines, most, made)
		}
	})
}
