package tui

import (
	"slices"
	"strings"
	"testing"

	"fairhand/block/rulebook"
)

// Line clear in words asks for the train's number and the private number, and
// writes neither from a guess.
func TestSpokenAsksItsNumbers(t *testing.T) {
	r := newRig(t, "axle.yaml", 80, 24, Options{})
	r.log(`10:00 duty on "A. Fell"`, "10:00 clock right").at("10:02")
	press := func() { r.press(string(rune('0' + r.numberOf("accept a train from Coldbeck")))) }
	for _, answer := range []string{"", "5611", "5611 x2"} {
		press()
		r.press(answer, "Enter")
		r.wrote(2)
		r.press("Esc")
	}
	press()
	r.press("5611 41", "Enter")
	want := "10:02 Coldbeck <offer >accept train 5611 pn 41"
	if lines := r.lines(); !slices.ContainsFunc(lines, func(s string) bool { return strings.Contains(s, want) }) {
		t.Errorf("the book has %q, want %q\n%s", lines, want, r.text())
	}
}

// On an Indian single line line clear by bell goes with a private number as well: the
// desk offers the acceptance and asks for it.
func TestBellAsksItsPrivateNumber(t *testing.T) {
	r := newRig(t, "indian-token.yaml", 80, 24, Options{})
	r.log(`10:00 duty on "A. Fell"`, "10:00 clock right", "10:01 Coldbeck <1 >1 <2 train 5611").at("10:02")
	r.press(string(rune('0' + r.numberOf("accept: answer 2 to Coldbeck"))))
	r.press("", "Enter")
	r.wrote(3)
	r.press("41", "Enter")
	want := "10:02 Coldbeck >2 pn 41"
	if lines := r.lines(); !slices.ContainsFunc(lines, func(s string) bool { return strings.Contains(s, want) }) {
		t.Errorf("the book has %q, want %q\n%s", lines, want, r.text())
	}
}

// TestPaperLineClear: with the inquiries numbered, the next one and the reply to one are
// on a key, with the number of the inquiry and the private number in words as well.
func TestPaperLineClear(t *testing.T) {
	r := newRig(t, "axle.yaml", 80, 24, Options{})
	r.at("10:00").log(`duty on "A. Fell"`, `Coldbeck working by message "paper line clear"`, `train 5612 arrived at "Platform 1" complete`,
		`Coldbeck >offer <refuse train 5612 inquiry 1 "5611 first"`, `Coldbeck <offer train 5611 inquiry 1`)
	r.at("10:02").pick("accept 5611").press("41", "Enter")
	if got, want := r.last(), `10:02 Coldbeck >accept train 5611 inquiry 1 pn 41 words "four one"`; got != want {
		t.Errorf("the reply: %s\nwant %s", got, want)
	}
	r.log(`Coldbeck <cancel train 5611 "is held"`)
	r.at("10:05").pick("offer 5612").press("53", "Enter")
	if got, want := r.last(), `10:05 Coldbeck >offer <accept train 5612 inquiry 2 pn 53 words "five three"`; got != want {
		t.Errorf("the inquiry: %s\nwant %s", got, want)
	}
	if f := r.desk.model.unexplained(); len(f) > 0 {
		t.Errorf("found: %+v", f)
	}
}

// Working by message takes nothing of how a train was described: on by words, it is still
// the train of its beats and class, on the page and in the running times.
func TestWordsTakeNoDescriptionAway(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(`09:50 duty on "A. Fell"`, "09:51 clock right", "10:00 Saltgarth <1 >1 <3-1-1 >3-1-1 train 4F40", "10:02 Coldbeck working by message", "10:02 Coldbeck >offer <accept train 4F40")
	if x := r.book.State().TrainNamed("4F40"); x == nil || x.Code != "3-1-1" || x.Class != rulebook.Freight {
		t.Errorf("it is %+v", x)
	}
}
