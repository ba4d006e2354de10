package tui

import (
	"strings"
	"testing"
	"time"

	"github.com/gdamore/tcell/v2"
	"github.com/rivo/tview"
)

// click clicks on the first place on the screen where the text stands.
func (r *rig) click(text string) *rig {
	r.t.Helper()
	for y, l := range strings.Split(r.text(), "\n") {
		if before, _, ok := strings.Cut(l, text); ok {
			return r.mouse(tview.MouseLeftClick, len([]rune(before)), y)
		}
	}
	r.t.Fatalf("%q is not on the screen:\n%s", text, r.text())
	return r
}

func (r *rig) mouse(action tview.MouseAction, x, y int) *rig {
	r.app.GetMouseCapture()(tcell.NewEventMouse(x, y, tcell.Button1, 0), action)
	r.app.ForceDraw()
	return r
}

// A click on a key, or on the words beside it, is that key, its questions and the guard
// of the hand included; a click on anything else is nothing; the wheel scrolls.
func TestMouse(t *testing.T) {
	r := newRig(t, "box.yaml", 120, 40, Options{})
	r.log(twoComing...).at("10:02").click("1M44 entering section")
	if want := "10:02 Saltgarth <2 >2 train 1M44"; r.last() != want {
		t.Fatalf("wrote %q, want %q", r.last(), want)
	}
	r.click("z undo").want("STRIKE OUT ENTRY 5").click("wrong key").wrote(6)
	r.click("TO EXPLAIN, NEXT TRAINS").click("ENNERHOLME").mouse(tview.MouseLeftClick, 200, 90).wrote(6)
	if side, _, _ := strings.Cut(r.text(), "Nothing due"); strings.Contains(side, "EXPECTED NEXT") {
		r.click("Nothing due").wrote(6)
	}
	r.click("e entry").want("─ ENTRY").mouse(tview.MouseScrollUp, 3, 3)
	if got := r.desk.model.edit.String(); got != "" {
		t.Errorf("the wheel brings %q into the line", got)
	}
	r.click("Esc drop").click("? help")
	top := r.desk.model.top
	if r.mouse(tview.MouseScrollDown, 3, 3); r.desk.model.top != top+1 {
		t.Error("the wheel does not scroll")
	}
	r.press("Esc").guarded()
	r.click("1M44 entering section").click("1M44 entering section").wrote(6).want("taken for a slip")
}

// What is due and what is late sounds the bell once each, when the box wants it.
func TestBellForDue(t *testing.T) {
	for _, wanted := range []bool{true, false} {
		r := newRig(t, "box.yaml", 80, 24, Options{Bell: wanted})
		r.log(twoComing...).log("10:02 Saltgarth <2 >2 train 1M44").at("10:03")
		later := func(minutes time.Duration) *rig {
			r.now = r.now.Add(minutes * time.Minute)
			r.tick()
			return r
		}
		r.tick()
		r.beeps = 0
		later(2)
		later(1)
		if r.beeps != 0 {
			t.Errorf("%d beeps while nothing is late:\n%s", r.beeps, r.text())
		}
		later(34).want("LATE since")
		n := r.beeps
		if later(1); wanted != (n > 0) || r.beeps != n {
			t.Errorf("bell wanted %v: %d beeps when something is late, %d a minute on", wanted, n, r.beeps-n)
		}
		r.press("e", `obstruct "Down Main" Saltgarth "wagon foul"`, "Enter")
		if wanted != (r.beeps > n) {
			t.Errorf("bell wanted %v: %d beeps for what is to be done", wanted, r.beeps-n)
		}
	}
}

// High contrast has nothing dim, and danger, the usual and a key each a look of their
// own; plain uses reverse alone.
func TestLooks(t *testing.T) {
	for _, look := range Looks {
		th := newTheme(false, look)
		for role, s := range th.style {
			fg, bg, attr := s.Decompose()
			switch {
			case look == Plain && (attr&^tcell.AttrReverse != 0 || fg != tcell.ColorDefault):
				t.Errorf("plain, role %d: %v %v", role, fg, attr)
			case look == Contrast && (attr&tcell.AttrDim != 0 || bg == tcell.ColorDefault):
				t.Errorf("contrast, role %d: dim, or on the terminal's own ground", role)
			}
		}
		if th.style[peril] == th.style[plain] || th.style[keycap] == th.style[plain] || th.style[chosen] == th.style[plain] {
			t.Errorf("%s: danger, keys or the row chosen look like anything else", look)
		}
	}
	t.Setenv("NO_COLOR", "1")
	if d := newRig(t, "box.yaml", 80, 24, Options{Look: Contrast}).desk; d.theme.style != newTheme(false, Never).style {
		t.Error("NO_COLOR does not take the colours of high contrast")
	}
}
