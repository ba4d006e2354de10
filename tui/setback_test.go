package tui

import (
	"strings"
	"testing"
)

// An entry set back before what its own train did first is asked about before it is
// written, by a key and as a line; one that is only late is not.
func TestSetBackBeforeItsTrain(t *testing.T) {
	r := newRig(t, "absolute.yaml", 80, 24, Options{})
	r.log(duty...).at("10:00").log("10:00 Saltgarth <1 >1 <3-1 >3-1 train 1M44").at("10:03")
	n := len(r.lines())
	r.press("-", "-", "-", "-", "-").press(itoa(r.numberOf("offer 1M44"))).want("SURE?").want("1M44 is booked as accepted at 10:00").want("at 09:58").press("n")
	if len(r.lines()) != n {
		t.Fatalf("written unasked: %s", r.last())
	}
	r.press("e", "09:58 Coldbeck >1 <1 >3-1 <3-1 train 1M44", "Enter").want("1M44 is booked as accepted at 10:00").press("Esc")
	if len(r.lines()) != n {
		t.Fatalf("written unasked: %s", r.last())
	}
	r.press("-", "-").pick("offer 1M44")
	if len(r.lines()) != n+1 || !strings.HasPrefix(r.last(), "10:01 Coldbeck") {
		t.Errorf("only late, and not written: %s\n%s", r.last(), r.text())
	}
	r.press("-", "-", "-", "-", "-").press(itoa(r.numberOf("1M44 entering section, from Saltgarth"))).want("SURE?").press("y").want("STOP: NOT WRITTEN YET").press("w")
	if !strings.HasPrefix(r.last(), "09:58 Saltgarth <2") {
		t.Errorf("it was so, and is not written: %s", r.last())
	}
}

// A train that has only just entered the section towards us cannot be going on yet: what
// Enter stands on is never a train entering ahead that is still out on the line.
func TestNotAheadOfItsTrain(t *testing.T) {
	r := newRig(t, "absolute.yaml", 80, 24, Options{})
	r.log(duty...).at("10:00").log("10:00 Saltgarth <1 >1 <3-1 >3-1 train 1M44", "10:00 Saltgarth <2 >2 train 1M44", "10:00 Coldbeck >1 <1 >3-1 <3-1 train 1M44")
	listed := func() bool {
		for _, x := range r.desk.model.listed {
			if strings.Contains(x.Label, "entering section, to Coldbeck") {
				return true
			}
		}
		return false
	}
	if listed() {
		t.Errorf("it is not here yet:\n%s", r.text())
	}
	if r.at("10:03"); !listed() {
		t.Errorf("it may be here:\n%s", r.text())
	}
}
