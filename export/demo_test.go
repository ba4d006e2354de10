package export

import (
	"os"
	"testing"

	"fairhand/register"
	"fairhand/register/registertest"
)

const demo = "../cmd/fairhand/demo/"

// demoDay is the whole day of the invented box Ennerholme, with its timetable.
func demoDay(t testing.TB) *register.Day {
	t.Helper()
	box, book := registertest.Demo(t, "..")
	d := registertest.Day(t, box, book, 0)
	table, err := os.Open(demo + "weekday.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer table.Close()
	if d.Timetable, err = register.ReadTimetable(table, d.Box); err != nil {
		t.Fatal(err)
	}
	return d
}
