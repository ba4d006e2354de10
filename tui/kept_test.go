package tui

import (
	"strings"
	"testing"
	"time"
)

// Something more urgent comes while a line is typed: what was typed comes back where it was
// typed for, and nowhere else.
func TestLineGivenUpComesBack(t *testing.T) {
	r := newRig(t, "absolute.yaml", 80, 24, Options{})
	r.log(duty...).log(`09:58 note "the stove smokes"`, `09:59 note "wind"`).at("10:00")
	r.press("e", `message to Control "half`, "Esc").want("Dropped. Nothing was written. The line is kept: e, then Up.")
	r.press("r", "c", " # from the west", "Esc").want("The line is kept: c, then Up.").want("THIS ENTRY")
	r.press("c", "Up").want(`written 10:00 # from the west`).press("Esc", "Up", "c", "Up").want("CORRECT ENTRY 3")
	if strings.Contains(r.text(), "from the west") {
		t.Errorf("the line of another entry comes back:\n%s", r.text())
	}
	r.press("Esc", "Esc", "e", "Up").want(`message to Control "half`).press("Up")
	if strings.Contains(r.text(), "from the west") {
		t.Errorf("a correction comes back as an entry:\n%s", r.text())
	}
	r.press(`way"`, "Enter").wrote(5)
	r.press("e", "Esc").want("Dropped. Nothing was written.")
	if strings.Contains(r.text(), "kept") {
		t.Errorf("an empty line is kept:\n%s", r.text())
	}
}

// A correction in which danger is found and that is dropped goes back to its page; it would be
// an entry of its own at the desk.
func TestCorrectionDroppedAtDanger(t *testing.T) {
	r := newRig(t, "absolute.yaml", 80, 24, Options{})
	r.log(duty...).log("09:55 Saltgarth <1 >1 <3-1 >3-1 train 1M44", `09:58 note "wind"`).at("10:00")
	r.press("r", "c", "Ctrl-U", "09:58 Saltgarth <1 >1 <3-1 >3-1 train 1M45", "Enter").want("STOP: NOT WRITTEN YET").press("d")
	r.want("The line is kept: c, then Up.").want("THIS ENTRY").press("c", "Up").want("train 1M45").press("Esc", "Esc", "e", "Up")
	if strings.Contains(r.text(), "1M45") {
		t.Errorf("a correction comes back as an entry:\n%s", r.text())
	}
}

// Of a time that the clock showed twice it is said which is meant, and how the other is typed;
// the entry has the one that was typed.
func TestTimeOfTheHourThatComesTwice(t *testing.T) {
	r := newRig(t, "absolute.yaml", 80, 24, Options{})
	r.now = time.Date(2026, 10, 25, 2, 5, 0, 0, time.UTC).In(r.now.Location())
	r.desk.refresh()
	r.press("t", "01:30", "Enter").want("NEXT ENTRY AT 01:30*, 35 min ago").want("01:30+00:00 is meant; if not, type 01:30+01:00.")
	r.press("t", "01:30+01:00", "Enter").want("NEXT ENTRY AT 01:30, 95 min ago").want("01:30+01:00 is meant")
	if r.press("e", `note "x"`, "Enter"); r.last() != `01:30+01:00 note "x" written 02:05` {
		t.Errorf("written %q", r.last())
	}
	if r.press("t", "02:01", "Enter"); strings.Contains(r.text(), "twice") {
		t.Errorf("a time that the clock showed once:\n%s", r.text())
	}
}

// What was found not done in time is to be done all the same: it stays on the desk until it is,
// until what it was for is over, or until a remark tells what has become of it.
func TestDutyStaysUntilItIsSettled(t *testing.T) {
	for _, settled := range []string{`countersign 3 "R. Howe"`, `reconnected "Lever 7"`, `explain 4 "he signed on paper"`} {
		r := newRig(t, "absolute.yaml", 80, 24, Options{})
		r.log(duty...).log(`09:40 disconnected "Lever 7" "locking"`, `09:41 duty on "R. Howe"`).at("10:00").log(`10:00 note "a"`, `10:01 note "b"`).at("10:02")
		r.want("LATE since").want("countersign the disconnection, entry 3").log("10:02 " + settled).at("10:03")
		if strings.Contains(r.text(), "countersign the") {
			t.Errorf("after %s:\n%s", settled, r.text())
		}
	}
}
