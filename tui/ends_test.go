package tui

import (
	"strings"
	"testing"
)

// TestEndsHere: a train that goes no further is written off in one entry that the desk offers
// once its section is given out: asked about on a running line, at once in a siding; with it goes
// all that was expected of it, and it stands on the picture no more.
func TestEndsHere(t *testing.T) {
	for _, c := range []struct {
		place string
		asked bool
	}{{"Platform 1", true}, {"Yard", false}} {
		r := newRig(t, "box.yaml", 120, 40, Options{})
		r.book.Box().PlaceNamed("Yard").Siding = true
		r.at("09:50").log(duty...).log("09:50 Saltgarth <1 >1 <3-1 >3-1 train 2A12", "09:53 Saltgarth <2 >2")
		if r.at("09:58").log("09:58 train 2A12 arrived at \"Platform 1\" complete"); strings.Contains(r.text(), "put away") {
			t.Errorf("offered before out of section:\n%s", r.text())
		}
		r.at("09:59").log("09:59 Saltgarth >1 <1 >2-1 <2-1")
		if c.place != "Platform 1" {
			r.log("09:59 train 2A12 moved to " + c.place)
		}
		before := len(r.lines())
		n := itoa(r.at("10:02").numberOf("2A12 put away"))
		if strings.Contains(r.desk.model.first(), "put away") {
			t.Errorf("Enter writes %q", r.desk.model.first())
		}
		if at := r.desk.model.listed; !strings.HasPrefix(at[0].Label, "offer 2A12") || !strings.HasPrefix(at[1].Label, "accept") {
			t.Errorf("first are %q and %q: no regular next thing", at[0].Label, at[1].Label)
		}
		r.press(n)
		if c.asked {
			r.want("SURE? 2A12 put away").want("2A12 stands here at Platform 1").press("y")
		}
		if r.wrote(before + 1); r.last() != "10:02 train 2A12 put away" {
			t.Errorf("wrote %q", r.last())
		}
		if shown := rowsText(nextRowsFlat(&r.desk.model)); strings.Contains(shown, "2A12") || len(r.book.State().Trains) != 0 {
			t.Errorf("still expected:\n%s", shown)
		}
	}
}

func nextRowsFlat(m *model) (out []row) {
	for _, x := range nextRows(m, 120) {
		out = append(out, x...)
	}
	return out
}
