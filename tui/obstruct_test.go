package tui

import (
	"strings"
	"testing"
)

// Where trains come in on two lines of one section, the signal names the line that was chosen.
func TestObstructionDangerNamesItsLine(t *testing.T) {
	r := newRig(t, "fourtrack.yaml", 80, 24, Options{})
	r.log(duty...).at("10:02").press("o")
	n := ""
	for i, d := range r.desk.model.dangers() {
		if d.line.Line.Name == "Down Slow" {
			n = itoa(i + 1)
		}
	}
	r.press(n)
	if want := `10:02 Saltgarth >6 line "Down Slow"`; r.last() != want {
		t.Errorf("wrote %q, want %q", r.last(), want)
	}
}

// In a box with six neighbours the whole question stands on the smallest screen.
func TestObstructionDangerOnSmallScreen(t *testing.T) {
	r := newRig(t, "six.yaml", 80, 24, Options{})
	r.log(duty...).log("09:55 Oxenrigg <1 >1 <4 >4 train 1A05").at("10:02").press("o").want("6 Quarry Head, Quarry line  sends 6").want("the box there").want("sends it to you.")
}

// Where no bell tells it, the same two keys book the obstruction and the words said.
func TestObstructionDangerByTelephone(t *testing.T) {
	r := newRig(t, "axle.yaml", 80, 24, Options{})
	r.log(duty...).at("10:02").press("o").want("by telephone").press("1")
	state := r.at("10:30").book.State()
	if len(state.Pending) > 0 {
		t.Errorf("still due: %v", state.Pending)
	}
	if len(state.Obstructions) != 1 || !strings.HasPrefix(r.last(), "10:02 message to ") {
		t.Errorf("wrote %q, obstructions %v", r.last(), state.Obstructions)
	}
}

// A train that has line clear does not enter a section that is obstructed meanwhile:
// Enter writes something else, and its entry asks first.
func TestObstructedSectionIsNotEnteredNext(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(duty...).log("09:58 Coldbeck >1 <1 >3-2 <3-2 train 6K17").at("10:02").press("o", "1").pick("Coldbeck answers 6")
	asked := ""
	for i, l := range r.desk.model.listed {
		if strings.HasPrefix(l.Label, "6K17 entering section") {
			if asked = l.Clears; i == 0 {
				t.Errorf("Enter writes %s", l.Label)
			}
		}
	}
	if !strings.Contains(asked, "passed your signals") {
		t.Errorf("it asks %q", asked)
	}
}
