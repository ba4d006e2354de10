package tui

import (
	"strings"
	"testing"
	"time"
)

// numberOf is the number under which the list has an entry.
func (r *rig) numberOf(words string) int {
	r.t.Helper()
	for _, x := range r.desk.model.listed {
		if strings.Contains(x.Label, words) {
			return x.number
		}
	}
	r.t.Fatalf("nothing expected says %q:\n%s", words, r.text())
	return 0
}

// wrote fails unless so many entries are in the book.
func (r *rig) wrote(n int) *rig {
	r.t.Helper()
	if got := len(r.lines()); got != n {
		r.t.Fatalf("%d entries, want %d:\n%s\n%s", got, n, strings.Join(r.lines(), "\n"), r.text())
	}
	return r
}

var twoComing = []string{`10:00 duty on "A. Fell"`, "10:00 clock right", "10:00 Saltgarth <1 >1 <3-1 >3-1 train 1M44",
	"10:01 Coldbeck <1 >1 <3-1 >3-1 train 2A12"}

// An entry keeps its number while it is listed, whatever else is written.
func TestNumbersStay(t *testing.T) {
	r := newRig(t, "box.yaml", 120, 40, Options{})
	r.log(twoComing...).at("10:02")
	for range 6 {
		before := map[string]int{}
		for _, x := range r.desk.model.listed {
			before[x.Label] = x.number
		}
		r.press("Enter")
		switch r.desk.model.mode {
		case modeProof:
			r.press("c")
		case modeAsk, modeSure:
			r.press("Esc")
			return
		}
		met := map[int]bool{}
		for _, x := range r.desk.model.listed {
			if n, ok := before[x.Label]; ok && n != x.number {
				t.Errorf("%q was under %d and is under %d", x.Label, n, x.number)
			}
			if x.number > 0 && met[x.number] {
				t.Errorf("two entries under %d", x.number)
			}
			met[x.number] = true
		}
	}
}

// What has only just come up, and what the window does not show, is dead and
// says so; what was there is written when the hand rests.
func TestKeyDoesWhatTheEyeSaw(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(twoComing...).at("10:02").guarded()
	r.press("Enter").wrote(4).rest(keyGuard).wrote(5)                  // 1M44 entering section
	r.press("Enter").want("only just come up").rest(keyGuard).wrote(5) // what is first now came a moment ago
	r.press("9").rest(keyGuard).want("Nothing is expected under 9").wrote(5)
	r = newRig(t, "six.yaml", 80, 24, Options{})
	r.log(twoComing[:2]...).log("10:01 Brockholm <1 >1 <3-1 >3-1 train 1M44", `10:01 Oxenrigg <1 >1 <4 >4 train 1A05`).at("10:02").guarded()
	hidden := 0
	for i, x := range r.desk.model.listed {
		if i >= nextShown(&r.desk.model) && x.number > 0 {
			hidden = x.number
		}
	}
	if hidden == 0 {
		t.Fatalf("nothing is hidden:\n%s", r.text())
	}
	r.press(itoa(hidden)).rest(keyGuard).want("is not on the screen").wrote(4)
}

// A row that has just come up is not obeyed, and is when it has been there.
func TestFreshRowIsDead(t *testing.T) {
	r := newRig(t, "absolute.yaml", 120, 40, Options{})
	r.log(`10:00 duty on "A. Fell"`, "10:00 clock right", "10:00 Saltgarth <1 >1 <3-1 >3-1 train 1M44").at("10:02").guarded()
	r.press("Enter").rest(keyGuard).wrote(4)
	n := itoa(r.numberOf("offer 1M44"))
	before := len(r.lines())
	r.log(`10:02 note "x"`)
	for i := range r.desk.model.listed { // as if it had come with that note
		r.desk.model.listed[i].since = r.instant
	}
	r.press(n).rest(keyGuard).want("only just come up").wrote(before + 1)
	r.press(n).rest(keyGuard).wrote(before + 2)
}

// A burst of characters with no prompt open writes nothing, nor does a key that
// bounces or is held; each says why.
func TestBurst(t *testing.T) {
	for _, typed := range []string{"22-1 5H50", "14 2P07 41", "1111111", "121212", "3x", "x1"} {
		r := newRig(t, "box.yaml", 120, 40, Options{})
		r.log(twoComing...).at("10:02").guarded()
		for _, c := range typed {
			r.press(string(c)).rest(100 * time.Millisecond)
		}
		r.rest(time.Second).wrote(4)
		if m := r.desk.model.mode; m != modeDesk && m != modeAsk && m != modeProof {
			t.Errorf("%q leads to mode %s", typed, m)
		}
		if r.desk.model.mode == modeDesk && r.desk.model.msg.text == "" {
			t.Errorf("%q: nothing is said", typed)
		}
	}
}

// A prompt that has only just come up is not answered by a key already on its way.
func TestPromptIsGuarded(t *testing.T) {
	r := newRig(t, "absolute.yaml", 120, 40, Options{})
	r.log(`10:00 duty on "A. Fell"`, "10:00 clock right", "10:00 Saltgarth <1 >1 <3-1 >3-1 train 1M44", "10:01 Saltgarth <2 >2").at("10:05").guarded()
	r.press(itoa(r.numberOf("arrived"))).press("c").want("Too soon").wrote(4).rest(keyGuard).press("c").wrote(5)
}

// One key clears nothing by way of exception: it asks by name first.
func TestExceptionAsks(t *testing.T) {
	r := newRig(t, "box.yaml", 120, 40, Options{})
	r.log(twoComing...).log("10:02 Coldbeck <2 >2 train 2A12").at("10:05").guarded()
	n := itoa(r.numberOf("2A12 went back to Coldbeck"))
	r.press(n).rest(keyGuard).wrote(5).want("SURE? 2A12 went back to Coldbeck").want("2A12 is in section from Coldbeck, and the line is cleared of it")
	r.press("n").wrote(5).rest(keyGuard).press(n).rest(keyGuard).press("y").wrote(6)
	if want := "10:05 Coldbeck <1 >1 <2-1 >2-1 train 2A12"; r.last() != want {
		t.Errorf("wrote %q, want %q", r.last(), want)
	}
}

// An acceptance is called one exactly when that is what is written.
func TestLabelSaysWhatIsWritten(t *testing.T) {
	met := false
	for _, lines := range [][]string{twoComing, append(twoComing[:3:3], `10:39 obstruct "Up Main" Saltgarth "wagon foul"`, `10:39 obstruct "Down Main" Saltgarth "wagon foul"`)} {
		r := newDemoRig(t, 120, 40)
		r.log(lines...)
		for _, x := range r.desk.model.listed {
			if b := x.Event.Bells; len(b) > 0 && strings.Contains(x.Label, "accept") {
				said, done := !strings.Contains(x.Label, "not accepted"), b[len(b)-1].Sent
				if said != done {
					t.Errorf("%q writes %q", x.Label, x.body)
				}
				met = met || !done
			}
		}
	}
	if !met {
		t.Error("no offer that cannot be accepted was met")
	}
}
