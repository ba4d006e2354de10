package tui

import (
	"fmt"
	"testing"
)

// work is a step at the desk: at a time, what is picked of the expected list,
// what is pressed then.
type work struct {
	at, pick string
	then     []string
}

func (r *rig) work(steps ...work) *rig {
	r.t.Helper()
	for _, s := range steps {
		r.at(s.at)
		if s.pick != "" {
			r.pick(s.pick)
		}
		r.press(s.then...)
		if m := &r.desk.model; m.mode != modeDesk {
			r.t.Fatalf("%s %s: in mode %s:\n%s", s.at, s.pick, m.mode, r.text())
		}
	}
	return r
}

var signedOn = work{"09:55", "", []string{"u", "1", "Enter", "e", "clock right", "Enter"}}

// turns are the moments of a turn that a signaller meets every day, each come to
// by keys alone.
var turns = []struct {
	name, box string
	do        func(r *rig)
}{
	{"turn-through", "absolute.yaml", func(r *rig) {
		r.work(signedOn, work{"10:00", "from Saltgarth", []string{"31 1M44", "Enter"}}, work{"10:03", "entering section, from Saltgarth", nil},
			work{"10:03", "offer 1M44", nil}, work{"10:07", "1M44 passed complete", []string{"c"}}, work{"10:07", "entering section, to Coldbeck", nil})
	}},
	{"turn-crossing", "box.yaml", func(r *rig) {
		r.work(signedOn, work{"10:00", "from Coldbeck", []string{"31 2A12", "Enter"}}, work{"10:01", "from Saltgarth", []string{"31 2R15", "Enter"}},
			work{"10:02", "2A12 entering section, from Coldbeck", nil}, work{"10:04", "2R15 entering section, from Saltgarth", nil},
			work{"10:09", "2R15 arrived", []string{"c"}}, work{"10:09", "2R15 out of section, to Saltgarth", nil},
			work{"10:12", "2A12 arrived", []string{"c"}}, work{"10:13", "token in", []string{"7", "Enter"}},
			work{"10:13", "2A12 out of section, to Coldbeck", nil}, work{"10:14", "offer 2R15", nil}, work{"10:14", "token", []string{"Enter"}})
	}},
	{"turn-six", "six.yaml", func(r *rig) {
		r.work(signedOn).log("10:00 Oxenrigg <1 >1 <4 >4 train 1A05", "10:01 Brockholm <1 >1 <3-1 >3-1 train 2P07", "10:03 Brockholm <2 >2",
			`10:01 "Carrow Sidings East" <1 >1 <3-2 >3-2`, `10:02 "Tarn Foot" >1 <1 >3-1 <3-1 train 2A12`, `10:03 "Tarn Foot" token 4 out`,
			`10:03 "Quarry Head" staff here`, `10:04 reminder on "Lever 5" "crane in the yard"`, `10:04 failure "Mill Lane Crossing" "gate will not lock"`,
			`10:04 blockage "Down Main" towards Oxenrigg "J. Wray"`).at("10:05").press("e", "note \"x\"", "Enter")
	}},
	{"turn-shunted", "box.yaml", func(r *rig) {
		r.work(signedOn, work{"10:00", "from Saltgarth", []string{"41 6K20", "Enter"}}, work{"10:03", "6K20 entering", nil},
			work{"10:09", "6K20 arrived", []string{"c"}}, work{"10:10", "6K20 out of section", nil},
			work{"10:14", "", []string{"m", "3"}})
	}},
	{"turn-refused", "box.yaml", func(r *rig) {
		r.work(signedOn, work{"10:05", "from Saltgarth", []string{"31 2R17", "Tab", "Enter"}})
	}},
	{"turn-accepted", "box.yaml", func(r *rig) {
		r.work(signedOn, work{"10:05", "from Saltgarth", []string{"31 2R17", "Tab", "Enter"}}, work{"10:09", "accept: answer", nil})
	}},
	{"turn-lamp", "absolute.yaml", func(r *rig) {
		r.work(signedOn, work{"10:00", "from Saltgarth", []string{"31 1M44", "Enter"}}, work{"10:03", "entering section, from Saltgarth", nil},
			work{"10:03", "offer 1M44", nil}, work{"10:07", "1M44 passed complete", []string{"n"}})
	}},
	{"turn-handover", "box.yaml", func(r *rig) {
		r.logAt(live...).at("10:00").press("h", "Enter", "x", "which siding", "Enter")
	}},
	{"turn-relief", "box.yaml", func(r *rig) { r.logAt(live...).at("10:00").press("h", "Enter", "Enter", "s") }},
	{"turn-signed-on", "box.yaml", func(r *rig) {
		r.logAt(live...).at("10:00").press("h", "Enter", "Enter", "Enter", "s", "2", "Enter")
	}},
	{"turn-correction", "box.yaml", func(r *rig) {
		r.work(signedOn, work{"10:00", "from Saltgarth", []string{"31 2R15", "Enter"}}).at("10:02").
			press("r", "c", "Backspace", "7", "Enter")
	}},
}

// demoMoments are screens of the demo day, which has a timetable.
var demoMoments = []struct {
	name string
	do   func(r *rig)
}{
	{"demo-desk", func(r *rig) { r.at("10:44") }},
	{"demo-trains", func(r *rig) { r.at("11:24").press("n") }},
	{"demo-handover", func(r *rig) { r.at("10:44").press("h", "Enter") }},
	{"demo-years", func(r *rig) { r.at("10:44").press("r", "s", "6k17", "Enter", "Down") }},
}

func TestDemoScreens(t *testing.T) {
	for _, m := range demoMoments {
		r := newDemoRig(t, 80, 24)
		m.do(r)
		for _, size := range [][2]int{{80, 24}, {100, 30}, {120, 40}} {
			r.resize(size[0], size[1])
			golden(t, fmt.Sprintf("%s-%dx%d.screen", m.name, size[0], size[1]), r.text())
		}
	}
}

// TestTurns compares each moment at three sizes with what was looked at and
// found right.
func TestTurns(t *testing.T) {
	for _, m := range turns {
		r := newRig(t, m.box, 80, 24, Options{})
		m.do(r)
		for _, size := range [][2]int{{80, 24}, {100, 30}, {120, 40}} {
			r.resize(size[0], size[1])
			golden(t, fmt.Sprintf("%s-%dx%d.screen", m.name, size[0], size[1]), r.text())
		}
	}
}
