package tui

import (
	"strings"
	"testing"
)

// The pad takes beats and an arrow, which put the whole exchange there with call
// attention; signals one by one as in the notation; and writes on Enter alone.
func TestBeatsPad(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(`10:00 duty on "A. Fell"`, "10:00 clock right")
	n := len(r.lines())
	for _, c := range []struct {
		keys []string
		want string
	}{
		{[]string{"16", "<"}, "Coldbeck <1 >1 <16 >16"},
		{[]string{"Tab", "1", ">"}, "Saltgarth >1"},
		{[]string{"<3-2"}, "Coldbeck <3-2"},
		{[]string{"<1 >1 <3-2 >3-2"}, "Coldbeck <1 >1 <3-2 >3-2"},
		{[]string{"<1>1<32"}, "Coldbeck <1 >1 <3-2"},
		{[]string{"<1 >1"}, "Coldbeck <1 >1"},
		{[]string{"35", "<"}, "Coldbeck <3-5 >3-5"},
		{[]string{"6", ">"}, "Coldbeck >6"},
		{[]string{"31", "<", "9X01"}, "Coldbeck <1 >1 <3-1 >3-1 train 9X01"},
		{[]string{"<3-1 2Bé"}, "Coldbeck <3-1 train 2Bé"},
	} {
		r.press("Esc", "b").desk.model.section = 0
		r.press(c.keys...)
		if len(r.lines()) != n {
			t.Fatalf("%q wrote %q before Enter", c.keys, r.last())
		}
		r.want("writes").press("Enter")
		if r.desk.model.mode == modeStop {
			r.press("w")
		}
		n++
		if r.last() != "10:00 "+c.want {
			t.Errorf("%q wrote %q, want %q", c.keys, r.last(), c.want)
		}
	}
	r.press("b", "31", ">").want("its name may follow").press("9X01 31", "Enter").want("9X01: < received or > sent?").press("Esc")
	r.press("b", "2", ">", "9X02", "Enter").want(`no train "9X02" here`).press("Esc") // what is no offer is about a train that is here
	r.press("b", "3--1", "<", "Enter").want("Not written").press("Esc", "b", "x").want("Beats are digits").press("35", "Enter").want("received or").press("Esc")
	if len(r.lines()) != n {
		t.Errorf("something was written: %s", r.last())
	}
	const refused = "Refused: Backspace over >3-1"
	if r.press("b", "31", ">"); strings.Contains(r.text(), refused) {
		t.Error("an offer of ours is not ours to refuse")
	}
	r.press("Esc", "b", "31", "<").want(refused).press("Backspace", "Enter")
	if want := "10:00 Coldbeck <1 >1 <3-1"; r.last() != want {
		t.Errorf("wrote %q, want %q", r.last(), want)
	}
}

// A bell signal is found among the kinds of entry by its words, and goes to the pad.
func TestBellsAmongTheKinds(t *testing.T) {
	r := newRig(t, "absolute.yaml", 80, 24, Options{})
	r.log(twoComing[:2]...).log("10:01 Saltgarth <1 >1 <3-1 >3-1 train 0Z01").at("10:02").press("k", "cancel").want("Bell signals, Saltgarth").press("Enter", "<", "Enter")
	if want := "10:02 Saltgarth <1 >1 <3-5 >3-5"; r.last() != want {
		t.Errorf("wrote %q, want %q", r.last(), want)
	}
}

// The pad opens at the box whose bell waits, and puts there the answer alone.
func TestPadStartsWhereTheBellWaits(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(twoComing[:2]...).log("10:01 Saltgarth <1 >1 <3-1 train 1M44").press("b").want("BELL: SALTGARTH").press("31", ">").want(" writes  10:00 Saltgarth >3-1").press("Enter")
	r.at("10:02").press("b").want("BELL: SALTGARTH").press("Esc").log("10:02 Coldbeck <1 >1 <3-1").at("10:03").press("b").want("BELL: COLDBECK")
	r.press("Esc").log("10:03 Saltgarth <1 >1").press("b").want("BELL: COLDBECK")                                               // it waits still
	r.press("Esc").log("10:04 Coldbeck >3-1", "10:04 Saltgarth <2 >2 train 1M44").at("10:05").press("b").want("BELL: COLDBECK") // his train is the next to be belled
}

// A train offered stands without its answer, ours as well as a neighbour's; then it
// is no bell to be answered, and is offered again under a key.
func TestOfferNotAccepted(t *testing.T) {
	r := newRig(t, "absolute.yaml", 120, 40, Options{})
	r.log(twoComing[:2]...).at("10:02").pick("from Saltgarth").press("31 2P07", "Tab").want("NOT ACCEPTED").press("Enter")
	if want := "10:02 Saltgarth <1 >1 <3-1 train 2P07"; r.last() != want {
		t.Fatalf("wrote %q, want %q", r.last(), want)
	}
	r.at("10:03").want("2P07 (3-1) from Saltgarth NOT ACCEPTED").at("10:05").pick("offered again: accept 2P07 (3-1) from Saltgarth")
	if want := "10:05 Saltgarth <1 >1 <3-1 >3-1 train 2P07"; r.last() != want {
		t.Fatalf("wrote %q, want %q", r.last(), want)
	}
	r.at("10:06").press("a").pick("offer 2P07").press("Tab").want("NOT ACCEPTED").press("Enter")
	if want := "10:06 Coldbeck >1 <1 >3-1 train 2P07"; r.last() != want {
		t.Fatalf("wrote %q, want %q", r.last(), want)
	}
	r.at("10:08").pick("offer 2P07 (3-1) to Coldbeck again")
	if want := "10:08 Coldbeck >1 <1 >3-1 <3-1 train 2P07"; r.last() != want {
		t.Errorf("wrote %q, want %q", r.last(), want)
	}
}

// The pad opens where attention was called, and never at a box that is spoken with alone.
func TestThePadOpensWhereABellIs(t *testing.T) {
	r := newRig(t, "junction.yaml", 80, 24, Options{})
	r.log(duty...).log("09:55 Mossend <1 >1").at("09:56").press("b").want("BELL: MOSSEND")
	r.press("Tab").want("BELL: HALLOW ROAD").press("Tab").want("BELL: MOSSEND").press("Esc")
	r.log(`09:56 "Hallow Road" <1 >1 <3-1`).press("b").want("BELL: HALLOW ROAD").press("Esc")
	r.log(`09:57 "Hallow Road" >3-1 train 2P41`, `09:58 Mossend working by message "bells failed"`).at("09:59").press("b").want("BELL: HALLOW ROAD").press("Tab").want("BELL: HALLOW ROAD")
}
