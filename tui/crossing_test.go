package tui

import (
	"slices"
	"strings"
	"testing"
	"time"

	"fairhand/block"
)

// TestCrossingCallTakesFourKeys: a user's call, the leave to cross and the report
// of clear are three entries that the desk offers, each on one key; the call is
// confirmed once. What he wants is typed only when it is another than last time.
func TestCrossingCallTakesFourKeys(t *testing.T) {
	r := newRig(t, "crossings.yaml", 80, 24, Options{})
	r.at("09:55").log(`duty on "A. Fell"`, "clock right")
	r.at("10:00").pick("the user asks to cross").press("car 2", "Enter").pick("may cross")
	r.want("Mill Lane").want("crossing: car, 2 minutes, since 10:00")
	r.at("10:03").pick("clear, car")
	r.keys = 0
	r.at("10:30").pick("the user asks to cross").press("Enter").pick("may cross")
	r.at("10:32").pick("clear, car")
	if r.keys > 4 {
		t.Errorf("ask, permit and clear took %d keys", r.keys)
	}
	for _, want := range []string{`10:30 crossing "Mill Lane" asked "car" for 2`, `10:30 crossing "Mill Lane" may cross`, `10:32 crossing "Mill Lane" clear`} {
		if !slices.Contains(r.lines(), want) {
			t.Errorf("not written: %s\n%s", want, strings.Join(r.lines(), "\n"))
		}
	}
}

// TestCrossingMinutesAreSaid: those of the last call are not written for another that
// says none.
func TestCrossingMinutesAreSaid(t *testing.T) {
	r := newRig(t, "crossings.yaml", 80, 24, Options{})
	r.at("09:55").log(`duty on "A. Fell"`, "clock right")
	r.at("10:00").pick("the user asks to cross").press("car 2", "Enter").pick("may cross")
	r.at("10:03").pick("clear, car")
	before := len(r.lines())
	r.at("10:30").pick("the user asks to cross").press("tractor", "Enter").want("How many minutes")
	if len(r.lines()) != before {
		t.Errorf("written: %s", r.last())
	}
	if r.press(" 5", "Enter"); r.last() != `10:30 crossing "Mill Lane" asked "tractor" for 5` {
		t.Errorf("wrote %s", r.last())
	}
}

// TestCrossingStopsTheHand: with a train on its way the leave to cross is not
// offered, and typed it is stopped before it is written, with the minutes left.
func TestCrossingStopsTheHand(t *testing.T) {
	r := newRig(t, "crossings.yaml", 80, 24, Options{})
	r.at("09:55").log(`duty on "A. Fell"`, "clock right", "Beech <1 >1 <3-1 >3-1 train 2K15")
	r.at("10:00").log("Beech <2 >2")
	r.at("10:01").log(`crossing "Mill Lane" asked "van" for 2`)
	if x := r.desk.model.next[0]; !strings.Contains(x.Label, "wait") {
		for _, o := range r.desk.model.next {
			if strings.Contains(o.Label, "may cross") {
				t.Errorf("offered with a train coming: %s", o.Label)
			}
		}
	}
	before := len(r.lines())
	r.press("e", `crossing "Mill Lane" may cross`, "Enter")
	r.want("STOP: NOT WRITTEN YET").want("2K15 may be there in 2")
	if len(r.lines()) != before {
		t.Error("written before it was confirmed")
	}
	r.press("d")
	r.pick("wait, 2K15 may be there in 2 minutes")
	r.want("waiting: van")
}

// TestLineClearAsksForTheUser: line clear for a train that may be at the crossing
// before the user who has leave is clear is on no key, and asked about however it is
// given; a second Enter writes it.
func TestLineClearAsksForTheUser(t *testing.T) {
	r := newRig(t, "crossings.yaml", 80, 24, Options{})
	r.at("09:55").log(`duty on "A. Fell"`, "clock right")
	r.at("10:00").log(`crossing "Mill Lane" asked "van" for 4`, `signal "Down Starting" on`, `reminder on "Down Starting" "Mill Lane"`,
		`message to Beech "hold"`, `message from Beech "holding"`, `crossing "Mill Lane" may cross`)
	r.at("10:01")
	for _, x := range r.desk.model.next {
		if x.Act == block.ActOffer && x.Event.Section == "Beech" && !x.Mine && len(x.Event.Bells) > 3 {
			t.Errorf("line clear is on a key: %s", x.Label)
		}
	}
	before := len(r.lines())
	r.press("e", "Beech <1 >1 <3-1 >3-1 train 2K15", "Enter").want("a user has leave").want("in 3 minutes").want("Enter again")
	if len(r.lines()) != before {
		t.Fatal("written before it was confirmed")
	}
	r.press("Esc", "Esc").press("b", "Tab", "<1>1<31>31 2K15", "Enter")
	if r.want("a user has leave"); len(r.lines()) != before {
		t.Fatal("written before it was confirmed")
	}
	if r.press("Enter"); len(r.lines()) != before+1 {
		t.Errorf("not written:\n%s", r.text())
	}
}

// TestLargeMovementIsWalkedThrough: for a large movement the desk offers what
// protects it, one entry after another, and then the leave to cross.
func TestLargeMovementIsWalkedThrough(t *testing.T) {
	r := newRig(t, "crossings.yaml", 80, 24, Options{})
	r.at("09:55").log(`duty on "A. Fell"`, "clock right")
	r.at("10:00").pick("the user asks to cross").press("combine 4 large", "Enter")
	r.pick("Down Starting on").pick("reminder on Down Starting").pick("ask Beech").pick("Beech holds").pick("may cross")
	if f := r.desk.model.unexplained(); len(f) > 0 {
		t.Errorf("found: %+v", f)
	}
	r.at("10:06").want("in doubt: a user not reported clear")
}

// A reminder that a large movement needs is offered as long as none is on, also where
// leave could be given without it and when it was given.
func TestReminderIsOfferedBesideTheLeave(t *testing.T) {
	r := newDemoRig(t, 120, 40)
	r.at("10:39").log("10:39 Saltgarth <1 >1 <2-1 >2-1 train 2R14", `10:39 train 2A12 arrived at "Platform 1" complete`, "10:39 Coldbeck token 9 in", "10:39 Coldbeck >1 <1 >2-1 <2-1 train 2A12",
		`10:39 crossing "Mill Lane" asked "tractor" for 4`, `10:39 signal "Down Home" on`).at("10:40")
	at := func(words string) int {
		return slices.IndexFunc(r.desk.model.listed, func(x listed) bool { return strings.Contains(x.Label, words) })
	}
	if at("reminder on") < 0 || at("reminder on") > at("may cross") {
		t.Errorf("the reminder is not listed before the leave:\n%s", r.text())
	}
	r.want("may cross, tractor").pick("may cross, tractor").pick("reminder on").want("crossing: tractor")
	if strings.Contains(r.text(), "put a reminder on") {
		t.Errorf("still owed:\n%s", r.text())
	}
}

// TestCrossingTurnCountsItsKeys works a turn at a box with a user-worked crossing and
// one worked from the box, and prints how many keys each call took: ask, leave, clear.
// What a user says of himself is typed; it is no key of the desk.
func TestCrossingTurnCountsItsKeys(t *testing.T) {
	r := newRig(t, "crossings.yaml", 80, 24, Options{})
	r.at("09:55").log(`duty on "A. Fell"`, "clock right")
	total, calls := 0, 0
	call := func(ask, leave, clear, says string) {
		t.Helper()
		r.keys = 0
		r.at(ask).pick("the user asks to cross")
		typed := 0
		if says != "" {
			before := r.keys
			r.press(says)
			typed = r.keys - before
		}
		r.press("Enter")
		asked := r.keys - typed
		r.at(leave).pick("may cross")
		allowed := r.keys - typed - asked
		r.at(clear).pick(": clear,")
		keys := r.keys - typed
		t.Logf("%s Mill Lane, %q: ask %d, leave %d, clear %d: %d keys, %d letters of what the user said", ask, says, asked, allowed, keys-asked-allowed, keys, typed)
		if keys > 4 {
			t.Errorf("the call at %s took %d keys", ask, keys)
		}
		total, calls = total+keys, calls+1
	}
	step := func(at string, words ...string) {
		t.Helper()
		r.at(at)
		for _, w := range words {
			r.pick(w)
		}
	}
	call("10:00", "10:00", "10:02", "car 2")
	call("10:05", "10:05", "10:07", "")
	r.at("10:10").log("Ash <1 >1 <3-1 >3-1 train 2K14")
	step("10:10", "Station Road down")
	for _, x := range r.desk.model.listed {
		if strings.Contains(x.Label, "Station Road up") {
			t.Errorf("with a train signalled the desk offers %q", x.Label)
		}
	}
	step("10:12", "2K14 entering section, from Ash")
	r.at("10:15").log("train 2K14 arrived at Platform complete", "Ash >1 <1 >2-1 <2-1")
	step("10:16", "Station Road up")
	call("10:17", "10:17", "10:19", "on foot 1")
	r.at("10:20").pick("the user asks to cross").press("combine 4 large", "Enter")
	step("10:21", "Down Starting on", "reminder on Down Starting", "ask Beech", "Beech holds")
	step("10:22", "may cross")
	step("10:26", ": clear, combine", "tell Beech that Mill Lane is clear", "reminder off Down Starting")
	if left := r.book.State().Messages; len(left) > 0 {
		t.Errorf("what was held for the crossing is handed over still: %+v", left)
	}
	t.Logf("%d calls, %d keys", calls, total)
	if f := r.desk.model.unexplained(); len(f) > 0 {
		t.Errorf("found: %+v", f)
	}
	r.want("Station Road")
}

// TestTheTelephoneRingsAnyTime: with more expected than the screen shows, and with a user
// waiting, a call is on one key; it is of the crossing last rung from, and of another by Tab.
func TestTheTelephoneRingsAnyTime(t *testing.T) {
	r := newRig(t, "crossings.yaml", 80, 24, Options{})
	r.at("09:55").log(`duty on "A. Fell"`, "clock right", "Beech <1 >1 <3-1 >3-1 train 2K15", "Ash <1 >1 <3-1 >3-1 train 2K14")
	r.at("10:00").press("x", "van 2", "Enter")
	if want := `10:00 crossing "Mill Lane" asked "van" for 2`; r.last() != want {
		t.Fatalf("%s, want %s", r.last(), want)
	}
	if first := r.desk.model.listed[0].Label; !strings.HasPrefix(first, "Mill Lane: ") {
		t.Errorf("a user on the telephone waits for %s", first)
	}
	r.at("10:01").press("x", "car 1", "Enter")
	if want := `10:01 crossing "Mill Lane" asked "car" for 1`; r.last() != want {
		t.Errorf("with a user waiting: %s, want %s", r.last(), want)
	}
	before := len(r.lines())
	if r.press("x", "Tab"); !strings.Contains(r.text(), "Mill Lane") {
		t.Errorf("of one crossing the next is the same:\n%s", r.text())
	}
	r.press("Esc")
	r = newRig(t, "twocrossings.yaml", 80, 24, Options{})
	r.at("09:55").log(`duty on "A. Fell"`).at("10:00").press("x").want("Tab: another crossing").press("Tab", "van 2", "Enter")
	if want := `10:00 crossing "Ford Farm" asked "van" for 2`; r.last() != want {
		t.Errorf("%s, want %s", r.last(), want)
	}
	r = newRig(t, "box.yaml", 80, 24, Options{})
	if r.press("x").want("No level crossing"); len(r.lines()) != 0 || before == 0 {
		t.Errorf("written: %s", r.text())
	}
}

// What stands since when is told in minutes begun: rounded it lay ahead of the clock, and to the
// second it took a row more.
func TestSinceIsTheTimeOfTheEntry(t *testing.T) {
	r := newRig(t, "crossings.yaml", 80, 24, Options{})
	r.log(duty...).at("10:02")
	r.now = r.now.Add(44 * time.Second)
	r.press("x").press("van 2").press("Enter").want("since 10:02 ")
}

// Barriers fail under the crossing's own name, which nobody asks about; the driver who goes
// over it is then to be cautioned, on a key.
func TestBarriersThatFailAreOneLine(t *testing.T) {
	r := newRig(t, "crossings.yaml", 80, 24, Options{})
	r.log(duty...).at("10:02")
	r.press("e", `failure "Mill Lane" "gate off its hinges"`, "Enter").want("in doubt: its gates or barriers failed")
	if !strings.HasPrefix(r.last(), `10:02 failure "Mill Lane"`) {
		t.Errorf("wrote %q", r.last())
	}
	r.log("10:03 train 2K14 moved to Platform", "10:03 Beech >1 <1 >3-1 <3-1 train 2K14")
	r.pick("2K14 cautioned for Mill Lane")
}

// With a train in the section the user is told to wait before anybody is asked to hold trains:
// the one that is on its way nobody can hold.
func TestWaitComesBeforeHoldingTrains(t *testing.T) {
	r := newRig(t, "junction.yaml", 80, 24, Options{})
	r.log(duty...).log(`10:00 "Slate Halt" <offer >accept train 6F40`, `10:00 "Slate Halt" <entering train 6F40`, `10:00 crossing "Sandpit Lane" asked "cattle" for 1 large`).
		want("Sandpit Lane: wait, 6F40 may be there in 2 minutes").want("ask Slate Halt to hold trains")
	if first := r.desk.model.first(); !strings.HasPrefix(first, "Sandpit Lane: wait") {
		t.Errorf("Enter writes %q", first)
	}
}
