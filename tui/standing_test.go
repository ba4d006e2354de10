package tui

import (
	"fmt"
	"strings"
	"testing"
)

// A train that is overdue is told for as long as it has not come, whatever else is written
// meanwhile, and so is how long it is in the section, though the window is narrow.
func TestTheOverdueTrainIsToldUntilItComes(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(duty...).log("09:50 Coldbeck <1 >1 <3-1 >3-1 train 2A12", "09:51 Coldbeck <2 >2 train 2A12")
	const late = ": train due out of the section, 2A12, Coldbeck"
	for _, at := range []string{"10:20", "10:35", "10:50"} {
		r.at(at)
		if !strings.Contains(r.text(), late) {
			t.Errorf("at %s it is not told:\n%s", at, r.text())
		}
		r.press("e", `note "lamp trimmed"`, "Enter").want("LATE since 10:10" + late)
	}
	r.want("2A12 coming 59 min")
	if r.log(`10:50 train 2A12 arrived at "Platform 1" complete`); strings.Contains(r.text(), late) {
		t.Errorf("it has come:\n%s", r.text())
	}
}

// A train comes whether there is room for it or not: where it may not stand at the first
// place another is offered, and where at none, what it waits for is told.
func TestATrainThatComesIsExpectedSomewhere(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(duty...).log(`09:50 train 5Z01 moved to "Platform 2"`, "09:50 Coldbeck <1 >1 <3-1 >3-1 train 2A12", "09:51 Coldbeck <2 >2 train 2A12").at("10:00").
		log(`10:00 train 5Z02 moved to "Platform 1"`).at("10:01").want("2A12 arrived at Yard complete")
	for i := range 6 {
		r.log(fmt.Sprintf("10:01 train 6K%02d moved to Yard", i))
	}
	r.at("10:02").want("2A12 arrived at Down Main at home complete WAITS FOR")
}

// What failed is told until it is restored, and why it is disconnected until it is connected
// again: neither keeps the words of the other.
func TestTheReasonGoesWithWhatItWasFor(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(duty...).log(`09:55 failure "Points 8" "no detection"`, `09:56 disconnected "Points 8" "under test"`).at("10:00").
		want("Points 8 FAILED, DISCONNECTED: no detection; under test")
	r.log(`10:00 restored "Points 8" "P. Kell"`).want("Points 8 DISCONNECTED: under test")
}

// A train heard of in words alone is offered on by the beats of its class, not by the first
// beats of the book.
func TestATrainOfWordsIsOfferedByItsClass(t *testing.T) {
	r := newRig(t, "junction.yaml", 120, 40, Options{})
	r.log(duty...).log(`09:58 "Slate Halt" <offer >accept train 6F40`, `09:59 "Slate Halt" <entering train 6F40`).at("10:00").
		want("offer 6F40 (5) to Hallow Road").pick("offer 6F40 (5) to Mossend")
	if want := "10:00 Mossend >1 <1 >5 <5 train 6F40"; r.last() != want {
		t.Errorf("wrote %q, want %q", r.last(), want)
	}
}

// A token is not offered on Enter from an instrument that is booked as failed, and asked about.
func TestNoTokenFromAFailedInstrumentOnEnter(t *testing.T) {
	r := newRig(t, "junction.yaml", 80, 24, Options{})
	r.log(duty...).log(`09:55 train 2P41 moved to "Platform 1"`, `09:56 Mossend >1 <1 >3-1 <3-1 train 2P41`).at("09:58")
	if first := r.desk.model.first(); !strings.HasPrefix(first, "token 1 out, Mossend") {
		t.Fatalf("Enter writes %q", first)
	}
	if r.log(`09:58 failure "Mossend token instrument" "no release"`).at("10:00"); strings.HasPrefix(r.desk.model.first(), "token") {
		t.Errorf("Enter writes %q", r.desk.model.first())
	}
	r.press(itoa(r.numberOf("token 1 out, Mossend"))).want("Was a token drawn from it all the same?")
}

// Train entering section that was found not sent in time is told, and stands first, until it is
// sent: the box in advance does not know that a train is coming.
func TestTrainEnteringSectionIsToldUntilItIsSent(t *testing.T) {
	r := newRig(t, "junction.yaml", 80, 24, Options{})
	r.log(duty...).log(`09:55 train 2P41 moved to "Platform 1"`, "09:55 Mossend >1 <1 >3-1 <3-1 train 2P41", "09:55 Mossend token 1 out", "09:56 train 2P41 departed for Mossend")
	r.at("10:02").press("e", `note "kettle on"`, "Enter").want("NOT SENT: train entering section, 2P41, Mossend (6 min)")
	if first := r.desk.model.first(); !strings.HasPrefix(first, "2P41 entering section, to Mossend") {
		t.Errorf("Enter writes %q", first)
	}
	if r.press("Enter"); strings.Contains(r.text(), "NOT SENT") {
		t.Errorf("it was sent:\n%s", r.text())
	}
}

// Where a train cannot arrive at the place it is booked for, the one offered says so.
func TestAnotherPlaceThanBookedIsSaid(t *testing.T) {
	r := newDemoRig(t, 120, 40)
	r.log("10:39 Saltgarth <1 >1 <3-1 >3-1 train 2A19", "10:40 Saltgarth <2 >2").at("10:44").want("2A19 arrived at Down Main at home complete, booked for Platform 2")
}
