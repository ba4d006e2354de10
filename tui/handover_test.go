package tui

import (
	"slices"
	"strings"
	"testing"
	"time"

	"fairhand/block"
	"fairhand/register/registertest"
)

// live is a box with a train here, one in section, a token out and a reminder.
var live = []string{
	`09:50 duty on "A. Fell"`, "09:50 clock right", "09:52 Saltgarth <1 >1 <3-1 >3-1 train 1M44", "09:53 Saltgarth <2 >2",
	"09:54 Coldbeck >1 <1 >3-1 <3-1 train 1M44", "09:54 Coldbeck token 3 out", "09:57 train 1M44 passed for Coldbeck complete",
	"09:57 Coldbeck >2 <2", "09:58 Saltgarth >1 <1 >2-1 <2-1", `09:58 reminder on "Lever 5" "6K20 in the yard"`,
	`09:59 failure "Lever 12" "lamp out"`,
}

// backTo sets the clock back so that busy and live entries are written in time.
func (r *rig) logAt(lines ...string) *rig {
	r.t.Helper()
	for _, l := range lines {
		r.at(l[:5])
		if err := registertest.Log(r.book, l); err != nil {
			r.t.Fatal(err)
		}
	}
	r.desk.refresh()
	r.app.ForceDraw()
	return r
}

// TestHandover goes down the sheet: three items taken over, one queried, a remark,
// and the relief signs on. What is written stands in the order of the trade, the
// off-duty line directly under the last entry (study cards on TS1 1.3 as told in
// the trade notes), nothing is found, and one item left unticked is found after
// ten minutes.
func TestHandover(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.logAt(live...).at("10:00")
	n := len(r.lines())
	r.keys = 0
	r.press("h").want("0 OF 4 TAKEN OVER").want("[ ] 1M44: in section to Coldbeck")
	r.press("Enter", " ", "x", "which flag", "Enter").want("QUERY: which flag").want("2 OF 4 TAKEN OVER, 1 QUERIED")
	r.press("n", "stove is low", "Enter").want("stove is low").want("1 NOT TAKEN OVER")
	if len(r.lines()) != n {
		t.Fatal("something was written before the relief signed on")
	}
	r.press("s").want("1 A. Fell, on duty").want("2 R. Howe").press("1", "Enter").want("A. Fell is on duty already").press("Ctrl-U", "2", "Enter")
	want := []string{
		`10:00 carried 1M44 "in section to Coldbeck"`,
		`10:00 carried "token 3" "token 3 of the section to Coldbeck is out"`,
	}
	got := r.lines()[n:]
	if len(got) != 6 || got[0] != want[0] || !strings.HasPrefix(got[1], `10:00 carried "token 3"`) ||
		!strings.HasPrefix(got[2], `10:00 queried "Lever 12" "which flag"`) || got[3] != `10:00 note "stove is low"` ||
		got[4] != `10:00 duty on "R. Howe"` || got[5] != `10:00 duty off "A. Fell"` {
		t.Errorf("wrote\n%s", strings.Join(got, "\n"))
	}
	for _, e := range r.book.Recent() {
		if len(e.Findings) > 0 {
			t.Errorf("%s: found %s", e.Line, e.Findings[0].Rule)
		}
	}
	if len(r.desk.model.taking.marks) != 0 {
		t.Error("the ticks are still there for the next relief")
	}
	r.want("NOT TAKEN OVER: Lever 5").at("10:11").log("fog on")
	if !slices.ContainsFunc(r.desk.model.unexplained(), func(o open) bool { return o.Rule == "handover-incomplete" }) {
		t.Error("what was not taken over is not found after ten minutes")
	}
}

// A relief who ticks after signing on writes the ticks alone.
func TestHandoverAfterwards(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.logAt(live...).at("10:00").press("h", "s", "2", "Enter").want("NOT TAKEN OVER")
	n := len(r.lines())
	r.at("10:04").press("h", "Enter", "Enter", "Enter", "Enter", "w")
	if got := r.lines()[n:]; len(got) != 4 || !strings.Contains(got[3], "carried") {
		t.Errorf("wrote\n%s", strings.Join(got, "\n"))
	}
	if n := r.book.State().Uncarried; len(n) != 0 {
		t.Errorf("not taken over: %v", n)
	}
	r.press("h", "w").want("Nothing is ticked")
}

// A tick holds for what was read: when the item changes it is to be ticked again.
// Work on the desk in between loses no tick.
func TestTicksOutliveWork(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.logAt(live...).at("10:00").press("h", "Enter", "Enter").want("2 OF 4")
	r.press("Esc").at("10:03").log("10:03 Coldbeck <1 >1 <2-1 >2-1", "10:03 Coldbeck token 3 in")
	_ = r.at("10:03")
	r.press("h")
	live, taken, _ := r.desk.model.counted()
	if taken > 1 || live > 3 {
		t.Errorf("%d of %d are taken over after the train has gone:\n%s", taken, live, r.text())
	}
}

func TestSignOnAtAnEmptyBox(t *testing.T) {
	for typed, want := range map[string]string{"1": `10:00 duty on "A. Fell"`, "r. howe": `10:00 duty on "R. Howe"`, `"A. Fell"`: `10:00 duty on "A. Fell"`} {
		r := newRig(t, "box.yaml", 80, 24, Options{})
		r.press("u", "Enter").want("Nothing was written").press(typed, "Enter")
		if r.last() != want {
			t.Errorf("typed %q: wrote %q", typed, r.last())
		}
		if on := r.book.State().OnDuty; len(on) != 1 {
			t.Errorf("typed %q: on duty %v", typed, on)
		}
	}
}

// Whoever signs off alone with trains in section is asked once, by their names; a
// typed line is asked about too. Nothing is asked when somebody stays, or none runs.
func TestSigningOffWithTrainsInSection(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(`10:00 duty on "A. Fell"`, "10:00 clock right").press("u").want(`line: duty off "A. Fell"`).press("Esc")
	r.log("10:00 Saltgarth <1 >1 <3-1 >3-1 train 1M44", "10:00 Saltgarth <2 >2 train 1M44").at("10:02")
	r.press("u").want("SURE? Sign off A. Fell").want("1M44 (in section from Saltgarth)").press("n").want("Nothing was written").wrote(4)
	r.press("e", `duty off "A. Fell"`, "Enter").want("1M44 (in section from Saltgarth)").want("Enter again").wrote(4).press("Esc")
	r.press("u", "y").wrote(5)
	if want := `10:02 duty off "A. Fell"`; r.last() != want {
		t.Errorf("wrote %q, want %q", r.last(), want)
	}
	r.log(`10:02 duty on "A. Fell"`, `10:02 duty on "R. Howe"`).press("u").want(`line: duty off "R. Howe"`).press("Enter").wrote(8)
	r.press("h", "s", "2", "Enter")
	if on := r.book.State().OnDuty; len(on) != 1 || on[0].Name != "R. Howe" {
		t.Errorf("on duty after the relief: %v:\n%s", on, r.text())
	}
}

// Tab completes from the people of the box; a name the box file does not have is
// asked about before it is written.
func TestReliefByName(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.press("u", "ho", "Tab").want("number or name: R. Howe").press("Enter")
	if want := `10:00 duty on "R. Howe"`; r.last() != want {
		t.Errorf("wrote %q, want %q", r.last(), want)
	}
	r = newRig(t, "box.yaml", 80, 24, Options{})
	r.press("u", "Tab").want("number or name: A. Fell").press("Tab").want("number or name: R. Howe").press("Ctrl-U")
	r.press("R. Howw", "Enter").want(`Did you mean "R. Howe"?`)
	if n := len(r.lines()); n != 0 {
		t.Fatalf("%d entries before the answer", n)
	}
	r.press("x", "Backspace", "Enter").want("There is no").press("Esc")
	if n := len(r.lines()); n != 0 || r.desk.model.mode != modeDesk {
		t.Fatalf("%d entries after Esc, mode %s", n, r.desk.model.mode)
	}
	r.press("u", "R. Garth", "Enter").want("R. Garth is listed as inspector, who takes no duty").press("Esc")
	if n := len(r.lines()); n != 0 {
		t.Fatalf("%d entries when an inspector was to sign on", n)
	}
	r.press("u", "M. New", "Enter").want("There is no").press("Enter")
	if want := `10:00 duty on "M. New"`; r.last() != want {
		t.Errorf("wrote %q, want %q", r.last(), want)
	}
}

// Enter on a ticked item leaves it ticked, also on the last; Space takes it back.
func TestTickTakenBack(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.logAt(live...).at("10:00").press("h", "Enter", "Up").want("1 OF 4").press("Enter", "Up").want("1 OF 4").press(" ").want("0 OF 4").
		press("Enter", "Enter", "Enter", "Enter", "Enter").want("4 OF 4").press("Enter").want("4 OF 4")
}

// What another program writes is there at the next tick.
func TestAnotherProgramWrites(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	other := r.second()
	if _, err := other.Log(block.Event{Kind: block.FogOn, At: other.Now()}); err != nil {
		t.Fatal(err)
	}
	r.now = r.now.Add(time.Second)
	r.tick()
	r.want("10:00 fog on").want("Another program wrote: 1 new, shown.")
}

// Of what was found and not explained the sheet tells a danger before what is irregular,
// though it came later.
func TestDangerIsToldFirst(t *testing.T) {
	r := newRig(t, "absolute.yaml", 80, 24, Options{})
	r.log(duty...).log("09:52 Saltgarth <1 >1 <8-8-8 >8-8-8", "09:53 Saltgarth <1 >1 <3-1 >3-1 train 1M44", "09:54 Saltgarth <2 >2", "09:55 Saltgarth <1 >1 <3-1 >3-1 train 5Z01").at("10:00").press("h")
	var found []string
	for _, p := range r.desk.model.sheet.Parts {
		for _, i := range p.Items {
			if p.Title == "Found and not explained" {
				found = append(found, i.Text)
			}
		}
	}
	if len(found) < 2 || !strings.Contains(found[0], "danger:") || !strings.Contains(found[len(found)-1], "irregular:") {
		t.Errorf("told: %q", found)
	}
}
