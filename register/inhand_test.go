package register

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// inHandBox is a box between two absolute-block sections with a timetable.
const inHandBox = `railway: Thrackley Vale Railway
box: Ennerholme
timezone: Europe/London
rules: british-later
sections:
  - neighbour: Coldbeck
    method: absolute
    lines: [{name: Down Main, way: out}, {name: Up Main, way: in}]
    towards: down
    running-minutes: {passenger: 6, freight: 10}
  - neighbour: Saltgarth
    method: absolute
    lines: [{name: Up Main, way: out}, {name: Down Main, way: in}]
    towards: up
    running-minutes: {passenger: 4, freight: 7}
places: [{name: Platform 1, holds: 1}, {name: Platform 2, holds: 1}]
people: [{name: A. Fell, role: signaller}]
timetable: weekday.csv
`

const inHandTable = `train,beats,from,to,arrive,depart,place
2A01,3-1,Saltgarth,Coldbeck,10:30,10:32,Platform 2
2A03,3-1,Saltgarth,Coldbeck,11:30,11:32,Platform 2
2R05,3-1,,Saltgarth,,11:00,Platform 1
`

// inHandBook is a book in which so many trains ran from Saltgarth, each three
// minutes from line clear to entering and as many minutes in section as told.
func inHandBook(t *testing.T, minutes ...int) (*Book, *time.Time) {
	t.Helper()
	dir := t.TempDir()
	for name, text := range map[string]string{BoxFileName: inHandBox, "weekday.csv": inHandTable} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	loc, err := time.LoadLocation("Europe/London")
	if err != nil {
		t.Fatal(err)
	}
	now := time.Date(2026, 5, 5, 0, 0, 0, 0, loc)
	b, err := Create(dir, Options{Now: func() time.Time { return now }})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { b.Close() })
	for i, m := range minutes {
		at := time.Date(2026, 5, 5, 1, 0, 0, 0, loc).Add(time.Duration(i) * 12 * time.Minute)
		for _, step := range []struct {
			after int
			line  string
		}{{0, "Saltgarth <1 >1 <3-1 >3-1 train T%d"}, {3, "Saltgarth <2 >2 train T%d"}, {3 + m, "train T%d arrived at \"Platform 1\" complete"},
			{3 + m, "Saltgarth >1 <1 >2-1 <2-1 train T%d"}, {3 + m, "train T%d away"}} {
			now = at.Add(time.Duration(step.after) * time.Minute)
			line := fmt.Sprintf(step.line, i)
			if strings.HasSuffix(line, "away") {
				line = fmt.Sprintf("train T%d put away", i)
			}
			if err := logLine(b, line); err != nil {
				t.Fatal(err)
			}
		}
	}
	now = time.Date(2026, 5, 5, 10, 0, 0, 0, loc)
	return b, &now
}

func outlookAt(t *testing.T, b *Book) Outlook {
	t.Helper()
	table, err := b.Timetable()
	if err != nil {
		t.Fatal(err)
	}
	runs, err := b.RunningTimes(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return b.Outlook(table, runs, b.Now())
}

// With fewer than five trains seen the box file's time stands, and it says so;
// with five the median, worked out by hand: of 2, 9, 3, 5, 4 it is 4.
func TestRunningTimes(t *testing.T) {
	for _, c := range []struct {
		minutes []int
		want    block.Time
		seen    int
		words   string
	}{
		{nil, 4, 0, "too few seen (0)"},
		{[]int{8, 8, 8, 8}, 4, 4, "running time 4 min by the box file: too few seen (4)"},
		{[]int{2, 9, 3, 5, 4}, 4, 5, "running time 4 min, median of the last 5"},
		{[]int{2, 9, 3, 5, 4, 7}, 4, 6, "median of the last 6"}, // 4 and 5: half between, in seconds
	} {
		b, _ := inHandBook(t, c.minutes...)
		runs, err := b.RunningTimes(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		got := runs.Through(1, block.Inward, rulebook.Passenger)
		if got.Time/block.Minute != c.want || got.Seen != c.seen || !strings.Contains(got.words("running time"), c.words) {
			t.Errorf("%v: %+v, %q", c.minutes, got, got.words("running time"))
		}
	}
}

// Only the last thirty count: after thirty trains of 6 minutes, older ones of 2
// are forgotten.
func TestRunningTimesForget(t *testing.T) {
	minutes := make([]int, 40)
	for i := range minutes {
		minutes[i] = 6
		if i < 10 {
			minutes[i] = 2
		}
	}
	b, _ := inHandBook(t, minutes...)
	runs, err := b.RunningTimes(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if got := runs.Through(1, block.Inward, rulebook.Passenger); got.Seen != 30 || got.Time != 6*block.Minute {
		t.Errorf("%+v", got)
	}
}

// At ten o'clock 2A01 is booked at 10:30: four minutes in section and three from
// offer to entering before, so it is offered at 10:23 and the Down Main from
// Saltgarth has 23 minutes in hand. It departs for Coldbeck at 10:32 and is
// offered there three minutes before: 29 minutes. 2R05 starts here at 11:00: 57.
func TestInHand(t *testing.T) {
	b, now := inHandBook(t)
	want := map[string]block.Time{"Coldbeck Down Main": 29, "Coldbeck Up Main": 0, "Saltgarth Up Main": 57, "Saltgarth Down Main": 23}
	hand := func() map[string]InHand {
		o := outlookAt(t, b)
		got := map[string]InHand{}
		for _, l := range b.Box().Lines() {
			got[b.Box().Sections[l.Section].Neighbour+" "+l.Line.Name] = o.Hand[l.Index]
		}
		return got
	}
	for name, h := range hand() {
		if h.Hand() != want[name]*block.Minute {
			t.Errorf("%s: %d minutes in hand, want %d (%+v)", name, h.Hand()/block.Minute, want[name], h)
		}
	}
	if h := hand()["Coldbeck Up Main"]; h.Until != 0 || h.Train != "" {
		t.Errorf("no train is booked on it: %+v", h)
	}
	// A train in the section: the line is free when it should be out, at 10:14.
	for _, l := range []string{"10:07 Saltgarth <1 >1 <3-1 >3-1 train X1", "10:10 Saltgarth <2 >2"} {
		*now = time.Date(2026, 5, 5, 10, 10, 0, 0, now.Location())
		if err := logLine(b, l); err != nil {
			t.Fatal(err)
		}
	}
	if h := hand()["Saltgarth Down Main"]; h.Hand() != 9*block.Minute {
		t.Errorf("%d minutes in hand behind the train in section, want 9", h.Hand()/block.Minute)
	}
	// A blockage of the line leaves nothing.
	if err := logLine(b, `blockage "Up Main" towards Saltgarth "x"`); err != nil {
		t.Fatal(err)
	}
	if h := hand()["Saltgarth Up Main"]; h.Free != 0 || h.Hand() != 0 {
		t.Errorf("blocked, yet %+v", h)
	}
}

// Late running, as the book tells it.
func TestLateRunning(t *testing.T) {
	b, now := inHandBook(t)
	at := func(h, m int, lines ...string) *Prospect {
		*now = time.Date(2026, 5, 5, h, m, 0, 0, now.Location())
		for _, l := range lines {
			if err := logLine(b, l); err != nil {
				t.Fatal(err)
			}
		}
		o := outlookAt(t, b)
		for i := range o.Trains {
			if o.Trains[i].Train == "2A01" {
				return &o.Trains[i]
			}
		}
		return nil
	}
	for _, c := range []struct {
		h, m  int
		lines []string
		want  string
	}{
		{10, 20, nil, ""},
		{10, 28, nil, "not heard of, 5 late"}, // it was to be offered at 10:23
		{10, 30, []string{"Saltgarth <1 >1 <3-1 >3-1 train 2A01"}, "4 late"},
		{10, 33, []string{"Saltgarth <2 >2"}, "7 late"}, // entered at 10:33, four minutes
		{10, 38, []string{`train 2A01 arrived at "Platform 2" complete`}, "8 late"},
		{10, 45, nil, "13 late"}, // booked away at 10:32
	} {
		p := at(c.h, c.m, c.lines...)
		if p == nil || p.LateWords() != c.want {
			t.Errorf("%02d:%02d: %+v, want %q", c.h, c.m, p, c.want)
		}
	}
	if p := at(10, 46, "Saltgarth >1 <1 >2-1 <2-1", "Coldbeck >1 <1 >3-1 <3-1 train 2A01", "train 2A01 departed for Coldbeck", "Coldbeck >2 <2"); p != nil {
		t.Errorf("it has gone and is still expected: %+v", p)
	}
	if p := at(10, 53, "Coldbeck <1 >1 <2-1 >2-1"); p != nil {
		t.Errorf("it is out of the section and is still expected: %+v", p)
	}
}
