package tui

import "testing"

// Of two lines the same way each has a row of its own, which says which it is, and a train is
// first offered on over the line it comes on.
func TestEachOfFourLinesHasItsRow(t *testing.T) {
	r := newRig(t, "fourtrack.yaml", 120, 40, Options{})
	r.at("10:00").log(duty...)
	r.rowOf("accept 4 from Saltgarth, Down Fast")
	r.pick("accept 4 from Saltgarth, Down Slow").press("1D01", "Enter")
	if want := `10:00 Saltgarth <1 >1 <4 >4 train 1D01 line "Down Slow"`; r.last() != want {
		t.Errorf("wrote %q, want %q", r.last(), want)
	}
	r = newRig(t, "eight.yaml", 120, 40, Options{})
	r.at("10:00").log(duty...).log(`Ash <1 >1 <4 >4 train 1D01 line "Down Slow"`, `Ash <2 >2 train 1D01 line "Down Slow"`).at("10:02")
	r.rowOf("offer 1D01 (4) to Beech, Down Fast")
	if r.press("Enter"); r.last() != `10:02 Beech >1 <1 >4 <4 train 1D01 line "Down Slow"` {
		t.Errorf("wrote %q", r.last())
	}
}

// A train is offered on by a key also where consent has its private number, which is asked.
func TestOfferOnWithPrivateNumber(t *testing.T) {
	r := newRig(t, "tokenless.yaml", 80, 24, Options{})
	r.at("10:00").log(duty...).log("Coldbeck <1 >1 <2 >2 train 2P01 pn 41").at("10:03").log("Coldbeck <1 >1 <3 >3 train 2P01")
	r.at("10:10").log(`train 2P01 arrived at "Line 1" complete`, "Coldbeck >1 <1 >4 <4 train 2P01")
	r.pick("offer 2P01 (2) to Saltgarth")
	if r.want("private number").press("43", "Enter"); r.last() != "10:10 Saltgarth >1 <1 >2 <2 train 2P01 pn 43" {
		t.Errorf("wrote %q\n%s", r.last(), r.text())
	}
}
