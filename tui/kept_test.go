package tui

import (
	"bytes"
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

// While the section is worked by message no token is drawn; one that was out before is.
func TestNoTokenIsOutByMessage(t *testing.T) {
	began, accepted := "09:52 Coldbeck working by message", "Coldbeck <offer >accept train 2P07"
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(duty...).log(`09:51 failure "Coldbeck instrument" "will not release"`, began, "09:53 "+accepted, "09:54 Coldbeck <entering train 2P07").at("10:00").want("2P07 coming")
	for range 2 {
		if strings.Contains(r.text(), "TOKEN") {
			t.Errorf("a token is said to be out:\n%s", r.text())
		}
		r.press("h")
	}
	r.press("Esc").log(`09:59 train 2P07 arrived at "Platform 1" complete`).at("10:00").want("2P07 out of section, to Coldbeck")
	if strings.Contains(r.text(), "token in") {
		t.Errorf("a token is expected back that was never drawn:\n%s", r.text())
	}
	r = newRig(t, "box.yaml", 80, 24, Options{})
	r.log(duty...).log("09:51 Coldbeck <1 >1 <3-1 >3-1 train 2P07", began).at("10:00").want("TOKEN ? OUT").press("h").want("A TOKEN RELEASED")
}

// Five late trains share one notice, so that what else is out of the ordinary is not hidden
// behind them; in the line mode each is told when it becomes late.
func TestLateTrainsShareANotice(t *testing.T) {
	r := newRig(t, "absolute.yaml", 80, 24, Options{})
	r.log(duty...).log("09:20 Saltgarth <1 >1 <3-1 >3-1 train 1M44", "09:21 Saltgarth <2 >2", "09:22 Coldbeck <1 >1 <3-1 >3-1 train 1M45", "09:23 Coldbeck <2 >2",
		`09:24 failure "Lever 12" "lamp out"`, `09:24 reminder on "Lever 5" "a crane"`).at("10:00")
	r.want("train due out of the section, 1M44, Saltgarth; 1M45, Coldbeck, since").want("Lever 12 FAILED").want("REMINDER on Lever 5")
	var out bytes.Buffer
	newTalker(r.book, r.book.Location(), &out, Options{}).begin()
	if n := strings.Count(out.String(), "LATE since"); n != 2 {
		t.Errorf("%d notices, want 2:\n%s", n, out.String())
	}
}
