package tui

import (
	"slices"
	"strings"
	"testing"

	"fairhand/block"
)

// Obstruction danger is two keys from sight to sent, and two when the line is clear. What is
// written is the signal: its answer is a key of its own, when it has come, and until then
// the desk says that it has not.
func TestObstructionDanger(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(twoComing[:2]...).at("10:02")
	r.keys = 0
	r.press("o").want("1 Coldbeck, Single").want("2 Saltgarth, Down Main  sends 6").press("2")
	sent := r.keys
	if r.last() != "10:02 Saltgarth >6" || r.book.State().Lines[2].Phase != block.Obstructed {
		t.Errorf("wrote %q", r.last())
	}
	r.want("Enter").want("Saltgarth answers 6").at("10:04").want("OBSTRUCTION DANGER, BELL 6 to Saltgarth: no answer yet (2 min)").want("LATE since 10:03: answer to obstruction danger awaited, Saltgarth").press("Enter")
	if r.last() != "10:04 Saltgarth <6" || r.book.State().Bells[1].Asked.Open {
		t.Errorf("wrote %q", r.last())
	}
	r.at("10:09").keys = 0
	r.pick("obstruction removed")
	if got := r.book.State().Lines[2].Phase; got != block.Normal {
		t.Errorf("the line is %s after %q", got, r.last())
	}
	t.Logf("obstruction danger: %d keys from sight to sent, %d when removed", sent, r.keys)
	if sent > 4 || r.keys > 2 {
		t.Errorf("%d keys to send, %d to remove", sent, r.keys)
	}
}

// What is written as an obstruction puts its bell signal first, on Enter, to the
// right box, until it is sent; also when that is late.
func TestObstructionComesFirst(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(twoComing...).at("10:02").press("e", `obstruct "Down Main" Saltgarth "wagon foul"`, "Enter").want("Enter").want("OBSTRUCTION DANGER: 6 to Saltgarth, Down Main")
	r.at("10:06").press("Enter")
	if want := "10:06 Saltgarth >6"; r.last() != want {
		t.Errorf("wrote %q, want %q", r.last(), want)
	}
	if slices.ContainsFunc(r.desk.model.listed, func(l listed) bool { return strings.HasPrefix(l.Label, "OBSTRUCTION") }) {
		t.Error("it is asked for again")
	}
}

// The answer set back before the signal that it answers would be a signal of its own, that
// the other box obstructs the line: it is asked about.
func TestAnswerSetBackIsAsked(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(twoComing...).at("10:02").press("e", `obstruct "Down Main" Saltgarth "wagon foul"`, "Enter").at("10:06").press("Enter")
	sent := r.last()
	r.at("10:07").press("-", "-").press("Enter").want("be no answer to it")
	if r.last() != sent {
		t.Errorf("wrote %q", r.last())
	}
}

// The two signals of a train without tail lamp stay first until they are sent, also when that is
// late: at the limit they went from the list, and Enter stood on the train's going on.
func TestTailLampSignalsStayWhenLate(t *testing.T) {
	r := newRig(t, "absolute.yaml", 80, 24, Options{})
	r.log(duty...).log("09:51 Coldbeck <1 >1 <3-1 >3-1 train 2A11", "09:52 Saltgarth >1 <1 >3-1 <3-1 train 2A11", "09:53 Coldbeck <2 >2", "10:00 train 2A11 passed no-tail-lamp", "10:00 Saltgarth >2 <2").at("10:09")
	for _, want := range []string{"10:09 Saltgarth >1 <1 >9 <9 train 2A11", "10:09 Coldbeck >1 <1 >4-5 <4-5 train 2A11"} {
		if r.press("Enter"); r.last() != want {
			t.Errorf("Enter wrote %q, want %q", r.last(), want)
		}
	}
}

// A bell signal that is owed stands on Enter before what another box is late with.
func TestOwedComesFirst(t *testing.T) {
	r := newRig(t, "absolute.yaml", 80, 24, Options{})
	r.log(duty...).log("09:51 Coldbeck >1 <1 >3-1 <3-1 train 2A11", "09:52 Coldbeck >2 <2 train 2A11", "10:00 Saltgarth <1 >1 <3-1 >3-1 train 1M44",
		"10:00 Coldbeck <1 >1 <3-1 >3-1 train 2L60", "10:01 Coldbeck <2 >2 train 2L60", "10:01 Saltgarth >1 <1 >3-1 <3-1 train 2L60", "10:20 train 2L60 passed complete").at("10:21")
	r.want("LATE since 10:08: train due out of the section, 2A11").press("Enter")
	if want := "10:21 Saltgarth >2 <2 train 2L60"; r.last() != want {
		t.Errorf("wrote %q, want %q", r.last(), want)
	}
}

// A line that is blocked, obstructed or in doubt is never called normal.
func TestBarredIsNotNormal(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(twoComing[:2]...).log(`10:01 blockage "Up Main" towards Saltgarth "J. Wray"`, `10:01 obstruct "Single" Coldbeck "tree"`).at("10:02")
	r.want("Coldbeck  Single    OBSTRUCTED").want("Saltgarth Up Main   BLOCKED").want("Saltgarth Down Main normal")
	r.log(`10:02 Saltgarth <1 >1 <3-1 >3-1 train 1M44`, `10:02 obstruct "Down Main" Saltgarth "x"`).want("LINE CLEAR        1M44 to come, given now  OBSTRUCTED")
}

// No danger is hidden behind a reminder, and what is hidden has its key named.
func TestDangerBeforeReminders(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(twoComing[:2]...).log(`10:01 reminder on "Lever 5" "a very long reason that fills the row quite by itself"`, `10:01 reminder on "Lever 6" "a very long reason that fills the row quite by itself"`,
		`10:01 reminder on "Lever 7" "a very long reason that fills the row quite by itself"`, `10:01 reminder on "Lever 8" "another reason that fills the row by itself"`,
		`10:01 reminder on "Lever 9" "another reason that fills the row by itself"`, `10:01 failure "Mill Lane Crossing" "gate"`, `10:01 blockage "Up Main" towards Saltgarth "J. Wray"`).at("10:02")
	r.want("BLOCKED Up Main (Saltgarth): J. Wray").want("Mill Lane Crossing FAILED").want("REMINDER on Lever 5")
}

// What the relief did not take over and has gone since is asked for no more.
func TestGoneIsNotAskedFor(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(twoComing...).log("10:02 Saltgarth <2 >2 train 1M44", `10:03 duty on "R. Howe"; duty off "A. Fell"`).at("10:04").want("NOT TAKEN OVER: 1M44, 2A12")
	r.log(`10:06 train 1M44 arrived at "Platform 1" complete`, "10:06 Saltgarth >1 <1 >2-1 <2-1 train 1M44", "10:07 train 1M44 put away", "10:08 Coldbeck <1 >1 <3-5 >3-5 train 2A12").at("10:20")
	if strings.Contains(r.text(), "NOT TAKEN OVER") || strings.Contains(r.text(), "take over") {
		t.Errorf("what is gone is asked for:\n%s", r.text())
	}
}

// At a danger, what to do stands on the smallest screen.
func TestStopTellsWhatToDo(t *testing.T) {
	for _, box := range []string{"box.yaml", "six.yaml"} {
		r := newRig(t, box, 80, 24, Options{})
		who := r.book.Box().Sections[1].Neighbour
		r.log(twoComing[:2]...).log("10:01 "+who+" <1 >1 <3-1 >3-1 train 1M44").at("10:02").press("e", who+" <1 >1 <3-1 >3-1 train 5Z01", "Enter")
		r.want("STOP").want("What").want("Expected").want(" Do ").want("w   write it").want("d   drop it")
	}
}

// A clock time needs no colon.
func TestTimeWithoutColon(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(twoComing[:2]...).at("10:20").press("t", "1016", "Enter").want("NEXT ENTRY AT 10:16").press("Esc", "t", "958", "Enter").want("NEXT ENTRY AT 09:58")
}

// A long message is read whole under the register.
func TestWholeEntryIsRead(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(`10:01 message from "Train Running Control West" "the driver of 2A19 reports sheep on the line near bridge 14, all trains to be cautioned until the ganger has looked; acknowledge"`).press("r")
	r.want("near bridge 14").want("has looked; acknowledge")
}

// A message of any length, and one that was corrected, is read whole; so is each finding in
// the list of those to explain, and in the prompt where it is explained.
func TestNothingReadIsCut(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	again := func(n int) string {
		return strings.TrimSpace(strings.Repeat("the ganger at bridge 14 has not looked yet and all trains are to be cautioned; ", n)) + " END"
	}
	r.log(duty...).log(`10:01 message from Control "`+again(7)+`"`, `10:01 message from Control "`+again(3)+`"`, `10:02 correct 4 "10:01 message from Control \"`+again(3)+`ED\""`,
		"10:02 Saltgarth <1 >1 <3-1 >3-1 train 2P07", "10:03 Saltgarth <1 >1 <1-4 >1-4 train 5Z01",
		"10:04 Coldbeck <1 >1 <3-1 >3-1 train 2A12", `10:04 train 6K20 arrived at "Down Main at home" complete`)
	r.press("r", "Home", "Down", "Down").want("cautioned; END\"").press("Down").want("cautioned; END\"").want("cautioned; ENDED\"").press("Esc", "f")
	list := r.desk.model.unexplained()
	if len(list) < 3 {
		t.Fatalf("%d findings are too few to show anything", len(list))
	}
	for _, f := range list {
		above, _, _ := strings.Cut(r.text(), "THIS FINDING")
		if words := strings.Join(strings.Fields(above), " "); !strings.Contains(strings.ReplaceAll(words, "← ", ""), f.Text) {
			t.Errorf("the list does not show %q:\n%s", f.Text, r.text())
		}
		r.press("x").want(f.Text).press("Esc", "Down")
	}
}

// What failed is told, with its words, while it is disconnected too, and on when it is
// connected again; and a train that has gone on is not told as here.
func TestWhatFailedIsToldToTheEnd(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(`09:50 duty on "A. Fell"`, "09:50 clock right", `10:00 failure "Points 8" "no detection"`).at("10:02").want("Points 8 FAILED: no detection")
	r.log(`10:01 disconnected "Points 8" "relay changed"`).want("Points 8 FAILED, DISCONNECTED: no detection; relay changed")
	r.log(`10:02 reconnected "Points 8"`).want("Points 8 FAILED: no detection")
	r.log("10:02 Coldbeck <1 >1 <3-1 >3-1 train 2A12", "10:02 Coldbeck <2 >2", `10:12 train 2A12 arrived at "Platform 1" complete`).at("10:12").want("2A12 here")
	r.log("10:12 Saltgarth >1 <1 >3-1 <3-1 train 2A12", "10:13 Saltgarth >2 <2").at("10:13").want("2A12 gone on").want("2A12 going")
}
