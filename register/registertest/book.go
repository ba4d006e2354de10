// Package registertest makes registers for tests of the packages that read them.
package registertest

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"fairhand/register"
	"fairhand/register/calendar"
)

// Make makes a register in a directory, of a box file and a book in notation. An
// entry is taken to be written when the book says.
func Make(dir, box, book string) (*register.Book, error) {
	if err := os.WriteFile(filepath.Join(dir, register.BoxFileName), []byte(box), 0o600); err != nil {
		return nil, err
	}
	made := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC) // the hashes are always the same
	b, err := register.Create(dir, register.Options{Now: func() time.Time { return made }})
	if err != nil {
		return nil, err
	}
	if _, err := b.Import(context.Background(), strings.NewReader(book), register.ImportOptions{AsWritten: true}); err != nil {
		b.Close()
		return nil, err
	}
	return b, nil
}

// Book is Make in a directory of the test's own, closed with the test.
func Book(tb testing.TB, box, book string) *register.Book {
	tb.Helper()
	b, err := Make(tb.TempDir(), box, book)
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() { b.Close() })
	return b
}

// Day is one register day (yyyymmdd, 0 for the last) of such a book.
func Day(tb testing.TB, box, book string, day calendar.Day) *register.Day {
	tb.Helper()
	d, err := DayOf(Book(tb, box, book), day)
	if err != nil {
		tb.Fatal(err)
	}
	return d
}

// DayOf is a register day of a book, 0 for the last.
func DayOf(b *register.Book, day calendar.Day) (*register.Day, error) {
	if day == 0 {
		var err error
		if day, err = b.Store().LastDay(); err != nil {
			return nil, err
		}
	}
	return b.LoadDay(context.Background(), day)
}

// Demo is the box file and the whole book of the invented box of the
// demonstration; root is the path to the top of the module.
func Demo(tb testing.TB, root string) (box, book string) {
	tb.Helper()
	var text [2]string
	for i, name := range []string{"box.yaml", "book.txt"} {
		data, err := os.ReadFile(filepath.Join(root, "cmd/fairhand/demo", name))
		if err != nil {
			tb.Fatal(err)
		}
		text[i] = string(data)
	}
	return text[0], text[1]
}

// DemoDay is the whole day of that box, with its timetable.
func DemoDay(tb testing.TB, root string) *register.Day {
	tb.Helper()
	box, book := Demo(tb, root)
	d := Day(tb, box, book, 0)
	table, err := os.Open(filepath.Join(root, "cmd/fairhand/demo/weekday.csv"))
	if err != nil {
		tb.Fatal(err)
	}
	defer table.Close()
	if d.Timetable, err = register.ReadTimetable(table, d.Box); err != nil {
		tb.Fatal(err)
	}
	return d
}

// Log writes what a line says, as it is typed at the desk.
func Log(b *register.Book, line string) error {
	events, err := b.Parse(line)
	for i := 0; err == nil && i < len(events); i++ {
		_, err = b.Log(events[i])
	}
	return err
}
