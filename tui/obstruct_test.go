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
