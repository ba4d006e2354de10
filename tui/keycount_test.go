package tui

import (
	"fmt"
	"strings"
	"testing"
)

// task is something a signaller does often, or in haste, and what it may cost him. What
// is typed of names, and of beats that are no guess, is counted too.
type task struct {
	name, box string
	before    []string // in the book already
	do        func(r *rig)
	keys      func(r *rig) int // that it may take
	shown     func(r *rig) bool
}

func atMost(n int) func(*rig) int { return func(*rig) int { return n } }

var duty = []string{`09:50 duty on "A. Fell"`, "09:50 clock right"}

var jobs = []task{
	{"through train, absolute block: one a bell exchange, its name and lamp", "absolute.yaml", duty, func(r *rig) {
		for _, p := range passage {
			if p.pick == "accept" {
				r.at(p.at).pick("from Saltgarth").press("1M44", "Enter")
				continue
			}
			if r.at(p.at).pick(p.pick); p.then != "" {
				r.press(p.then)
			}
		}
	}, func(r *rig) int { return 6 + len("1M44") + 1 + 2 }, func(r *rig) bool { return len(r.book.State().Trains) == 0 }},
	{"a train accepted is cancelled", "absolute.yaml", append(duty, "09:55 Saltgarth <1 >1 <3-1 >3-1 train 0Z01"), func(r *rig) {
		r.at("10:00").press("b", "35", "<", "Enter")
	}, atMost(8), func(r *rig) bool { return r.book.State().Lines[2].Phase.String() == "normal" }},
	{"refused, then offered again and accepted, its name typed", "absolute.yaml", duty, func(r *rig) {
		r.at("10:00").pick("from Saltgarth").press("Tab", "6K30", "Enter")
		r.at("10:04").pick("offered again").press()
	}, atMost(10), func(r *rig) bool { return strings.HasSuffix(r.last(), "train 6K30") && len(r.book.State().Trains) == 1 }},
	{"late entry, of minutes ago", "absolute.yaml", append(duty, "09:55 Saltgarth <1 >1 <3-1 >3-1 train 1M44"), func(r *rig) {
		r.at("10:03").press("t", "58", "Enter").pick("entering section, from Saltgarth")
	}, atMost(6), func(r *rig) bool { return strings.HasPrefix(r.last(), "09:58 Saltgarth <2 >2") }},
	{"undo", "box.yaml", append(duty, "09:55 Saltgarth <1 >1 <3-1 >3-1 train 1M44"), func(r *rig) {
		r.at("10:00").press("z", "1")
	}, atMost(3), func(r *rig) bool { return strings.Contains(r.last(), "entered in error") }},
	{"obstruction danger, from sight to sent", "box.yaml", duty, func(r *rig) {
		r.at("10:00").press("o", "2")
	}, atMost(4), func(r *rig) bool { return r.last() == "10:00 Saltgarth >6" }},
	{"obstruction danger answered", "box.yaml", append(duty, "09:55 Saltgarth >6"), func(r *rig) {
		r.at("09:56").press("Enter")
	}, atMost(1), func(r *rig) bool { return r.last() == "09:56 Saltgarth <6" }},
	{"obstruction removed", "box.yaml", append(duty, "09:55 Saltgarth >6 <6"), func(r *rig) {
		r.at("10:00").pick("obstruction removed")
	}, atMost(2), func(r *rig) bool { return r.book.State().Lines[2].Phase.String() == "normal" }},
	{"crossing call: asked, may cross, clear", "crossings.yaml", append(duty, `09:51 crossing "Mill Lane" asked "car" for 2`, `09:51 crossing "Mill Lane" may cross`, `09:54 crossing "Mill Lane" clear`), func(r *rig) {
		r.at("10:00").pick("the user asks to cross").press("Enter").pick("may cross").at("10:02").pick("clear, car")
	}, atMost(4), func(r *rig) bool { return r.last() == `10:02 crossing "Mill Lane" clear` }},
	{"handover: one a live item, and three", "box.yaml", append(duty, "09:55 Coldbeck >1 <1 >3-1 <3-1 train 1M44", "09:55 Coldbeck token 3 out", `09:55 reminder on "Lever 5" "x"`), func(r *rig) {
		r.at("10:00").press("h")
		live, _, _ := r.desk.model.counted()
		for range live {
			r.press("Enter")
		}
		r.press("s").want("Enter: R. Howe").press("Enter")
	}, func(r *rig) int {
		n := 0
		for _, l := range r.lines() {
			if strings.Contains(l, " carried ") {
				n++
			}
		}
		return n + 3
	}, func(r *rig) bool {
		return strings.HasSuffix(r.last(), `duty off "A. Fell"`) && len(r.book.State().Uncarried) == 0
	}},
}

// TestKeyCounts prints what each job costs in keys, and fails beyond what it may cost,
// or when the job was not done, or something was found against it.
func TestKeyCounts(t *testing.T) {
	table := "\n"
	for _, j := range jobs {
		r := newRig(t, j.box, 80, 24, Options{})
		r.at("09:55").log(j.before...)
		r.at("10:00").keys = 0
		j.do(r)
		n, most := r.keys, j.keys(r)
		table += fmt.Sprintf("%3d of at most %2d keys  %s\n", n, most, j.name)
		if n > most {
			t.Errorf("%s: %d keys, %d are allowed", j.name, n, most)
		}
		if !j.shown(r) {
			t.Errorf("%s: not done; last in the book %q\n%s", j.name, r.last(), r.text())
		}
		for _, e := range r.book.Recent()[len(j.before):] {
			if len(e.Findings) > 0 && !strings.Contains(e.Line, "written") {
				t.Errorf("%s: %s: found %s", j.name, e.Line, e.Findings[0].Rule)
			}
		}
	}
	t.Log(table)
}
