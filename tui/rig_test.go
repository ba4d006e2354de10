package tui

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	"github.com/gdamore/tcell/v2"
	"github.com/rivo/tview"

	"fairhand/register"
	"fairhand/register/audit"
	"fairhand/register/measure"
	"fairhand/register/registertest"
)

var rewrite = flag.Bool("update", false, "rewrite the golden files")

// rig is a desk on a simulated screen with a clock the test sets. There is no
// event loop: every key is handled before press returns.
type rig struct {
	t      *testing.T
	app    *tview.Application
	screen tcell.SimulationScreen
	desk   *desk
	book   *register.Book
	now    time.Time
	left   bool
	beeps  int
	keys   int // pressed so far

	instant time.Time // of the next key, where the guard of the hand is tested
}

// guarded puts the guard of the hand on, as a desk in use has it; time goes on by
// rest alone.
func (r *rig) guarded() *rig {
	r.desk.model.guard = keyGuard
	r.instant = r.now
	r.desk.stamp = func(tcell.Event) time.Time { return r.instant }
	m := &r.desk.model
	m.moment, m.came, m.firstCame = r.instant, r.instant, r.instant
	for i := range r.desk.model.listed {
		r.desk.model.listed[i].since = r.instant
	}
	return r.rest(time.Second)
}

// rest lets the hand rest.
func (r *rig) rest(t time.Duration) *rig {
	r.instant = r.instant.Add(t)
	r.send(tcell.NewEventKey(rest, 0, tcell.ModNone))
	return r
}

func newRig(t *testing.T, boxFile string, w, h int, opt Options) *rig {
	t.Helper()
	dir := t.TempDir()
	data, err := os.ReadFile(filepath.Join("testdata", boxFile))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, register.BoxFileName), data, 0o644); err != nil {
		t.Fatal(err)
	}
	r := &rig{t: t, now: time.Date(2026, 5, 5, 10, 0, 0, 0, london(t))}
	r.book, err = register.Create(dir, register.Options{Now: func() time.Time { return r.now }})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { r.book.Close() })
	r.open(r.book, w, h, opt)
	return r
}

func (r *rig) open(b book, w, h int, opt Options) {
	r.app = tview.NewApplication()
	r.screen = tcell.NewSimulationScreen("UTF-8")
	r.app.SetScreen(r.screen)
	r.screen.SetSize(w, h)
	r.desk = newDesk(b, r.book.Location(), opt)
	r.desk.clerk.source = audit.Register(r.book)
	r.desk.leave = func() { r.left = true }
	r.desk.clerk.helper.inline = true
	r.desk.attach(r.app)
	r.draw()
}

func london(t *testing.T) *time.Location {
	loc, err := time.LoadLocation("Europe/London")
	if err != nil {
		t.Fatal(err)
	}
	return loc
}

// at sets the clock.
func (r *rig) at(clock string) *rig {
	at, err := time.ParseInLocation("2006-01-02 15:04", "2026-05-05 "+clock, r.now.Location())
	if err != nil {
		r.t.Fatal(err)
	}
	r.now = at
	r.desk.refresh()
	r.draw()
	return r
}

// press presses keys by the names of keyTable; anything else is typed letter by letter. What
// is pressed together is drawn once, at full depth after every key.
func (r *rig) press(keys ...string) *rig {
	r.t.Helper()
	handle := registertest.Depth(r.handle, r.send)
	for _, k := range keys {
		ev := keyEvent(k)
		if ev == nil {
			for _, c := range k {
				handle(tcell.NewEventKey(tcell.KeyRune, c, tcell.ModNone))
			}
			continue
		}
		handle(ev)
	}
	r.draw()
	return r
}

func keyEvent(name string) *tcell.EventKey {
	for key, n := range keyNames {
		if n == name {
			return tcell.NewEventKey(key, 0, tcell.ModNone)
		}
	}
	return nil
}

func (r *rig) send(ev *tcell.EventKey) {
	r.handle(ev)
	r.draw()
}

// draw draws the desk, and counts its beeps again.
func (r *rig) draw() {
	r.app.ForceDraw()
	r.desk.beep = func() { r.beeps++ }
}

func (r *rig) handle(ev *tcell.EventKey) {
	if ev.Key() != rest && ev.Key() != tick {
		r.keys++
	}
	if ev = r.app.GetInputCapture()(ev); ev != nil {
		r.desk.InputHandler()(ev, func(p tview.Primitive) { r.app.SetFocus(p) })
	}
}

func (r *rig) resize(w, h int) *rig {
	r.screen.SetSize(w, h)
	r.draw()
	return r
}

// text is the screen, line by line, without blanks at the ends.
func (r *rig) text() string {
	cells, w, h := r.screen.GetContents()
	var b strings.Builder
	for y := range h {
		var l strings.Builder
		wide := false
		for x := range w {
			if !wide { // the second cell of a wide character is no text
				l.WriteString(string(cells[y*w+x].Runes))
			}
			wide = !wide && measure.Width(string(cells[y*w+x].Runes)) == 2
		}
		b.WriteString(strings.TrimRight(l.String(), " "))
		b.WriteByte('\n')
	}
	return b.String()
}

// want fails unless the screen shows the text, be it over the end of a row.
func (r *rig) want(text string) *rig {
	r.t.Helper()
	shown := r.text()
	if !strings.Contains(shown, text) && !strings.Contains(strings.Join(strings.Fields(shown), " "), text) {
		r.t.Errorf("the screen does not show %q:\n%s", text, r.text())
	}
	return r
}

// lines are the register's lines.
func (r *rig) lines() []string {
	var out []string
	for _, e := range r.book.Recent() {
		out = append(out, e.Line)
	}
	return out
}

// last is the last entry's line.
func (r *rig) last() string {
	l := r.lines()
	if len(l) == 0 {
		return ""
	}
	return l[len(l)-1]
}

// log writes entries past the desk.
func (r *rig) log(lines ...string) *rig {
	r.t.Helper()
	for _, l := range lines {
		if err := registertest.Log(r.book, l); err != nil {
			r.t.Fatal(err)
		}
	}
	r.desk.refresh()
	r.draw()
	return r
}

// golden compares the screen with a file, or rewrites it.
func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *rewrite {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if string(want) != got {
		t.Errorf("%s differs; read the difference, then -update\nwant:\n%s\ngot:\n%s", name, want, got)
	}
}

// tick lets a second go by as the ticker does.
func (r *rig) tick() { r.send(tcell.NewEventKey(tick, 0, tcell.ModNone)) }

// second opens the register as another program would.
func (r *rig) second() *register.Book {
	b, err := register.Open(r.book.Dir, register.Options{Now: func() time.Time { return r.now }})
	if err != nil {
		r.t.Fatal(err)
	}
	r.t.Cleanup(func() { b.Close() })
	return b
}
