package tui

import (
	"slices"
	"strings"
	"testing"
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
