package tui

import (
	"strings"
	"testing"
)

// TestWithheldSaysWhy: out of section that is looked for and not offered says what it waits
// for, and no more once it is offered.
func TestWithheldSaysWhy(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.at("09:50").log(duty...).log("09:50 Saltgarth <1 >1 <3-1 >3-1 train 2A12", "09:53 Saltgarth <2 >2")
	if r.at("09:55"); strings.Contains(r.text(), "WAITS FOR") {
		t.Errorf("a train on its way has nothing withheld:\n%s", r.text())
	}
	r.at("09:58").log(`09:58 train 2A12 arrived at "Down Main at home" complete`)
	r.want("2A12 out of section, to Saltgarth WAITS FOR the train beyond the clearing point or clear of the line, or blocking back")
	if r.log(`10:00 train 2A12 moved to "Platform 1"`); strings.Contains(r.text(), "WAITS FOR") {
		t.Errorf("it waits for nothing any more:\n%s", r.text())
	}
	r.want("2A12 out of section, to Saltgarth")
}

// TestNoTokenSaysWhy: with line clear and, by the book, no token in the instrument here there
// is none to be drawn on a key; the desk says what is wanted.
func TestNoTokenSaysWhy(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	for n := 1; n <= 6; n++ {
		r.log("09:4" + itoa(n) + " Coldbeck token " + itoa(n) + " moved away")
	}
	r.log(duty...).log("09:55 Coldbeck >1 <1 >3-1 <3-1 train 2A12").at("09:56")
	r.want("token out, Coldbeck, for 2A12 WAITS FOR a token in the instrument here").want("none there")
	if r.log("09:57 Coldbeck token 7 moved here").want("token 7 out, Coldbeck, for 2A12"); strings.Contains(r.text(), "WAITS FOR") {
		t.Errorf("one is there:\n%s", r.text())
	}
}
