package export

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fairhand/register"
	"fairhand/register/calendar"
	"fairhand/register/registertest"
	"fairhand/register/store"
)

// filedDay is the demonstration's book, its last day exported, and the evidence
// that the book is.
func filedDay(t *testing.T) (*register.Book, string, Evidence) {
	t.Helper()
	box, text := registertest.Demo(t, "..")
	book := registertest.Book(t, box, text)
	day, err := registertest.DayOf(book, 0)
	if err != nil {
		t.Fatal(err)
	}
	return book, written(t, "json", day), Evidence{
		Register: book.Store(), Dir: t.TempDir(),
		Prove: func(last int64, look func(*store.Row)) error {
			for rows, err := range book.Store().EachProved(1, last) {
				if err != nil {
					return err
				}
				for i := range rows {
					look(&rows[i])
				}
			}
			return nil
		},
		Day: func(day calendar.Day, last int64) (*register.Day, error) {
			return book.LoadDayUpTo(context.Background(), day, last)
		},
	}
}

// compareFiled compares the text of an export.
func compareFiled(t *testing.T, text string, with Evidence) (string, error) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "day.json")
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	f, err := ReadFiled(path)
	if err != nil {
		return "", err
	}
	return f.Compare(with)
}

// Each field of an export that was altered is named.
func TestFiledExportAltered(t *testing.T) {
	_, text, with := filedDay(t)
	if told, err := compareFiled(t, text, with); err != nil || !strings.Contains(told, "all else are what the register gave") || !strings.Contains(told, "it carries no seal") {
		t.Fatalf("an export as it was made: %q, %v", told, err)
	}
	for _, c := range []struct{ old, new, want string }{
		{`"line": "`, `"line": "0`, "entry 1, line: "},
		{`"at": "2026-05-05T06:00:00+01:00"`, `"at": "2026-05-05T06:01:00+01:00"`, `entry 1, time: "2026-05-05T05:01:00Z" in the export, "2026-05-05T05:00:00Z" in the register`},
		{`"at": "2026-05-05T06:00:00+01:00"`, `"at": "at six"`, `entry 1, time: "at six" in the export`},
		{`"recorded": "2026`, `"recorded": "2027`, "entry 1, time of writing: "},
		{`"previous_hash": "`, `"previous_hash": "f`, "entry 1, hash before it: "},
		{`"entry": 2,`, `"entry": 1,`, "entry 1 stands in it twice\n  entry 1, line: "},
		{`"entry": 2,`, `"entry": 9999,`, "entry 9999 is not in the register so far"},
		{`"last_entry_of_day": {` + "\n" + `    "entry": `, `"last_entry_of_day": {` + "\n" + `    "entry": 1`, "it was read up to entry 1"},
		{`"trains": [`, `"trains": [{},`, "what this program makes of them is another: trains"},
		{`"caution": `, `"trains": [], "caution": `, "a key stands in it twice"},
		{`"caution": `, `"cautions": "", "caution": `, "what this program makes of them is another: cautions"},
		{`"railway": "Thrackley`, `"railway": "Thrackly`, "and " + with.Register.Path() + " is the register of Ennerholme, Thrackley"},
		{`"schema": "fairhand-day-1"`, `"schema": "fairhand-day-0"`, "no export in JSON of the form fairhand-day-1"},
	} {
		if strings.Count(text, c.old) == 0 {
			t.Fatalf("the export has no %s", c.old)
		}
		told, err := compareFiled(t, strings.Replace(text, c.old, c.new, 1), with)
		if err == nil || told != "" || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s for %s: %v, want %s", c.new, c.old, err, c.want)
		}
	}
}

// A register that has gone on may have other findings for the same day: an export from
// before is compared with what it gave then, and one edited since is told. Many faults
// are not all listed.
func TestFiledExportOfBefore(t *testing.T) {
	book, _, with := filedDay(t)
	box, all := registertest.Demo(t, "..")
	lines := strings.Split(strings.TrimSpace(all), "\n")
	text := written(t, "json", registertest.Day(t, box, strings.Join(lines[:len(lines)-4], "\n"), 0))
	if told, err := compareFiled(t, text, with); err != nil || !strings.Contains(told, "every entry up to 504 proved") {
		t.Errorf("an export from before: %q, %v", told, err)
	}
	if _, err := compareFiled(t, strings.Replace(text, `"trains": [`, `"trains": [{},`, 1), with); err == nil || !strings.Contains(err.Error(), "is another: trains") {
		t.Errorf("an export from before, edited: %v", err)
	}
	if _, err := compareFiled(t, strings.ReplaceAll(text, `"hash": "`, `"hash": "0`), with); err == nil || strings.Count(err.Error(), "\n") != 21 || !strings.HasSuffix(err.Error(), " more") {
		t.Errorf("every hash altered: %v", err)
	}
	day, err := registertest.DayOf(book, 0)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := compareFiled(t, written(t, "notation", day), with); !errors.Is(err, ErrSchema) {
		t.Errorf("a book in notation: %v", err)
	}
}
