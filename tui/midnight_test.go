package tui

import (
	"fmt"
	"testing"
	"time"
)

// What was found before midnight waits after it, also on a desk opened then.
func TestFindingsOutliveMidnight(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log("09:40 fog on")
	n := len(r.desk.model.unexplained())
	r.now = r.now.Add(15 * time.Hour)
	r.desk.refresh()
	r.app.ForceDraw()
	r.want("NOTHING YET TODAY").log("fog off")
	for range 2 {
		if got := len(r.desk.model.unexplained()); n == 0 || got != n {
			t.Errorf("%d findings wait after midnight, %d before", got, n)
		}
		r.open(r.book, 80, 24, Options{})
	}
	r.press("f", "x", "forgotten", "Enter")
	if got := len(r.desk.model.unexplained()); got != 0 {
		t.Errorf("%d findings wait after the remark", got)
	}
}

// Earlier days are read from the register.
func TestOtherDays(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log("10:00 fog on")
	r.now = r.now.AddDate(0, 0, 1)
	r.log("10:00 fog off").press("r", "Left").want("10:00 fog on").want("REGISTER OF")
	r.press("Left").want("no earlier day").press("p").want("fog on").press("r", "Right").want("10:00 fog off")
	r.press("g", "2026-05-05", "Enter").want("10:00 fog on").press("g", "1999", "Enter").want("10:00 fog on").want("nearest day")
}

// An entry timed before midnight and written after it leaves today's page as it is:
// yesterday's is one key away, and what was found is listed once.
func TestEntryOfBeforeMidnight(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(`10:00 duty on "A. Fell"`, "10:00 clock right")
	r.now = time.Date(2026, 5, 6, 0, 5, 0, 0, r.now.Location())
	r.log("00:05 fog on").press("t", "23:58", "Enter", "e", "Larkrig <1", "Enter", "Enter").wrote(2)
	if day := r.book.Recent()[1].Day; day != 20260505 {
		t.Fatalf("the entry is of %s, want 2026-05-05: %s", day, r.last())
	}
	n := len(r.desk.model.unexplained())
	for range 2 {
		if got := len(r.desk.model.unexplained()); n == 0 || got != n {
			t.Errorf("%d findings wait, %d at first", got, n)
		}
		r.want("REGISTER OF 2026-05-05").want("TODAY, 2026-05-06").press("r").want("REGISTER, TODAY").want("fog on")
		r.press("Left").want("REGISTER OF 2026-05-05").want("clock right").press("Right").want("fog on").press("Esc")
		r.open(r.book, 80, 24, Options{})
	}
}

// What became due over midnight about an entry of yesterday is listed once, with
// that entry, on a desk opened afterwards.
func TestFindingOfYesterdayIsListedOnce(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(`10:00 duty on "A. Fell"`, "10:00 clock right", "10:00 Saltgarth <2 >2")
	r.now = time.Date(2026, 5, 6, 0, 5, 0, 0, r.now.Location())
	r.log(`note "new day"`)
	r.open(r.book, 80, 24, Options{})
	met := map[string]bool{}
	for _, f := range r.desk.model.unexplained() {
		id := fmt.Sprint(f.Rule, f.Severity, f.Seq, f.At, f.Text)
		if met[id] {
			t.Errorf("listed twice: %s, entry %d", f.Text, f.entry)
		}
		met[id] = true
	}
	if len(met) < 2 {
		t.Errorf("%d findings wait, too few to show anything", len(met))
	}
}
