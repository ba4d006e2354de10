package tui

import (
	"strings"
	"testing"
	"time"
)

// Where the window has no room for the diagram, a train that stands here is told with its
// place: the lines alone read as if nothing were here.
func TestTrainsHereWithoutDiagram(t *testing.T) {
	r := newRig(t, "fourtrack.yaml", 80, 24, Options{})
	r.at("10:00").log(duty...).log(`Saltgarth <1 >1 <4 >4 train 1D01 line "Down Slow"`, `Saltgarth <2 >2 train 1D01 line "Down Slow"`)
	for range 3 { // dangers: notices that leave the diagram no room
		r.log(`obstruct "Up Fast" Saltgarth "wagon foul of the line, the crew walks back to protect it, told by telephone"`)
		r.log(`obstruct "Up Slow" Saltgarth "wagon foul of the line, the crew walks back to protect it, told by telephone"`)
	}
	r.at("10:06").log(`train 1D01 arrived at "Platform 2" complete`, `Saltgarth >1 <1 >2-1 <2-1 train 1D01 line "Down Slow"`)
	if strings.Contains(r.text(), "│") {
		t.Fatalf("the diagram is drawn, and this test tells nothing:\n%s", r.text())
	}
	r.want("Here  1D01 at Platform 2")
	if r.resize(120, 40); strings.Contains(r.text(), "Here  1D01") {
		t.Errorf("told twice:\n%s", r.text())
	}
}

// What is late is told on a page too, where the line is out of sight; and a sheet or a list
// does not go on saying by when a thing was due.
func TestLateIsToldOnEveryPage(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.at("09:50").log(duty...).log("09:55 Saltgarth <1 >1 <4 >4 train 1D01", "09:56 Saltgarth <2 >2 train 1D01").at("10:00")
	for _, key := range []string{"r", "f", "d", "h", "n", "c", "s", "?", "k"} {
		if r.press(key); strings.Contains(r.text(), "LATE since") {
			t.Errorf("late before it is, on %s:\n%s", key, r.text())
		}
		r.press("Esc", "Esc")
	}
	r.at("10:40")
	for _, key := range []string{"r", "f", "d", "h", "n", "c", "s", "?", "k"} {
		r.press(key)
		if row := strings.Split(r.text(), "\n")[1]; !strings.Contains(row, "LATE since") || !strings.Contains(row, "1D01, Saltgarth") {
			t.Errorf("not told on %s:\n%s", key, r.text())
		}
		r.press("Esc", "Esc")
	}
	r.press("h").want("LATE since 10:10: train due out of the section, 1D01, Saltgarth")
	r.press("Esc", "d").want("LATE, was due out by 10:10")
}

// A time of yesterday says so.
func TestLateSinceYesterday(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.at("23:40").log(duty...).log("23:40 Saltgarth <1 >1 <4 >4 train 1D01", "23:41 Saltgarth <2 >2 train 1D01")
	r.at("23:58").want("LATE since 23:55: train due")
	r.now = r.now.Add(10 * time.Minute)
	r.tick()
	r.desk.refresh()
	r.app.ForceDraw()
	r.want("LATE since 23:55 Tue 5 May: train due")
}

// Nothing reads as normal while nobody here is told of trains.
func TestSwitchedOutIsNotNormal(t *testing.T) {
	for _, how := range []string{"switched out", "closed"} {
		r := newRig(t, "absolute.yaml", 80, 24, Options{})
		r.at("10:00").log(duty...).log("box " + how).want("BOX " + strings.ToUpper(how)).want("NOT WATCHED")
		if strings.Contains(r.text(), "normal") {
			t.Errorf("a line is normal while the box is %s:\n%s", how, r.text())
		}
	}
}

// A crossing that the box does not have is no place, and is not added as one.
func TestUnknownCrossingIsNoPlace(t *testing.T) {
	r := newRig(t, "twocrossings.yaml", 80, 24, Options{})
	r.at("10:00").log(duty...)
	r.press("e", `crossing "Old Lane" obstructed`, "Enter").want(`There is no level crossing "Old Lane" here.`)
	if strings.Contains(r.text(), "add it to the box") {
		t.Errorf("to be added as what it is not:\n%s", r.text())
	}
}

// A time that the clocks never showed is told as that; the hour that they showed twice is
// taken as the desk writes it.
func TestTimesOfTheClockChange(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.now = time.Date(2026, 3, 29, 2, 10, 0, 0, london(t))
	r.desk.refresh()
	r.press("t", "01:30", "Enter").want("The clocks never showed 2026-03-29 01:30: they went forward from 01:00 to 02:00")
	r = newRig(t, "box.yaml", 80, 24, Options{})
	r.now = time.Date(2026, 10, 25, 2, 10, 0, 0, london(t))
	r.desk.refresh()
	r.press("t", "01:30*", "Enter").want("NEXT ENTRY AT 01:30*, 40 min ago")
	r = newRig(t, "box.yaml", 80, 24, Options{})
	r.now = time.Date(2026, 10, 25, 1, 20, 0, 0, time.UTC).In(london(t)) // 01:30 was, and comes again
	r.desk.refresh()
	r.press("t", "01:30*", "Enter").want("A clock time of the past")
}

// Tab names first who can sign on, not who is on duty.
func TestTabNamesTheRelief(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.at("10:00").log(duty...).press("h", "s", "Tab").want(": R. Howe")
}
