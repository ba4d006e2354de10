package tui

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/gdamore/tcell/v2"

	"fairhand/block"
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

// An entry keeps its number also when the name of its train is put right, or given, and must
// then be read afresh before its key counts.
func TestNumberStaysWithAnotherName(t *testing.T) {
	r := newRig(t, "absolute.yaml", 120, 40, Options{})
	r.log(duty...).at("10:00").log("10:00 Saltgarth <1 >1 <3-1 >3-1 train 1M44", "10:00 Saltgarth <2 >2 train 1M44").at("10:02").guarded()
	offer, passed := r.numberOf("offer 1M44 (3-1) to Coldbeck"), r.numberOf("1M44 arrived")
	r.log(`10:02 train 1M44 renamed 1M45`)
	if o, p := r.numberOf("offer 1M45 (3-1) to Coldbeck"), r.numberOf("1M45 arrived"); o != offer || p != passed {
		t.Errorf("the offer was under %d and is under %d, the arrival under %d and %d", offer, o, passed, p)
	}
	r.press(itoa(offer)).want("only just come up").rest(time.Second)
	r.log(`10:02 correct 5 "10:02 note \"x\""`)
	if o := r.numberOf("offer 1M44 (3-1) to Coldbeck"); o != offer {
		t.Errorf("after a correction it is under %d, not %d", o, offer)
	}
	n := len(r.lines())
	r.rest(time.Second).press(itoa(offer)).rest(keyGuard).wrote(n + 1)
	if r.last() != "10:02 Coldbeck >1 <1 >3-1 <3-1 train 1M44" {
		t.Errorf("wrote %q", r.last())
	}
}

// A number given back is dead for a quarter of a minute, and says what it was. Met by two new users:
// an entry came under the number of another two entries later, with nothing to be seen of it.
func TestNumberRests(t *testing.T) {
	r := newRig(t, "absolute.yaml", 120, 40, Options{})
	r.log(`09:50 duty on "A. Fell"`, "09:50 clock right", "09:55 Saltgarth <1 >1 <3-1 >3-1 train 1M44").at("10:02").guarded()
	n := itoa(r.numberOf("1M44 entering section, from Saltgarth"))
	r.press(n).rest(time.Second).wrote(4)
	r.press(n).want(n + " was 1M44 entering section, from Saltgarth, which is listed no more. It rests").rest(time.Second).wrote(4)
	r.press("9").want("Nothing is expected under 9").rest(time.Second).wrote(4)
}

// Whatever comes and goes: an entry keeps its number while it is listed; a number comes to
// another entry only a quarter of a minute after it was given back, and is then the one that has been
// so longest; the same entry has it back at once; none goes without while one is to be had.
func TestNumbersGoRound(t *testing.T) {
	rng := rand.New(rand.NewPCG(12, 1))
	type last struct {
		label string
		until time.Time
	}
	var m model
	m.guard = keyGuard
	var given [numbers + 1]last
	back, without := 0, 0
	for range 5000 {
		m.moment = m.moment.Add(time.Duration(rng.IntN(12)) * time.Second)
		before := m.listed
		m.listed = comeAndGone(rng, before)
		m.giveBack(before)
		for _, l := range before {
			if m.numberedRow(l.number) < 0 {
				given[l.number].until = m.moment
			}
		}
		for i := range m.listed {
			l := &m.listed[i]
			if l.number > 0 {
				if given[l.number].label != l.Label {
					t.Fatalf("%d is no more under %s", l.number, l.Label)
				}
				continue
			}
			l.number = m.lend(l.Label)
			free := func(n int) bool { return given[n].until.Before(m.moment.Add(-numberRest + 1)) }
			if l.number == 0 {
				without++
				for n := 1; n <= numbers; n++ {
					if m.numberedRow(n) < 0 && free(n) {
						t.Fatalf("%s goes without, and %d has rested", l.Label, n)
					}
				}
				continue
			}
			switch was := given[l.number]; {
			case was.label == l.Label:
				back++
			case was.label != "" && !free(l.number):
				t.Fatalf("%d is given again after %s", l.number, m.moment.Sub(was.until))
			default:
				for n := 1; n <= numbers; n++ {
					if m.numberedRow(n) < 0 && n != l.number && given[n].until.Before(was.until) {
						t.Fatalf("%d is given before %d, which was given back earlier", l.number, n)
					}
				}
			}
			given[l.number].label = l.Label
		}
	}
	if back == 0 || without == 0 {
		t.Errorf("%d came back and %d went without: too few to show anything", back, without)
	}
}

// comeAndGone is a list from which some entries have gone, and to which others have come.
func comeAndGone(rng *rand.Rand, list []listed) []listed {
	list = slices.DeleteFunc(slices.Clone(list), func(listed) bool { return rng.IntN(4) == 0 })
	for range rng.IntN(3) {
		x := listed{Expectation: block.Expectation{Label: itoa(rng.IntN(60))}}
		if !slices.ContainsFunc(list, func(l listed) bool { return l.Label == x.Label }) {
			list = append(list, x)
		}
	}
	return list
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

// A row that the words of a refused answer put off the screen has not been read when it
// comes back: its key is dead for the guard time.
func TestRowBehindWordsIsFresh(t *testing.T) {
	r := newRig(t, "absolute.yaml", 80, 24, Options{})
	r.log(`10:00 duty on "A. Fell"`, "10:00 clock right", "10:00 Saltgarth <1 >1 <3-1 >3-1 train 1M44", "10:01 Saltgarth <2 >2",
		"10:02 Coldbeck <1 >1 <4 >4 train 4A08", "10:03 Coldbeck >1 <1 >3-1 <3-1 train 1M44").at("10:05").guarded()
	r.press(itoa(r.numberOf("arrived")))
	shown := nextShown(&r.desk.model)
	r.desk.key(tcell.NewEventKey(tcell.KeyRune, 'n', tcell.ModNone)) // with no drawing in between
	m := &r.desk.model
	if nextShown(m) >= shown || shown > len(m.listed) {
		t.Fatalf("%d of %d rows before, %d now: nothing is put off the screen", shown, len(m.listed), nextShown(m))
	}
	for _, l := range m.listed[nextShown(m):] {
		if !l.since.IsZero() {
			t.Errorf("%d %s is off the screen and counts as read", l.number, l.Label)
		}
	}
}

// Enter pressed twice writes what was typed and nothing else, however the second one comes
// within a second and a half: no bell, and no name that nobody knows. A number does not wait
// for that, nor does Enter after another key or a while later.
func TestEnterTwice(t *testing.T) {
	desk := func() *rig {
		r := newRig(t, "box.yaml", 80, 24, Options{})
		return r.log(twoComing...).at("10:02").guarded()
	}
	typed := func(r *rig, keys string) *rig {
		for _, k := range strings.Split(keys, "|") {
			r.press(k).rest(keyGuard)
		}
		return r
	}
	for keys, writes := range map[string]int{"e|note \"x\"|Enter": 5, "b|35|>|Enter": 5, "t|01|Enter": 4, "e|train 2A12 renamed 2A13|Enter": 5} {
		for _, after := range []time.Duration{100, 300, 700, 1100} {
			r := typed(desk(), keys).wrote(writes)
			r.rest(after * time.Millisecond).press("Enter").rest(keyGuard).wrote(writes).want("has only just ended what was typed")
			r.rest(enterRest).press("Enter").rest(keyGuard).wrote(writes + 1)
		}
		r := typed(desk(), keys).rest(700 * time.Millisecond)
		r.press(itoa(r.numberOf("1M44 entering"))).rest(keyGuard).wrote(writes + 1)
	}
	r := typed(desk(), "e|train 2A99 renamed 2A13|Enter").want(`There is no train "2A99"`)
	r.rest(400 * time.Millisecond).press("Enter").rest(keyGuard).wrote(4).want("Too soon")
	r.rest(enterRest).press("Enter").rest(keyGuard).wrote(5)
}

// A question that letters answer is not answered by those of a word typed on: the d of
// "arrived" dropped a danger, and the Enter behind it wrote another entry.
func TestWordIsNoAnswer(t *testing.T) {
	for _, c := range []struct {
		to, typed string
		in        mode
	}{{"e|Saltgarth >2 <2 train 2A12|Enter", "train 2A12 arrived", modeStop}, {"z", "wrong line", modeStrike}} {
		r := newRig(t, "box.yaml", 120, 40, Options{})
		r.log(twoComing...).at("10:02").guarded()
		for _, k := range strings.Split(c.to, "|") {
			r.press(k).rest(time.Second)
		}
		if r.desk.model.mode != c.in {
			t.Fatalf("%s leads to mode %s", c.to, r.desk.model.mode)
		}
		for _, k := range append(strings.Split(c.typed, ""), "Enter") {
			r.press(k).rest(100 * time.Millisecond)
		}
		if r.rest(time.Second).wrote(4); r.desk.model.mode != c.in {
			t.Errorf("%q answers mode %s", c.typed, c.in)
		}
	}
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

// An entry keeps its number while only its words change, as they do each minute of a train
// that comes to a crossing.
func TestNumberStaysWithOtherWords(t *testing.T) {
	r := newRig(t, "junction.yaml", 120, 40, Options{})
	r.log(duty...).log(`10:00 "Slate Halt" <offer >accept train 6F40`, `10:00 "Slate Halt" <entering train 6F40`, `10:00 crossing "Sandpit Lane" asked "tractor" for 4`)
	was := r.numberOf("wait, 6F40 may be there in 2 minutes")
	if is := r.at("10:01").numberOf("wait, 6F40 may be there in 1 minute"); is != was {
		t.Errorf("it was under %d and is under %d", was, is)
	}
	if is := r.at("10:02").numberOf("wait, 6F40 may be there now"); is != was || r.desk.model.listed[0].number != was {
		t.Errorf("it was under %d and is under %d:\n%s", was, is, r.text())
	}
}
