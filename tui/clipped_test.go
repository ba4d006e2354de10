package tui

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"fairhand/register"
)

// crowded is a desk on which everything is long: names, notices, what is expected.
var crowded = []string{`09:50 duty on "A. Fell"`, "09:50 clock right", `09:55 "Carrow Sidings East" <1 >1 <3-2 >3-2`, `09:56 "Tarn Foot" >1 <1 >3-1 <3-1 train 2A12`,
	`09:57 "Tarn Foot" token 4 out`, `09:58 message from "Train Running Control West" "the driver of 2A12 reports sheep on the line near bridge 14, all trains to be cautioned until the ganger has looked; acknowledge"`,
	`09:58 obstruct "Branch Up" "Carrow Sidings East" "a wagon foul of the Branch Up beyond the catch points, chocked with timber, the guard protects it with detonators at the full distance"`,
	`09:59 reminder on "Lever 5" "crane in the yard"`, `09:59 failure "Mill Lane Crossing" "gate will not lock"`}

// Nothing that bears on safety is cut: on the smallest screen with six neighbours no
// row ends in a mark for more, but for those of the register, which r shows whole; what
// is left out is counted, and the key that shows it named. So it is on the sheet that the
// relief takes over, all the way down.
func TestNothingOfSafetyIsCut(t *testing.T) {
	for _, size := range [][2]int{{80, 24}, {100, 30}, {120, 40}, {120, 24}, {200, 50}} {
		r := newRig(t, "six.yaml", size[0], size[1], Options{})
		r.log(crowded...).at("10:01")
		above, _, _ := strings.Cut(r.text(), "─ REGISTER")
		for _, l := range strings.Split(above, "\n") {
			if strings.HasSuffix(strings.TrimRight(l, " "), "…") {
				t.Errorf("%v: cut: %s", size, l)
			}
		}
		for _, name := range []string{"Carrow Sidings East Branch Up", "Carrow Sidings East Branch Down", "TOKEN 4 OUT"} {
			if !strings.Contains(above, name) {
				t.Errorf("%v: %q is not to be read:\n%s", size, name, r.text())
			}
		}
		words := strings.Join(strings.Fields(strings.ReplaceAll(above, "\n", " ")), " ")
		if !strings.Contains(words, "protects it with detonators at the full distance") {
			t.Errorf("%v: the gravest notice is not whole:\n%s", size, r.text())
		}
		if shown := nextShown(&r.desk.model); shown < len(r.desk.model.listed) && !strings.Contains(above, "more (0)") || shown == 0 {
			t.Errorf("%v: %d of %d entries shown, and the rest not told of:\n%s", size, shown, len(r.desk.model.listed), r.text())
		}
		whole := ""
		for _, l := range wholeRows(&r.desk.model, size[0], &r.desk.theme) {
			if l.width() > size[0] {
				t.Errorf("%v: too wide for its page: %s", size, rowsText([]row{l}))
			}
			whole += strings.TrimSpace(rowsText([]row{l})) + " "
		}
		for _, x := range r.desk.model.listed {
			if !strings.Contains(whole, x.body) {
				t.Errorf("%v: everything does not tell %q", size, x.body)
			}
		}
		r.press("s").want("EVERYTHING THAT STANDS").press("Esc")
		r.press("h")
		for range sheetLines(&r.desk.model.sheet) {
			if cut := strings.Count(r.text(), "…"); cut > 0 {
				t.Errorf("%v: the sheet of the handover is cut:\n%s", size, r.text())
				break
			}
			r.press("Down")
		}
	}
}

// A row broken into several keeps its words and its roles.
func TestWrappedRow(t *testing.T) {
	r := line(strong, " by 10:52 ").add(plain, "train due out of the section, ").add(peril, "2R14, Saltgarth").add(plain, "   ")
	got := r.wrapped(24, 4)
	text := []string{}
	for _, l := range got {
		text = append(text, strings.TrimRight(rowsText([]row{l}), "\n"))
	}
	if want := []string{" by 10:52 train due out", "    of the section,", "    2R14, Saltgarth"}; !slices.Equal(text, want) {
		t.Errorf("wrapped as %q, want %q", text, want)
	}
	if last := got[len(got)-1]; last[len(last)-1].role != peril {
		t.Errorf("the role of %q was lost", last)
	}
}

// After midnight what was written before it stands above the rule of the new day, and the desk
// scrolls back into it.
func TestUpOverMidnight(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.at("23:50").log(`23:50 duty on "A. Fell"`, `23:55 note "the last of yesterday"`)
	r.now = r.now.Add(20 * 60e9)
	r.log(`note "the first of today"`)
	if text := r.want("REGISTER OF 2026-05-05").text(); !regexp.MustCompile(`the last of yesterday.*\n─ TODAY, 2026-05-06 ─+\n.*the first of today`).MatchString(text) {
		t.Errorf("no rule between yesterday and today:\n%s", text)
	}
	r.press("Up").want("the last of yesterday").want("REGISTER OF 2026-05-05").want("1 newer below").press("Up", "Up", "Up").want(`duty on "A. Fell"`)
	r.press("Down", "Down").want("the first of today").want("TODAY, 2026-05-06").press("End").want("the first of today")
	r.log(`correct 2 "23:55 note \"the very last\""`).want("ERROR, see 4")
}

// The time in hand stands apart from what authorises trains beside it, however long that is;
// and the book opened from a desk scrolled back counts none of its entries as newer.
func TestWhatStandsBesideStandsApart(t *testing.T) {
	r := newDemoRig(t, 120, 40)
	r.log(`10:44 Saltgarth >1 <1 >2-4 <2-4`) // the longest of the states makes its column wider
	for _, l := range strings.Split(r.text(), "\n") {
		if before, _, ok := strings.Cut(l, " in hand"); ok && strings.Contains(l, "TOKEN") && !strings.Contains(before, "here  ") {
			t.Errorf("run together: %s", l)
		}
	}
	r.press("Up", "Up", "r")
	if strings.Contains(r.text(), "newer below") {
		t.Errorf("the book is said to be scrolled:\n%s", r.text())
	}
}

// No name of a neighbour is cut among the trains expected, no time of the page stands without
// its column, and nothing that is to be read before a key is pressed ends where the window does.
func TestNamesAndTimesAreNotCut(t *testing.T) {
	r := newRig(t, "junction.yaml", 80, 24, Options{})
	m := &r.desk.model
	m.ahead.Trains = []register.Prospect{{Booked: register.Booked{Train: "2P41", From: "Hallow Road", To: "Mossend", Place: "Down Main at home"}, Where: "in section"}}
	if got := rowsText([]row{trainRow(m, &r.desk.theme, &m.ahead.Trains[0])}); !strings.Contains(got, "Hallow Road  Mossend      Down Main at home  in section") {
		t.Errorf("the row is %q", got)
	}
	r.log(duty...).log(`09:51 "Hallow Road" <1 >1 <3-1 >3-1 train 2P31`, `09:52 "Hallow Road" <2 >2`, "09:52 Mossend >1 <1 >3-1 <3-1 train 2P31", "09:53 Mossend token 2 out",
		"09:54 train 2P31 passed complete", "09:54 Mossend >2 <2", `09:55 "Hallow Road" >1 <1 >2-1 <2-1`, "09:58 Mossend <1 >1 <2-1 >2-1")
	r.at("10:00").press("r", "p")
	for _, l := range strings.Split(r.text(), "\n") {
		if strings.HasPrefix(l, "   2P31") && strings.Count(l, ":5") != 9 || strings.Contains(l, "Train Code") && strings.HasSuffix(l, "…") {
			t.Errorf("not all of the row: %q\n%s", l, r.text())
		}
	}
	r.want("from Hallow Road").press("Esc", "p", "R. Howe", "Enter").want("nothing of the PIN stands in it.")
	r.press("Esc")
	r.pick("accept a train from Slate Halt").want("The train's number is wanted.")
	if strings.Contains(r.text(), "Nothing was written") {
		t.Errorf("a key is told of that was not pressed:\n%s", r.text())
	}
}

// A label shows no number that nobody told, and reads as a sentence.
func TestALabelTellsNoNumberThatIsNotTold(t *testing.T) {
	r := newRig(t, "indian-token.yaml", 80, 24, Options{})
	if r.log(duty...).at("10:00").want("private number?"); strings.Contains(r.text(), "pn 0") {
		t.Errorf("it does:\n%s", r.text())
	}
	spoken := newRig(t, "junction.yaml", 80, 24, Options{}).log(duty...).at("10:00").press("s").want(`"Slate Halt" <offer >accept`)
	if strings.Contains(spoken.text(), "next train") {
		t.Errorf("a name is told that nobody told:\n%s", spoken.text())
	}
	r.pick("accept 2").press("3591 47").want("writes 10:00 Coldbeck <1 >1 <2 >2 train 3591 pn 47").want("2 is line clear")
}

// The heading of a box that is switched out has room for the clock beside it: its time is
// shorter before anything is cut.
func TestHeadingIsNotCut(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(`09:50 duty on "A. Fell"`, "09:50:07 clock right", "09:51 box switched out").at("10:00").want("clock right at 09:50")
	if first, _, _ := strings.Cut(r.text(), "\n"); strings.Contains(first, "…") || strings.Contains(first, "09:50:07") {
		t.Errorf("the heading is cut: %s", first)
	}
	r.log(`09:52 duty on "R. Howe"`).at("10:00").want("BOX SWITCHED OUT").want("R. Howe on duty")
	if first, _, _ := strings.Cut(r.text(), "\n"); strings.Contains(first, "clock r…") {
		t.Errorf("the heading is cut: %s", first)
	}
}
