package tui

import (
	"slices"
	"strings"
	"testing"
	"time"
)

var arrived2A09 = []string{"10:00 Brockholm <1 >1 <3-1 >3-1 train 2A09", "10:01 Brockholm <2 >2 train 2A09", `10:06 train 2A09 arrived at "Platform 1" complete`,
	"10:06 Brockholm >1 <1 >2-1 <2-1 train 2A09"}

// rowOf is the row of the list that begins with words.
func (r *rig) rowOf(words string) *listed {
	r.t.Helper()
	i := slices.IndexFunc(r.desk.model.listed, func(l listed) bool { return strings.HasPrefix(l.Label, words) })
	if i < 0 {
		r.t.Fatalf("nothing expected begins with %q:\n%s", words, r.text())
	}
	return &r.desk.model.listed[i]
}

// Where many ways lead on and nothing tells which a train takes, it has one row, which asks to
// which box, be it by Enter; and so it has with nothing but a number for each on the smallest screen.
func TestWhichWay(t *testing.T) {
	for _, key := range []string{"Enter", "number"} {
		r := newRig(t, "six.yaml", 80, 24, Options{})
		r.log(duty...).log(arrived2A09...).at("10:07")
		n := len(r.lines())
		l := r.rowOf("offer 2A09")
		if l.Label != "offer 2A09 (3-1) on" || len(l.ways) != 3 || l.wants() != "to which box?" {
			t.Fatalf("the row is %q, of %d ways", l.Label, len(l.ways))
		}
		if key == "number" {
			key = itoa(l.number)
		}
		r.press(key).want("Offer 2A09 (3-1) on: TO WHICH BOX?").want("2 offer 2A09 (3-1) to Carrow Sidings East").wrote(n)
		r.press("7").want("Nothing stands under 7").press("2").wrote(n + 1)
		if want := `10:07 "Carrow Sidings East" >1 <1 >3-1 <3-1 train 2A09`; r.last() != want {
			t.Errorf("wrote %q, want %q", r.last(), want)
		}
	}
}

// A train goes first where the last of its name went that came the same way, else the last of
// its series; the other ways are one row, and stay under a key.
func TestWayShownByTheBook(t *testing.T) {
	before := []string{"09:51 Brockholm <1 >1 <3-1 >3-1 train 2A07", `09:52 "Carrow Sidings East" >1 <1 >3-1 <3-1 train 2A07`, "09:52 Brockholm <2 >2 train 2A07",
		"09:56 train 2A07 passed for \"Carrow Sidings East\" complete", `09:56 "Carrow Sidings East" >2 <2 train 2A07`, "09:57 Brockholm >1 <1 >2-1 <2-1 train 2A07",
		`09:59 "Carrow Sidings East" <1 >1 <2-1 >2-1 train 2A07`}
	r := newRig(t, "six.yaml", 80, 24, Options{})
	r.log(duty...).log(before...).log(arrived2A09...).at("10:07")
	if l := r.rowOf("offer 2A09 (3-1) another way"); len(l.ways) != 2 {
		t.Errorf("%d other ways, want 2", len(l.ways))
	}
	r.press("Enter")
	if want := `10:07 "Carrow Sidings East" >1 <1 >3-1 <3-1 train 2A09`; r.last() != want {
		t.Errorf("wrote %q, want %q", r.last(), want)
	}
	for _, other := range []string{"1A09", "2B09"} { // of another series
		r := newRig(t, "six.yaml", 80, 24, Options{})
		r.log(duty...).log(before...)
		for _, l := range arrived2A09 {
			r.log(strings.ReplaceAll(l, "2A09", other))
		}
		if l := r.rowOf("offer " + other); len(l.ways) != 3 {
			t.Errorf("%s: the row %q has %d ways", other, l.Label, len(l.ways))
		}
	}
}

// What the window has no room for is under 0: each entry of the list is written by at most
// two keys and its questions, whatever stands above, and none that has only just come up.
func TestTheRestIsInReach(t *testing.T) {
	for _, size := range [][2]int{{80, 24}, {120, 40}} {
		for n := 1; ; n++ {
			r := newRig(t, "six.yaml", size[0], size[1], Options{})
			r.log(duty...).log(`09:55 reminder on "Lever 5" "crane in the yard"`, `09:55 blockage "Down Main" towards Oxenrigg "J. Wray"`, `09:55 failure "Mill Lane Crossing" "gate"`)
			r.log("10:00 Brockholm <1 >1 <3-1 >3-1 train 2P07", `10:00 "Carrow Sidings East" <1 >1 <3-2 >3-2`, "10:01 Oxenrigg <1 >1 <4 >4 train 1A05").at("10:02").guarded()
			hidden := r.desk.model.theRest().which
			if n > len(hidden) {
				if n < 4 {
					t.Errorf("%v: %d entries are hidden: too few to show anything:\n%s", size, n-1, r.text())
				}
				break
			}
			label := hidden[n-1].Label
			r.press("0").rest(keyGuard).want("WHICH OF THE OTHERS")
			for range (n - 1) / len(r.desk.model.whichPage()) {
				r.press("0").rest(keyGuard)
			}
			r.want(label)
		}
	}
}

// Of a question with more than the window shows, 0 brings the others, under keys that count
// when they have been read.
func TestWhichTurnsItsPage(t *testing.T) {
	r := newRig(t, "six.yaml", 80, 24, Options{})
	r.log(duty...).at("10:02").guarded()
	before := len(r.lines())
	m := &r.desk.model
	for len(m.next) < 8 {
		m.next = append(m.next, m.next[0])
		m.next[len(m.next)-1].Label = "x" + itoa(len(m.next))
	}
	m.listed = gathered(m.next)
	r.press("0").rest(keyGuard).want("1 TO 5 OF 8").press("0").press("1").want("Too soon").wrote(before)
	r.want("6 TO 8 OF 8").rest(time.Second).press("9").want("Nothing stands under 9").press("0").want("1 TO 5 OF 8").press("Esc").want("Dropped").wrote(before)
}
