package tui

import (
	"strings"
	"testing"
)

// Why a train offered cannot be given line clear is said, as long as it waits for that.
func TestAcceptanceSaysWhatItWaitsFor(t *testing.T) {
	r := newRig(t, "keeper.yaml", 80, 24, Options{})
	r.at("10:00").log(duty...)
	if strings.Contains(r.text(), "WAITS FOR") {
		t.Errorf("nothing is offered:\n%s", r.text())
	}
	r.log("Ash <1 >1 <4 train 1D01").want("NOT ACCEPTED").want("accept: answer 4 to Ash WAITS FOR")
	r.want("LC 21").log(`crossing "LC 21" told train 1D01 pn 14`).want("WAITS FOR")
	r.log(`crossing "LC 21" closed train 1D01 pn 37`).rowOf("accept: answer 4 to Ash")
	if strings.Contains(r.text(), "WAITS FOR") {
		t.Errorf("it waits for nothing:\n%s", r.text())
	}
}
