package tui

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"fairhand/register"
	"fairhand/register/registertest"
)

// years writes an entry a day for some days.
func (r *rig) years(days int) *rig {
	r.t.Helper()
	for i := range days {
		if err := registertest.Log(r.book, fmt.Sprintf("train 2A%02d moved to Yard", i)); err != nil {
			r.t.Fatal(err)
		}
		r.now = r.now.AddDate(0, 0, 1)
	}
	r.desk.refresh()
	return r
}

// All years are searched, newest first, and an entry found is shown in the
// register of its day, with what was found about it.
func TestSearchAllYears(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{}).years(40)
	r.press("r", "s", "moved 2a0", "Enter").want(`ALL YEARS, "moved 2a0": 10 FOUND`).want("2A09 moved to Yard")
	r.press("Down", "Down", "Enter").want("REGISTER OF").want("2A07 moved to Yard")
	if e := r.desk.model.picked(); e == nil || e.Event.Train != "2A07" {
		t.Errorf("the entry is not selected:\n%s", r.text())
	}
	r.press("Esc", "r", "s", "no such thing", "Enter").want("0 FOUND").want("No entry of any year has it").press("Esc").want("THIS ENTRY")
	r.press("s", "Ctrl-U", "Enter").want("What is looked for?")
}

// Up from the first entry of a day leads to the last of the day before, Down from
// the last to the first of the next: one scroll through all years.
func TestScrollThroughDays(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{}).years(5)
	r.press("r").want("2A04 moved").press("Up").want("2A03 moved").press("Up", "Up", "Up").want("2A00 moved").press("Up").want("no earlier day")
	r.press("Down").want("2A01 moved").press("Down", "Down", "Down").want("2A04 moved").press("Down").want("2A04 moved")
	r.press("g", "2026-05", "Enter").want("2A00 moved").want("nearest day")
	r.press("g", "2026-05-07", "Enter").want("2A02 moved")
}

func TestOnlyOneBox(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(busy...).at("10:11").press("r", "n").want("only Coldbeck")
	for _, e := range r.desk.model.entries() {
		if e.Event.Section != "Coldbeck" {
			t.Errorf("shown: %s", e.Line)
		}
	}
	r.press("n").want("only Saltgarth").press("n")
	if len(r.desk.model.entries()) != len(busy) {
		t.Error("not all are shown again")
	}
}

// slow is a book whose search goes on until it is ended.
type slow struct {
	*register.Book
	begun chan struct{}
	ended chan error
}

func (s slow) Search(ctx context.Context, _ string, tell func(register.SearchPart) error) error {
	if err := tell(register.SearchPart{Read: 1, Of: 4}); err != nil {
		return err
	}
	close(s.begun)
	<-ctx.Done()
	s.ended <- ctx.Err()
	return ctx.Err()
}

// While a search goes on the desk is worked as ever; Esc ends it.
func TestSearchDoesNotHoldTheDesk(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	s := slow{r.book, make(chan struct{}), make(chan error, 1)}
	r.open(s, 80, 24, Options{})
	r.desk.clerk.helper.inline = false
	r.log("10:00 fog on").press("r", "s", "x", "Enter").want("reading")
	<-s.begun
	r.tick()
	r.want("reading, 25%").press("Up", "Down", "F1", "Esc", "Esc").want("stopped at 25%")
	select {
	case <-s.ended:
	case <-time.After(10 * time.Second):
		t.Fatal("Esc does not end the search")
	}
	r.press("Esc", "Esc", "e", "fog off", "Enter")
	if r.last() != "10:00 fog off" {
		t.Errorf("wrote %q", r.last())
	}
	if r.tick(); r.desk.model.mode != modeDesk {
		t.Error("the end of the search takes the desk away")
	}
}

// What a search that is no longer wanted finds is not shown.
func TestOldAnswersAreDropped(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	m, _ := r.desk.model.seek("a")
	old := m.hunt.id
	m, _ = m.seek("b")
	m, _ = update(m, hunted{id: old, part: register.SearchPart{Hits: make([]register.Entry, 3)}})
	if len(m.hunt.hits) != 0 {
		t.Error("they are shown")
	}
	many := register.SearchPart{Hits: make([]register.Entry, maxHits+1), Read: 1, Of: 2}
	m, do := update(m, hunted{id: m.hunt.id, part: many})
	if len(m.hunt.hits) != maxHits || do.do != stopSearch || m.hunt.on {
		t.Errorf("%d are shown, and it goes on", len(m.hunt.hits))
	}
}

// Typing narrows the list of kinds; Enter begins the entry.
func TestKindsAreNarrowed(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	for typed, want := range map[string]string{"staff driver": "Coldbeck staff to train ", "token lost": "Coldbeck token ", "message rec": "message from ", "fog lift": "fog off ", "visit": "visit "} {
		r.press("k", typed, "Enter")
		if got := r.desk.model.edit.String(); got != want {
			t.Errorf("%q begins %q, want %q", typed, got, want)
		}
		r.press("Esc")
	}
	r.press("k", "zzz", "Enter").want("No kind of entry").press("Ctrl-U", "Esc")
	if r.desk.model.mode != modeDesk {
		t.Error("not back at the desk")
	}
}

// The demo day: the timetable proposes the name, and the beats, of the next train,
// and one that runs late says so.
func TestTimetableProposes(t *testing.T) {
	r := newDemoRig(t, 120, 40)
	r.want("accept 3-1 from Saltgarth, 2A19 next").want("in hand")
	r.at("11:05").pick("2A19 next").press("Enter")
	if want := "11:05 Saltgarth <1 >1 <3-1 >3-1 train 2A19"; r.last() != want {
		t.Errorf("wrote %q, want %q", r.last(), want)
	}
	r.press("n").want("TIME IN HAND").want("median of the last").want("2A21").press("Esc")
}

// What the box owes is on the desk before it is late, and a train that stands too
// long, and a clock not checked.
func TestAlarms(t *testing.T) {
	r := newRig(t, "box.yaml", 120, 40, Options{})
	r.work(signedOn, work{"10:00", "from Saltgarth", []string{"31 1M44", "Enter"}}, work{"10:03", "1M44 entering section", nil},
		work{"10:07", "1M44 arrived", []string{"n"}})
	r.want("TO DO by 10:09: report the train without tail lamp").want("without tail lamp: 4-5 to Saltgarth, in rear")
	r.at("10:12").want("LATE since 10:09").at("10:30").want("1M44 STANDING at Platform 1 for 23 min")
	r.now = r.now.AddDate(0, 0, 1)
	r.desk.refresh()
	r.app.ForceDraw()
	r.want("CLOCK CHECK DUE")
}

// An offer that is not accepted leaves the other line of the section alone: the
// train that goes away there is still offered its next entries.
func TestRefusedOfferLeavesTheOtherLine(t *testing.T) {
	r := newRig(t, "absolute.yaml", 80, 24, Options{})
	r.work(signedOn, work{"10:00", "from Coldbeck", []string{"31 1M44", "Enter"}}, work{"10:01", "1M44 entering section, from Coldbeck", nil},
		work{"10:02", "offer 1M44 (3-1) to Saltgarth", nil}, work{"10:03", "from Saltgarth", []string{"31 2R15", "Tab", "Enter"}},
		work{"10:08", "1M44 passed", []string{"c"}}, work{"10:08", "1M44 entering section, to Saltgarth", nil}, work{"10:09", "accept 3-1 from Saltgarth", nil})
	for _, e := range r.book.Recent() {
		if len(e.Findings) > 0 {
			t.Errorf("%s: found %s", e.Line, e.Findings[0].Rule)
		}
	}
}

// A train offered too soon, and refused, does not take the one in front of it from the list: what
// that one does next is expected as before. Met by a new user: the train accepted could not be
// entered any more on a key.
func TestOfferTooSoonLeavesTheTrainInFront(t *testing.T) {
	r := newRig(t, "absolute.yaml", 80, 24, Options{})
	r.log(duty...).log("09:55 Saltgarth <1 >1 <3-1 >3-1 train 2A19", "09:56 Saltgarth <1 >1 <3-2 train 6K30").at("09:57").want("IN DOUBT Down Main (Saltgarth)")
	r.pick("2A19 entering section, from Saltgarth").at("10:02").pick("2A19 arrived at Platform 1 complete").press("c").pick("2A19 out of section, to Saltgarth")
}

// What blocks a line can be taken away on a key of the smallest screen: it stands before trains
// that nobody has heard of, and far from Enter.
func TestWhatIsInForceIsInSight(t *testing.T) {
	r := newDemoRig(t, 80, 24)
	r.at("10:40").log("10:40 Saltgarth >6 <6").at("10:41").want("obstruction removed, Saltgarth, Down Main")
	for range 30 {
		r.now = r.now.Add(10 * time.Minute)
		r.desk.refresh()
		if m := &r.desk.model; m.soon() && strings.HasPrefix(m.listed[0].Label, "obstruction removed") {
			t.Fatalf("Enter removes the obstruction after %s", r.now)
		}
	}
}

// Of several readings of a sort the one under way is broken off, the latest is
// done after it, and those between are not begun.
func TestReadingsDoNotPileUp(t *testing.T) {
	woken := make(chan bool, 10)
	a := &assistant{wake: func() { woken <- true }}
	begun, let := make(chan bool), make(chan bool)
	a.start("day", func(ctx context.Context, tell func(msg)) {
		begun <- true
		<-let // it cannot be broken off
		tell("first")
	})
	<-begun
	a.start("day", func(_ context.Context, tell func(msg)) { tell("second") })
	a.start("day", func(_ context.Context, tell func(msg)) { tell("third") })
	close(let)
	select {
	case <-woken:
	case <-time.After(10 * time.Second):
		t.Fatal("the latest is not done")
	}
	if got := a.take(); len(got) != 1 || got[0] != "third" {
		t.Errorf("told %v", got)
	}
}

// A timetable that cannot be read is said, and the desk works without it.
func TestTimetableFaultIsSaid(t *testing.T) {
	r := newDemoRig(t, 120, 40)
	if err := os.WriteFile(filepath.Join(r.book.Dir, "weekday.csv"), []byte("train,beats\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	r.open(r.book, 120, 40, Options{})
	r.want("The timetable is not used as it stands").pick("accept 3-2 from Saltgarth").press("31 2A19", "Enter").want("Written as 168")
}
