package tui

import (
	"slices"
	"strings"
	"testing"
	"time"

	"fairhand/register/notation"
)

// What is typed when a name, beats or a number is asked for, and the entry that
// comes of it. Description codes: british-later, token section.
func TestAnswers(t *testing.T) {
	for _, c := range []struct{ typed, want string }{
		{"", "Coldbeck <1 >1 <4 >4"},
		{"31", "Coldbeck <1 >1 <3-1 >3-1"},
		{"3-1", "Coldbeck <1 >1 <3-1 >3-1"},
		{"2P07", "Coldbeck <1 >1 <4 >4 train 2P07"},
		{"31 2P07", "Coldbeck <1 >1 <3-1 >3-1 train 2P07"},
		{` 3-1  "the relief" `, `Coldbeck <1 >1 <3-1 >3-1 train "the relief"`},
		{"9999", "Coldbeck <1 >1 <4 >4 train 9999"}, // no description: a name
		{`"31"`, "Coldbeck <1 >1 <4 >4 train 31"},   // a name in quotes is a name
	} {
		r := newRig(t, "box.yaml", 80, 24, Options{})
		r.log(`10:00 duty on "A. Fell"`).pick("from Coldbeck").press(c.typed, "Enter")
		if want := "10:00 " + c.want; r.last() != want {
			t.Errorf("typed %q: wrote %q, want %q", c.typed, r.last(), want)
		}
	}
}

func TestTokenNumberIsAsked(t *testing.T) {
	for typed, want := range map[string]string{"": "10:01 Coldbeck token 1 out", "5": "10:01 Coldbeck token 5 out", "x": ""} {
		r := newRig(t, "box.yaml", 80, 24, Options{})
		r.log(`10:00 duty on "A. Fell"`, "10:00 Coldbeck >1 <1 >3-1 <3-1 train 1M44").at("10:01").pick("token").press(typed, "Enter")
		if want == "" {
			r.want("Nothing was written")
			want = "10:00 Coldbeck >1 <1 >3-1 <3-1 train 1M44"
		}
		if r.last() != want {
			t.Errorf("typed %q: %q, want %q", typed, r.last(), want)
		}
	}
}

// The time of an entry is that of the key press that began it; set back, it says
// that it was written late.
func TestTimeOfAnEntry(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(`10:00 duty on "A. Fell"`).at("10:05").pick("from Saltgarth")
	r.at("10:07").press("31 1M44", "Enter")
	if want := "10:05 Saltgarth <1 >1 <3-1 >3-1 train 1M44 written 10:07"; r.last() != want {
		t.Errorf("wrote %q, want %q", r.last(), want)
	}
	r.at("10:10").press("-", "-", "-", "+").want("2 min ago").pick("1M44 entering")
	if want := "10:08 Saltgarth <2 >2 train 1M44 written 10:10"; r.last() != want {
		t.Errorf("wrote %q, want %q", r.last(), want)
	}
	if r.desk.model.shift != 0 {
		t.Error("the next entry is set back as well")
	}
	r.at("10:20").press("t", ":16", "Enter").want("NEXT ENTRY AT 10:16").press("e", "fog on", "Enter")
	if want := "10:16 fog on written 10:20"; r.last() != want {
		t.Errorf("wrote %q, want %q", r.last(), want)
	}
	for typed, want := range map[string]string{"17": "10:17", "10:17": "10:17", ":17": "10:17"} { // the minute typed, whatever the seconds are now and when it is written
		r.at("10:20").now = r.now.Add(58 * time.Second)
		r.press("t", typed, "Enter").want("NEXT ENTRY AT 10:17, 3 min ago").press("-").want("NEXT ENTRY AT 10:16").press("+")
		r.now = r.now.Add(time.Second)
		if r.press("e", "fog off", "Enter"); r.last() != want+" fog off written 10:20:59" {
			t.Errorf("%s wrote %q, want %s", typed, r.last(), want)
		}
	}
	r.at("10:30").press("t", "10:50", "Enter").want("A clock time of the past twelve hours")
}

// Enter stands on what happens next: not on a train far off, and on signing on
// where nobody is on duty.
func TestEnterIsWhatComesNext(t *testing.T) {
	r := newRig(t, "absolute.yaml", 80, 24, Options{})
	r.want("Enter 1 sign on  who?").press("Enter").want("WHO SIGNS ON?").press("1", "Enter")
	if r.last() != `10:00 duty on "A. Fell"` {
		t.Fatalf("wrote %q", r.last())
	}
	n := len(r.lines())
	r.press("Enter").want("Nothing that is listed is next for certain")
	if len(r.lines()) != n {
		t.Errorf("wrote %q", r.last())
	}
	// What is owed comes before the offer of another train that only waits.
	r.log("10:00 clock right", "10:00 Saltgarth <1 >1 <3-1 >3-1 train 1M44", "10:01 Saltgarth <2 >2 train 1M44", `10:05 train 1M44 arrived at "Platform 1" complete`).at("10:06")
	if l := r.desk.model.listed[0].Label; l != "1M44 out of section, to Saltgarth" {
		t.Errorf("Enter is %q:\n%s", l, r.text())
	}
}

// A danger finding stops the hand; either answer is one key, and Enter is none.
func TestStop(t *testing.T) {
	danger := []string{"e", "Saltgarth <1 >1 <3-1 >3-1 train 5Z01", "Enter"}
	r := newRig(t, "box.yaml", 80, 24, Options{Bell: true})
	r.log(`10:00 duty on "A. Fell"`, "10:00 clock right", "10:00 Saltgarth <1 >1 <3-1 >3-1 train 1M44").press(danger...)
	if r.beeps != 1 {
		t.Errorf("%d bells, want 1", r.beeps)
	}
	n := len(r.lines())
	for _, part := range []string{"STOP: NOT WRITTEN YET", "What", "Why", "Expected", "Reference", "write it, it happened", "drop it, not done yet"} {
		r.want(part)
	}
	r.press("Enter", "y", "1")
	if len(r.lines()) != n || r.desk.model.mode != modeStop {
		t.Fatal("another key than the two answers did something")
	}
	r.press("d")
	if len(r.lines()) != n || r.desk.model.mode != modeDesk {
		t.Fatal("dropped, the desk is to be there again and nothing written")
	}
	r.press("e", "Up").want("line: " + danger[1]).press("Enter").at("10:03").press("w")
	if want := "10:00 Saltgarth <1 >1 <3-1 >3-1 train 5Z01 written 10:03"; r.last() != want {
		t.Errorf("wrote %q, want %q", r.last(), want)
	}
	r.want("DANGER").want("TO EXPLAIN")
	if quiet := newRig(t, "box.yaml", 80, 24, Options{}); true {
		quiet.log(r.lines()[:3]...).press(danger...)
		if quiet.beeps != 0 {
			t.Error("the bell rings though switched off")
		}
	}
}

// Irregular and advice findings never interrupt: a late entry is irregular.
func TestIrregularDoesNotInterrupt(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{}).press("e", "09:40 fog on", "Enter")
	if len(r.lines()) != 1 || r.desk.model.mode != modeDesk {
		t.Fatalf("wrote %v in mode %s", r.lines(), r.desk.model.mode)
	}
	r.want("Irregular")
}

func TestExplainAndCorrect(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log("09:40 fog on", `10:00 duty on "A. Fell"`)
	before := len(r.desk.model.unexplained())
	r.press("f", "x", `the relief was late, "kettle" on`, "Enter")
	if want := `10:00 explain 1 "the relief was late, \"kettle\" on"`; r.last() != want {
		t.Errorf("wrote %q, want %q", r.last(), want)
	}
	if after := len(r.desk.model.unexplained()); after >= before {
		t.Errorf("%d findings to explain, before %d", after, before)
	}
	r.press("r", "Home", "c").want("CORRECT ENTRY 1").press("Ctrl-U", "09:40 fog off", "Enter")
	if want := `10:00 correct 1 "09:40 fog off"`; r.last() != want {
		t.Errorf("wrote %q, want %q", r.last(), want)
	}
	r.want("09:40 fog on written 10:00  ERROR, see 4")
	r.press("r", "Home", "c", "Ctrl-U", "10:00 frog", "Enter").want("Not written. column 11").want("^ here")
}

func TestHistoryAndCompletion(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.press("e", "duty on A", "Tab", "Enter", "e", "fog on", "Enter")
	if l := r.lines(); len(l) != 2 || l[0] != `10:00 duty on "A. Fell"` {
		t.Fatalf("wrote %q", l)
	}
	r.press("e", "half", "Up", "Up").want(`line: duty on "A. Fell"`).press("Down", "Down").want("line: half")
	r.press("Esc", "e", `note "kettle`, "Enter") // the quote is closed for him
	if r.last() != `10:00 note "kettle"` {
		t.Errorf("wrote %q", r.last())
	}
}

func TestKindsBeginALine(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	for i, f := range r.desk.model.kinds() {
		r.desk.model.mode, r.desk.model.pick = modeForms, i
		r.press("Enter")
		text := r.desk.model.edit.String()
		if f.beats != "" && r.desk.model.mode == modeBeats && text == string(f.beats) {
			r.press("Esc")
			continue
		}
		if r.desk.model.mode != modeLine || len(r.desk.model.offers) == 0 && !strings.HasSuffix(text, `"`) {
			t.Errorf("%s: begins %q, with nothing offered next", f.Pattern, text)
		}
		r.press("Esc")
	}
}

func TestLeaving(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.press("e", "fog", "Ctrl-C").want("Half typed, NOT written: fog").press("n").want("line: fog")
	if r.left || r.desk.model.halfTyped() != "fog" {
		t.Fatal("left, or the line is lost")
	}
	r.press("Ctrl-C", "y")
	if !r.left || r.desk.model.halfTyped() != "fog" {
		t.Fatal("not left, or the line is not kept for the next time")
	}
}

// A message goes with the next key, whichever it is; what is said of a line stays
// while its cursor moves, and an alarm until it is dropped.
func TestMessageGoesWithTheNextKey(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(`10:00 duty on "A. Fell"`, "10:00 clock right").at("10:20")
	for _, k := range []string{"q", "n", "F1", "r", "b", "-", "Up", "End"} {
		r.press("9").want("Nothing is expected under 9").press(k)
		if strings.Contains(r.text(), "Nothing is expected") {
			t.Errorf("it still stands after %s:\n%s", k, r.text())
		}
		r.press("Esc", "Esc")
	}
	r.press("t", "10:50", "Enter").want("A clock time of the past").press("Left").want("A clock time of the past").press("Ctrl-U")
	if strings.Contains(r.text(), "A clock time") {
		t.Errorf("it still stands over another text:\n%s", r.text())
	}
	r.press("Ctrl-E", "Ctrl-U", "10:50", "Enter", "F1").want("A clock time of the past").press("Esc", "Esc")
	r.desk.model.msg = message{"NOT WRITTEN: the disk is full", alarm}
	r.press("-").want("the disk is full").press("Esc")
	if r.desk.model.msg.text != "" {
		t.Errorf("Esc leaves %q", r.desk.model.msg.text)
	}
}

// Time alone never moves what Enter stands on, nor what is expected past each other: only
// an entry does.
func TestTheListStandsStill(t *testing.T) {
	r := newDemoRig(t, 80, 24)
	r.at("10:42").press("Enter").at("10:44").press("Enter")
	labels := func() []string {
		return namesOf(r.desk.model.listed, func(x *listed) string { return x.Label })
	}
	before := labels()
	for _, clock := range []string{"10:46", "11:05", "11:30"} {
		r.at(clock)
		now := labels()
		was := slices.DeleteFunc(slices.Clone(before), func(l string) bool { return !slices.Contains(now, l) })
		kept := slices.DeleteFunc(slices.Clone(now), func(l string) bool { return !slices.Contains(before, l) })
		if !slices.Equal(kept, was) || now[0] != before[0] {
			t.Errorf("at %s %q, before it %q", clock, now, before)
		}
	}
	r.press("Enter", "c")
	if slices.Equal(before, labels()) {
		t.Error("the list is the same after an entry")
	}
}

// What becomes due while nothing is written is in sight at once, under a key of its own: a
// train was due for eight minutes, and its arrival stood behind what had no room.
func TestWhatBecomesDueIsInSight(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(`09:50 duty on "A. Fell"`, "09:51 clock right", `09:52 blockage "Up Main" towards Saltgarth party "J. Wray" number 17 repeated`, `09:52 party "B. Wood" on "Up Main" towards Saltgarth number 17 repeated`,
		"09:54 Coldbeck working by message", "10:00 Saltgarth <1 >1 <3-1 >3-1 train 2K14", "10:01 Saltgarth <2 >2 train 2K14").guarded()
	for _, clock := range []string{"10:02", "10:03", "10:04", "10:05", "10:06"} {
		r.at(clock)
	}
	for i, x := range r.desk.model.listed[:nextShown(&r.desk.model)] {
		if x.Label == "2K14 arrived at Platform 1 complete" {
			if i > 1 || x.number == 0 {
				t.Errorf("it is row %d, under %d", i, x.number)
			}
			return
		}
	}
	t.Errorf("the arrival is not shown:\n%s", r.text())
}

// A time is typed in any of the ways in which a clock is read; it is written in one.
func TestTimesAreTypedInAnyWay(t *testing.T) {
	for typed, want := range map[string]string{"2330": "23:30", "930": "09:30", "2.30pm": "14:30", "2:30PM": "14:30", "12.05am": "00:05", "12pm": "12:00", "9am": "09:00",
		"14.30": "14:30", "23:30:15": "23:30:15", "13pm": "13pm", "pm": "pm", "Durham": "Durham", "0am": "0am", "x.30": "x.30"} {
		if got := notation.By24Hours(typed); got != want {
			t.Errorf("%s is read as %s, want %s", typed, got, want)
		}
	}
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(duty...).at("14:45").press("e", `2.30pm note "stove lit"`, "Enter")
	if want := `14:30 note "stove lit" written 14:45`; r.last() != want {
		t.Errorf("wrote %q, want %q", r.last(), want)
	}
	r.press("t", "2.31pm", "Enter", "e", `note "x"`, "Enter")
	if want := `14:31 note "x" written 14:45`; r.last() != want {
		t.Errorf("wrote %q, want %q", r.last(), want)
	}
}

// A shunt is by numbers: of several trains it is asked which, then where to; each says who
// stands where. What stands under a number stays there though a train comes meanwhile.
func TestMove(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.press("m").want("line: train").press("Esc")
	r.log(`10:00 duty on "A. Fell"`, "10:00 Saltgarth <1 >1 <3-1 >3-1 train 1M44", `10:00 train "the relief" arrived at "Platform 2" complete`).at("10:01").
		press("m").want(" the relief IS SHUNTED FROM PLATFORM 2 TO").want(" 1 Platform 1   2 Down Main at home   3 Yard").press("7").want("Nothing stands under 7").press("3")
	if want := `10:01 train "the relief" moved to Yard`; r.last() != want {
		t.Errorf("wrote %q, want %q", r.last(), want)
	}
	r.log(`10:01 train 6K20 arrived at "Platform 1" complete`).at("10:02").press("m").want("WHICH TRAIN IS SHUNTED?").want(` 1 6K20 at Platform 1   2 the relief at Yard`)
	r.log(`10:02 train 2P07 arrived at "Platform 2" complete`).press("1").want("6K20 IS SHUNTED FROM PLATFORM 1 TO").want("1 Platform 2: 2P07 there").press("3")
	if want := `10:02 train 6K20 moved to Yard`; r.last() != want {
		t.Errorf("wrote %q, want %q", r.last(), want)
	}
	r.press("m", "1", "t").want(`line: train 2P07 moved to`).press("Esc", "m", "n").want("Dropped")
}

// What is found about one of several entries written together is not hidden by
// the confirmation of the last.
func TestFindingOfAnEarlierEntryIsSaid(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.press("e", `09:40 fog on; duty on "A. Fell"`, "Enter").want("Irregular").want("Written as 1.")
}
