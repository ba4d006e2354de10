package register_test

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"fairhand/register"
	"fairhand/register/audit"
	"fairhand/register/registertest"
)

// clockWorld is a box whose computer's clock goes wrong; true time goes on evenly.
type clockWorld struct {
	*testing.T
	dir   string
	at    time.Time     // true time
	wrong time.Duration // by which the computer's clock reads more
	book  *register.Book
}

func (w *clockWorld) now() time.Time { return w.at.Add(w.wrong) }

// open opens the book anew, as after the computer was started.
func (w *clockWorld) open() {
	if w.book != nil {
		w.book.Close()
	}
	b, err := register.Open(w.dir, register.Options{Now: w.now})
	if err != nil {
		w.Fatal(err)
	}
	w.book = b
}

// write writes lines, a minute after each other, and must not be asked anything.
func (w *clockWorld) write(lines ...string) {
	w.Helper()
	for _, line := range lines {
		if err := registertest.Log(w.book, line); err != nil {
			w.Fatalf("%s: %v", line, err)
		}
		w.at = w.at.Add(time.Minute)
	}
}

// asked must be asked about the clock, with both dates in full, and books that it
// is right.
func (w *clockWorld) asked(dates ...string) {
	w.Helper()
	err := registertest.Log(w.book, `note "x"`)
	if !errors.Is(err, register.ErrClock) {
		w.Fatalf("%s: %v", w.now(), err)
	}
	for _, date := range dates {
		if !strings.Contains(err.Error(), date) {
			w.Errorf("%v does not say %s", err, date)
		}
	}
	w.write("clock right")
}

// day is a day's work, begun at nine by the box's clock, with the clock faults of
// that day in between.
func (w *clockWorld) day(date time.Time, faults ...func()) {
	w.at = time.Date(date.Year(), date.Month(), date.Day(), 8, 58, 0, 0, w.book.Location())
	w.open()
	w.write(`duty on "A. Fell"`, "box open", "clock right", "Saltgarth <1 >1 <3-1 >3-1 train 2P08", "Saltgarth <2 >2", "train 2P08 arrived complete", "Saltgarth >1 <1 >2-1 <2-1")
	for _, f := range faults {
		f()
	}
	w.write("train 2P08 put away", "box closed", `duty off "A. Fell"`)
}

// set sets the computer's clock, by this much from true time.
func (w *clockWorld) set(wrong time.Duration) func() {
	return func() { w.wrong = wrong; w.open() }
}

// faults are what goes wrong with the clock on some days of the year, by the day's
// number; found counts what the audit must find of it.
func (w *clockWorld) faults(found *int) map[int][]func() {
	return map[int][]func(){
		5: {w.set(365 * 24 * time.Hour), func() { // booked as right by habit, and what was written then is set right
			w.asked("Wednesday 6 October 2027 09:05", "Tuesday 6 October 2026 09:04")
			wrong := w.book.Store().Tail().Seq + 1
			w.write(`note "under the wrong clock"`)
			w.set(0)()
			w.asked("Tuesday 6 October 2026 09:0", "Wednesday 6 October 2027 09:0")
			*found++
			w.write(fmt.Sprintf(`correct %d "2026-10-06 09:07 note \"under the wrong clock\""`, wrong))
		}},
		10: {func() { w.wrong = time.Date(1970, 1, 1, 0, 3, 0, 0, time.UTC).Sub(w.at); w.open() }, func() {
			w.asked("Thursday 1 January 1970 01:03", "Sunday 11 October 2026 09:04")
			w.write(`note "by a clock without battery"`, "Saltgarth <1 >1 <3-1 >3-1 train 2P09", "Saltgarth <2 >2", "train 2P09 arrived complete", "Saltgarth >1 <1 >2-1 <2-1", "train 2P09 put away")
			w.set(0)()
			w.asked("Sunday 11 October 2026 09:1", "Thursday 1 January 1970 01:0")
			*found += 2
		}},
		15: {w.set(-time.Hour), func() { w.asked("Friday 16 October 2026 08:05"); *found++ }, func() { w.write(`note "an hour slow"`) }, w.set(0)},
		20: {w.set(-2 * time.Minute), func() { w.write(`note "two minutes slow"`) }, w.set(time.Minute)},
	}
}

// nights are those in which the clocks change, and the minutes of true time at which
// something is written in each.
var nights = map[time.Time][]int{
	time.Date(2026, 10, 25, 0, 0, 0, 0, time.UTC): {0, 50, 70, 110, 130},
	time.Date(2027, 3, 28, 0, 0, 0, 0, time.UTC):  {50, 61, 70},
}

func (w *clockWorld) night(date time.Time, minutes ...int) {
	for _, m := range minutes {
		w.at = date.Add(time.Duration(m) * time.Minute)
		w.write(`note "night"`)
	}
}

// TestYearOfClocks: a year of work, with a clock that goes a year ahead, falls to 1970
// with a flat battery, goes back an hour and is set by small steps, and with both
// nights on which the clocks change: each is asked about and booked, and at the end
// the audit finds these and nothing else. By default some weeks of it.
func TestYearOfClocks(t *testing.T) {
	days := 45
	if n, err := strconv.Atoi(os.Getenv("FAIRHAND_DAYS")); err == nil {
		days = n
	}
	w := &clockWorld{T: t, dir: t.TempDir(), at: time.Date(2026, 10, 1, 6, 0, 0, 0, time.UTC)}
	box := strings.Replace(describedBox, "rules:", "clock-check: \"09:00\"\nrules:", 1)
	if err := os.WriteFile(filepath.Join(w.dir, register.BoxFileName), []byte(box), 0o600); err != nil {
		t.Fatal(err)
	}
	b, err := register.Create(w.dir, register.Options{Now: w.now})
	if err != nil {
		t.Fatal(err)
	}
	w.book = b
	defer func() { w.book.Close() }()
	found := 0
	faults := w.faults(&found)
	for d := range days {
		date := time.Date(2026, 10, 1+d, 0, 0, 0, 0, time.UTC)
		w.wrong = 0
		w.day(date, faults[d]...)
		for n, change := range nights {
			if date.Equal(n.AddDate(0, 0, -1)) {
				w.night(n, change...)
			}
		}
	}
	w.open()
	report, err := audit.Run(t.Context(), audit.Register(w.book), audit.Options{Details: 20})
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]int64{}
	for _, r := range report.Rules {
		got[r.Rule] = r.Count
		for _, f := range r.Details {
			if r.Rule != "clock-jumped" {
				t.Errorf("entry %d, %s: %s", f.Entry, r.Rule, f.Expected)
			}
		}
	}
	if diff := cmp.Diff(map[string]int64{"clock-jumped": int64(found)}, got); diff != "" {
		t.Error(diff)
	}
	if v, err := register.Verify(t.Context(), filepath.Join(w.dir, register.RegisterName), w.book.File(), nil, nil); err != nil || len(v.Forged) > 0 || v.Findings != found {
		t.Errorf("%+v %v", v, err)
	}
	if first := w.book.Recent()[0]; int(first.Day) != 20261000+days && days <= 31 || len(w.book.Recent()) > 20 {
		t.Errorf("the present day is %s with %d entries", first.Day, len(w.book.Recent()))
	}
}
