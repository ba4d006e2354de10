package audit

import (
	"context"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"fairhand/register"
	"fairhand/register/boxfile"
	"fairhand/register/calendar"
	"fairhand/register/registertest"
)

// The figures of a day that was read for its page are those of the audit of that
// day, lateness and occupation among them; an entry of another day written
// between does not count and still moves the trains.
func TestFiguresOfADay(t *testing.T) {
	const demo = "../../cmd/fairhand/demo/"
	file := must(boxfile.Load(demo + "box.yaml"))(t)
	box, book := registertest.Demo(t, "../..")
	table := must(os.Open(demo + file.Timetable))(t)
	defer table.Close()
	list := must(register.ReadTimetable(table, file.Box))(t)
	book += "date 2026-05-06\n06:00 duty on \"A. Fell\"\n06:10 Saltgarth <1 >1 <3-1 >3-1 train 2A01\n06:13 Saltgarth <2 >2\n" +
		"date 2026-05-05\n21:59 note \"written the day after\"\ndate 2026-05-06\n06:17 train 2A01 arrived complete\n06:18 Saltgarth >1 <1 >2-1 <2-1\n"
	for _, day := range []calendar.Day{20260505, 20260506} {
		d := registertest.Day(t, box, book, day)
		d.Timetable = list
		r := must(Run(context.Background(), Notation(file, strings.NewReader(book)), Options{From: day, To: day, Timetable: Booked(list, file.Location)}))(t)
		f, o := OfDay(d)
		if len(f.Flows) == 0 || len(f.Lateness) == 0 || o.Lines[0].Trains+o.Lines[1].Trains+o.Lines[2].Trains == 0 {
			t.Fatalf("%d: nothing to compare: %+v", day, f)
		}
		if diff := cmp.Diff(r.Figures, f); diff != "" {
			t.Errorf("%d, figures (-audit +day):\n%s", day, diff)
		}
		if diff := cmp.Diff(r.Occupation, o); diff != "" {
			t.Errorf("%d, occupation (-audit +day):\n%s", day, diff)
		}
	}
}
