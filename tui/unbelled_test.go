package tui

import (
	"strings"
	"testing"
)

// A train that comes with the pilot is known to nobody before: its name is asked, and is
// wanted, then its tail lamp; what was only put for the name is never written. Each step
// from there, and the pilot's going, costs one key beside what is asked.
func TestWorkedByPilot(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.at("09:50").log(duty...).at("10:00").log(`10:00 Coldbeck working by pilot "T. Hale" "instrument failed"`).at("10:05")
	n := len(r.lines())
	r.pick("a train arrived from Coldbeck").press("Enter").want("The train's name is wanted")
	if len(r.lines()) != n {
		t.Fatalf("written without its name: %s", r.last())
	}
	r.press("2A12", "Enter").want("TAIL LAMP OF 2A12?").press("c").want("PILOT, T. Hale (here): instrument failed")
	if want := `10:05 train 2A12 arrived at "Platform 2" from Coldbeck complete "T. Hale riding"`; r.last() != want {
		t.Fatalf("wrote %q, want %q", r.last(), want)
	}
	r.log("10:06 train 2R15 moved to Yard").at("10:10").pick("2R15 departed for Coldbeck, T. Hale riding").want("(gone to the other end)")
	r.at("10:22").pick("2R15 out of section, from Coldbeck")
	if want := "10:22 Coldbeck <arrived train 2R15"; r.last() != want {
		t.Errorf("wrote %q, want %q", r.last(), want)
	}
	for _, e := range r.book.Recent() {
		if len(e.Findings) > 0 {
			t.Errorf("%s: found %s", e.Line, e.Findings[0].Rule)
		}
	}
}

// A train that fails in a token section, and the engine that brings it back, cost one key a
// step: its driver told, it goes, both come back, the token in, out of section.
func TestFetchedFromTheSection(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(duty...).at("10:00").log("10:00 train 2R15 moved to Yard", "10:00 Coldbeck >1 <1 >3-1 <3-1 train 2R15", "10:01 Coldbeck token 3 out",
		"10:02 train 2R15 departed for Coldbeck", "10:02 Coldbeck >2 <2", "10:20 train 0E09 moved to Yard", "10:20 train 0E09 assists 2R15 returns")
	for _, s := range []struct {
		at, pick string
		then     string
		shows    string
	}{
		{"10:21", "0E09 told that 2R15 stands in the section", "", ""},
		{"10:22", "0E09 departed for Coldbeck, to assist 2R15", "", "2R15 going, 0E09 helps TOKEN 3 OUT"},
		{"10:40", "2R15 arrived from Coldbeck at Platform 2", "c", "2R15 back"},
		{"10:40", "0E09 back from assisting", "", ""},
		{"10:41", "token 3 in, Coldbeck, 2R15 came back", "", ""},
		{"10:41", "2R15 came back: out of section, to Coldbeck", "", ""},
	} {
		r.at(s.at).pick(s.pick)
		if s.then != "" {
			r.press(s.then)
		}
		r.want(s.shows)
		if late := strings.Contains(r.text(), "train due out of the section, 2R15"); late != (s.at == "10:22") { // due by 10:21; nothing of it comes any more once it is back
			t.Errorf("at %s it is told as late %v:\n%s", s.at, late, r.text())
		}
	}
	for _, l := range r.desk.model.state.Lines {
		if l.Phase != 0 {
			t.Errorf("a line is left %s", l.Phase)
		}
	}
	r.press("h").want("0E09: here").want("2R15: at Platform 2")
}
