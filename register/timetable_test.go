package register

import (
	"os"
	"strings"
	"testing"
	"time"

	"fairhand/register/boxfile"
	"fairhand/register/calendar"
)

func demoBox(t *testing.T) *boxfile.File {
	t.Helper()
	file, err := boxfile.Load("../cmd/fairhand/demo/box.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return file
}

func TestReadTimetable(t *testing.T) {
	file := demoBox(t)
	f, err := os.Open("../cmd/fairhand/demo/" + file.Timetable)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	list, err := ReadTimetable(f, file.Box)
	if err != nil {
		t.Fatal(err)
	}
	want := Booked{"2R15", "3-1-2", "Saltgarth", "", 10*3600 + 22*60, NotBooked, "Platform 1"}
	if len(list) != 45 || list[12] != want {
		t.Errorf("%d trains, the thirteenth %+v", len(list), list[12])
	}
}

// Each fault is named with its line, all of a file together.
func TestTimetableFaults(t *testing.T) {
	box := demoBox(t).Box
	for _, c := range []struct{ lines, want string }{
		{"2A01,3-1,Saltgarth,Coldbeck,06:19,06:22,Platform 9", `line 2: Ennerholme has no place "Platform 9"`},
		{"2A01,3-1,Elsewhere,Coldbeck,06:19,06:22,", `line 2: Ennerholme has no section to "Elsewhere"`},
		{"2A01,3--1,Saltgarth,Coldbeck,06:19,06:22,", `line 2: bell code "3--1"`},
		{"2A01,3-1,,,06:19,06:22,", "line 2: neither from nor to"},
		{"2A01,3-1,Saltgarth,Coldbeck,6:19,06:22,", `line 2: arrive: "6:19" is no time`},
		{"2A01,3-1,Saltgarth,Coldbeck,06:19,06:60,", `line 2: depart: "06:60" is no time`},
		{"2A01,3-1,Saltgarth,Coldbeck,,06:22,", "line 2: it comes from Saltgarth: when does it arrive?"},
		{"2A01,3-1,Saltgarth,Coldbeck,06:19,,", "line 2: it goes to Coldbeck: when does it depart?"},
		{"2A01,3-1,Saltgarth,Coldbeck,23:58,00:02,", "line 2: it departs before it arrives"},
		{"2A01,3-1,Saltgarth,Coldbeck,06:19,06:22", "line 2: 6 fields, 7 are needed"},
		{",3-1,Saltgarth,Coldbeck,06:19,06:22,", "line 2: the train has no name"},
		{"2A01,,Saltgarth,,06:19,,\n2A01,,Saltgarth,,06:29,,", "line 3: train 2A01 is on line 2 already"},
		{"2A01,3-1,Elsewhere,,06:19,,\n2A02,3-1,Elsewhere,,06:19,,", "line 3: Ennerholme has no section"},
		{`"2A01,3-1`, "line 2"},
	} {
		_, err := ReadTimetable(strings.NewReader("train,beats,from,to,arrive,depart,place\n"+c.lines+"\n"), box)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: %v, want %s", c.lines, err, c.want)
		}
	}
	if _, err := ReadTimetable(strings.NewReader("train,code\n"), box); err == nil || !strings.Contains(err.Error(), "line 1: a timetable begins with") {
		t.Errorf("another head: %v", err)
	}
}

// Times after midnight go on, and the day of a clock change has them as shown:
// British Summer Time 2026 began on 29 March at 01:00 (Summer Time Order 2002:
// last Sunday of March).
func TestBookedAt(t *testing.T) {
	london, err := time.LoadLocation("Europe/London")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		day  calendar.Day
		at   string
		want string
	}{
		{20260505, "06:19", "2026-05-05T06:19:00+01:00"},
		{20260505, "24:10:30", "2026-05-06T00:10:30+01:00"},
		{20260329, "00:30", "2026-03-29T00:30:00Z"},
		{20260329, "12:00", "2026-03-29T12:00:00+01:00"},
	} {
		seconds, ok := bookedTime(c.at)
		d := &Day{Date: c.day, Zone: london}
		if got := time.Unix(int64(d.BookedAt(seconds)), 0).In(london).Format(time.RFC3339); !ok || got != c.want {
			t.Errorf("%d %s is %s, want %s", c.day, c.at, got, c.want)
		}
	}
	if (&Day{Zone: london}).BookedAt(NotBooked) != 0 {
		t.Error("a time that is not booked is a moment")
	}
}
