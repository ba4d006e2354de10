package tui

import (
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
