package tui

import (
	"testing"

	"github.com/gdamore/tcell/v2"
)

// Each question says in words what it is about and which keys answer it, and each alarm
// stands in capitals: with no colour at all, and in the look of reverse alone.
func TestQuestionsAndAlarmsAreReadWithoutColour(t *testing.T) {
	going := []string{`09:50 duty on "A. Fell"`, "09:50 clock right", "09:51 Coldbeck <1 >1 <3-1 >3-1 train 2A12", "09:55 Coldbeck <2 >2 train 2A12"}
	for _, c := range []struct {
		name, box string
		log       []string
		do        func(r *rig)
		wants     []string
	}{
		{"sure", "box.yaml", going, func(r *rig) { r.press(itoa(r.numberOf("went back"))) }, []string{"SURE? 2A12 went back to Coldbeck", "y yes, it is so", "n no, write nothing"}},
		{"lamp", "box.yaml", going, func(r *rig) { r.press(itoa(r.numberOf("2A12 arrived"))) }, []string{"TAIL LAMP OF 2A12?", "c seen, complete", "n NONE", "o carried, but OUT"}},
		{"danger", "box.yaml", going, func(r *rig) { r.press("o") }, []string{"OBSTRUCTION DANGER: SEND IT NOW", "1 Coldbeck, Single"}},
		{"undo", "box.yaml", going, func(r *rig) { r.press("z") }, []string{"STRIKE OUT ENTRY 4", "1 wrong key", "t type it"}},
		{"stop", "box.yaml", going, func(r *rig) { r.press("e", "Coldbeck <1 >1 <3-1 >3-1 train 2A14", "Enter") }, []string{"STOP: NOT WRITTEN YET", "w write it, it happened", "d drop it, not done yet"}},
		{"adding", "box.yaml", going, func(r *rig) { r.press("e", `duty on "B. Newman"`, "Enter", "Tab") }, []string{`new person "B. Newman" signaller`, "Enter adds this to box.yaml; Esc goes back"}},
		{"which way", "six.yaml", append(duty, arrived2A09...), func(r *rig) { r.press(itoa(r.rowOf("offer 2A09").number)) }, []string{"TO WHICH BOX?", "1 offer 2A09 (3-1) to Oxenrigg", "n no"}},
		{"the rest", "six.yaml", duty, func(r *rig) { r.press("0") }, []string{"WHICH OF THE OTHERS?", "1 accept 4 from", "n no"}},
		{"shunt", "box.yaml", append(duty, `09:55 train 6K20 moved to Yard`), func(r *rig) { r.press("m") }, []string{"6K20 IS SHUNTED FROM YARD TO", "1 Platform 1"}},
		{"leaving", "box.yaml", going, func(r *rig) { r.press("q") }, []string{"LEAVE THE DESK?", "y leave", "n stay"}},
		{"refused", "absolute.yaml", duty, func(r *rig) { r.pick("from Saltgarth").press("Tab") }, []string{"NOT ACCEPTED"}},
		{"single line working", "absolute.yaml", append(duty, `09:55 Saltgarth working by pilot "T. Hale" over "Up Main" form 3`), func(*rig) {}, []string{"NOT IN USE", "T. Hale"}},
		{"by message", "absolute.yaml", append(duty, "09:55 Saltgarth working by message"), func(*rig) {}, []string{"Saltgarth worked BY MESSAGE"}},
		{"obstructed", "absolute.yaml", append(duty, "09:55 Saltgarth >6 <6", `09:56 failure "Lever 12" "lamp out"`), func(*rig) {}, []string{"OBSTRUCTION DANGER", "Lever 12 FAILED"}},
		{"PIN", "pins.yaml", nil, func(r *rig) { r.press("p", "A. Fell", "Enter") }, []string{"PIN OF A. FELL", "the new PIN:"}},
	} {
		for _, look := range []string{Never, Plain} {
			r := newRig(t, c.box, 80, 24, Options{Look: look})
			r.log(c.log...).at("10:00")
			c.do(r)
			for _, w := range c.wants {
				r.want(w)
			}
			cells, _, _ := r.screen.GetContents()
			for _, x := range cells {
				if fg, bg, _ := x.Style.Decompose(); fg != tcell.ColorDefault || bg != tcell.ColorDefault {
					t.Fatalf("%s, %s: a cell has colours %v on %v", c.name, look, fg, bg)
				}
			}
		}
	}
}
