package export

import (
	"bytes"
	"os"
	"testing"

	"fairhand/register"
	"fairhand/register/boxfile"
)

const demo = "../cmd/fairhand/demo/"

// demoDay is the whole day of the invented box Ennerholme, with its timetable.
func demoDay(t testing.TB) *register.Day {
	t.Helper()
	file, err := boxfile.Load(demo + "box.yaml")
	if err != nil {
		t.Fatal(err)
	}
	book, err := os.ReadFile(demo + "book.txt")
	if err != nil {
		t.Fatal(err)
	}
	d, err := register.DayFromBook(file.Box, file.Location, bytes.NewReader(book), 0)
	if err != nil {
		t.Fatal(err)
	}
	table, err := os.Open(demo + file.Timetable)
	if err != nil {
		t.Fatal(err)
	}
	defer table.Close()
	if d.Timetable, err = register.ReadTimetable(table, file.Box); err != nil {
		t.Fatal(err)
	}
	return d
}
