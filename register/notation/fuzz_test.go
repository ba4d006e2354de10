package notation

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"fairhand/block"
)

// FuzzParse holds the law of the notation: a book that parses is written as a
// book that parses to the same entries, and that is written the same again.
func FuzzParse(f *testing.F) {
	for _, g := range Groups {
		for _, form := range g.Forms {
			f.Add("date 2026-10-25\n01:30 " + form.Example + "\n")
			f.Add("date 2026-10-25\n01:30+00:00 " + form.Example + " written 2026-10-26 00:10\n")
		}
	}
	f.Add("date 2026-05-05\n06:00 fog on # mist\r\n:12 note \"a \\\"b\\\" \\n \\\\\" ; 06:30:15 fog off\n\n")
	f.Add("\uFEFFdate 2026-03-29\n01:30 fog on\n")
	f.Add("date 2026-05-05\n23:50 fog on\n00:10 fog off written 00:11\n")
	loc := london(f)
	f.Fuzz(func(t *testing.T, book string) {
		first, err := ParseAll(strings.NewReader(book), loc)
		if err != nil {
			if first != nil {
				t.Fatalf("events beside the error %v", err)
			}
			return
		}
		text := writeBook(first, NewWriter(loc))
		second, err := ParseAll(strings.NewReader(text), loc)
		if err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		if d := cmp.Diff(first, second, cmpopts.IgnoreFields(block.Event{}, "Seq"), cmpopts.EquateEmpty()); d != "" {
			t.Fatalf("%s\n%s", text, d)
		}
		if again := writeBook(second, NewWriter(loc)); again != text {
			t.Fatalf("written again:\n%s\nfirst:\n%s", again, text)
		}
		for _, ev := range first {
			if err := Check(ev); err != nil {
				t.Fatal(err)
			}
		}
	})
}

func writeBook(evs []block.Event, w *Writer) string {
	var b []byte
	for _, ev := range evs {
		b = w.Append(b, ev)
	}
	return string(b)
}

// FuzzComplete holds that completing never fails, and that each suggestion
// continues the line it was asked for.
func FuzzComplete(f *testing.F) {
	for _, g := range Groups {
		for _, form := range g.Forms {
			f.Add(form.Example)
			f.Add("10:41 " + form.Example[:len(form.Example)/2])
		}
	}
	names := Names{Sections: []string{"Coldbeck", "train"}, Trains: []string{"2P07"}, People: []string{"A. Fell"}}
	f.Fuzz(func(t *testing.T, line string) {
		for _, s := range Complete(line, names) {
			if !strings.HasSuffix(s.Line, s.Text) {
				t.Fatalf("%q: %+v", line, s)
			}
			if s.Text != "" && !strings.HasPrefix(line, strings.TrimSuffix(s.Line, s.Text)) {
				t.Fatalf("%q: %+v", line, s)
			}
		}
	})
}
