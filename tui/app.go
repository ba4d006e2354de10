package tui

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"time"

	"github.com/gdamore/tcell/v2"
	"github.com/rivo/tview"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/audit"
	"fairhand/register/watch"
)

// Options change how the desk looks and sounds.
type Options struct {
	ASCII bool              // draw with plain ASCII characters
	Look  string            // one of Looks; "" is Auto, and without colours where the environment has NO_COLOR
	Bell  bool              // ring the terminal's bell when danger is found, and when something is due or late
	Now   func() block.Time // the clock; nil for the book's
	Title string            // of the terminal window
	Watch *watch.Watch      // over the register; nil for none

	// Graph draws the train graph of a day in so many columns, and the day itself
	// in at most so many lines; with 0 a line is five minutes. nil: there is none.
	Graph func(day *register.Day, columns, lines int) string

	// Hide has the terminal show nothing of what is typed, or show it again, while the
	// desk is in lines. nil, or an error: it cannot.
	Hide func(hide bool) error

	Another bool // another desk is open on the register as this one begins

	Codes string // the bell codes of the box with their meanings, line by line; "" for none
}

// draftName is the file in the box directory that keeps a half-typed line when
// the desk ends; it is gone once the line is back on a desk.
const draftName = "half-typed.txt"

// tick, answer and rest are keys that no keyboard sends: the ticker, the assistant
// and the timer of a poised key put them among the keys.
const (
	tick   = tcell.KeyF64
	answer = tcell.KeyF63
	rest   = tcell.KeyF62
)

// Run opens the desk on a book and returns when the signaller leaves or ctx
// ends. Entries are written as they are entered; a half-typed line is kept in
// the box directory and is there again at the next Run.
func Run(ctx context.Context, book *register.Book, opt Options) error {
	if os.Getenv("TERM") == "" {
		return errors.New("the desk needs a terminal and TERM is not set; without one, use fairhand log and fairhand day")
	}
	app := tview.NewApplication().EnablePaste(true).EnableMouse(true)
	d := newDesk(book, book.Location(), opt)
	d.clerk.source = audit.Register(book)
	draft := filepath.Join(book.Dir, draftName)
	if text := takeDraft(draft); text != "" {
		d.model = d.model.line(forEntry, 0, text)
		d.model.msg = message{"This line was half typed when the desk was left. It is NOT written.", warn}
	}
	if opt.Title != "" {
		app.SetTitle(opt.Title)
	}
	// A terminal that hangs up must not take a half-typed line with it.
	ctx, stop := signal.NotifyContext(ctx, syscall.SIGHUP, syscall.SIGTERM)
	defer stop()
	d.leave, d.model.guard = stop, keyGuard
	d.attach(app)
	done := make(chan struct{})
	go func() {
		defer close(done)
		ticker(ctx, app)
	}()
	watching := watchBehind(ctx, opt.Watch)
	err := app.Run()
	d.clerk.helper.end("")
	stop()
	<-done
	<-watching
	if err != nil {
		err = fmt.Errorf("the terminal (TERM=%s): %w", os.Getenv("TERM"), err)
	}
	if line := d.model.halfTyped(); line != "" {
		err = errors.Join(err, keepDraft(draft, line))
	}
	return err
}

// ticker lets the clock on the desk go on. It is the only goroutine beside the
// application's, touches nothing but the queue of keys, and stops the
// application as its last act: nothing is queued after that.
func ticker(ctx context.Context, app *tview.Application) {
	t := time.NewTicker(time.Second)
	defer t.Stop()
	for {
		select {
		case <-ctx.Done():
			app.Stop()
			return
		case <-t.C:
			app.QueueEvent(tcell.NewEventKey(tick, 0, tcell.ModNone))
		}
	}
}

// halfTyped is a line that would be lost: an entry typed and not written.
func (m *model) halfTyped() string {
	at := m.mode
	for range 3 { // one may stand before another
		switch at {
		case modeQuit, modeHelp:
			at = m.back
		case modePIN, modeLocked:
			at = m.secret.from
		case modeStop:
			at = m.stop.from
		case modeClock:
			at = m.clocked.from
		}
	}
	if at == modeLine && (m.purpose == forEntry || m.purpose == forSign) && !m.edit.empty() {
		return m.edit.String()
	}
	return ""
}

// desk joins the model to the screen and the book. It is the root primitive.
type desk struct {
	*tview.Box
	model model
	theme theme
	clerk clerk
	opt   Options
	leave func() // ends the desk
	beep  func()

	unread string                      // why what another program wrote could not be read, when last said
	stamp  func(tcell.Event) time.Time // when an event came; now for none. Tests set it
	wait   func(time.Duration)         // sends rest after so long
}

func newDesk(b book, zone *time.Location, opt Options) *desk {
	now := opt.Now
	if now == nil {
		now = b.Now
	}
	look := opt.Look
	if os.Getenv("NO_COLOR") != "" && look != Plain { // https://no-color.org
		look = Never
	}
	d := &desk{
		Box: tview.NewBox(), theme: newTheme(opt.ASCII, look), opt: opt,
		clerk: clerk{book: b, now: now, watch: opt.Watch, base: sight{box: b.Box(), zone: zone, graph: opt.Graph, codes: opt.Codes}, helper: &assistant{}},
		leave: func() {}, beep: func() {}, stamp: stamp, wait: func(time.Duration) {},
	}
	d.Box.SetBackgroundColor(tcell.ColorDefault)
	d.refresh()
	if d.model.state.LastSeq == 0 {
		d.model.msg = message{"A register and a reminder, never a protection: instruments, tokens, signals and the railway's own rule book decide. Sign on with u.", warn}
	}
	if opt.Another {
		d.model.msg = message{"Another desk is open on this register. Both may write: each shows within a second what the other wrote.", warn}
	}
	return d
}

// stamp is when an event came from the terminal; now for none.
func stamp(ev tcell.Event) time.Time {
	if ev == nil {
		return time.Now()
	}
	return ev.When()
}

// attach makes the desk the application's root and the reader of its keys.
func (d *desk) attach(app *tview.Application) {
	app.SetRoot(d, true)
	app.SetInputCapture(func(ev *tcell.EventKey) *tcell.EventKey {
		d.key(ev)
		return nil // Ctrl-C too: tview would end the program
	})
	app.SetMouseCapture(func(ev *tcell.EventMouse, action tview.MouseAction) (*tcell.EventMouse, tview.MouseAction) {
		d.mouse(ev, action)
		return nil, action
	})
	app.SetBeforeDrawFunc(func(screen tcell.Screen) bool {
		w, h := screen.Size()
		d.step(sized{w < minWidth || h < minHeight, w, h, d.stamp(nil)})
		d.beep = func() { _ = screen.Beep() }
		// PostEvent never waits: when the queue is full the next tick takes the answer.
		d.clerk.helper.wakeBy(func() { _ = screen.PostEvent(tcell.NewEventKey(answer, 0, tcell.ModNone)) })
		d.wait = func(t time.Duration) {
			time.AfterFunc(t, func() { _ = screen.PostEvent(tcell.NewEventKey(rest, 0, tcell.ModNone)) })
		}
		return false
	})
}

// key handles one key event.
func (d *desk) key(ev *tcell.EventKey) {
	switch ev.Key() {
	case tick:
		d.step(rested{d.stamp(ev)})
		d.catchUp()
		d.clerk.tell()
		d.answers()
		d.refresh()
		return
	case rest:
		d.step(rested{d.stamp(ev)})
		return
	case answer:
		d.answers()
		return
	}
	if name := keyName(ev); name != "" { // a key without a name here is one with Alt, say
		d.pressed(name, d.stamp(ev))
	}
}

// pressed does what a key does, by its name in keyTable.
func (d *desk) pressed(name string, when time.Time) {
	p := pressed{key: name, at: d.clerk.now(), when: when}
	if r := lookup(d.model.mode, name); r != nil {
		p.do = r.do
	}
	d.step(p)
	if d.model.poised != nil {
		d.wait(d.model.guard)
	}
}

// step takes a message, runs the command it leads to, and looks at the book again.
func (d *desk) step(happened msg) {
	for happened != nil {
		var do cmd
		d.model, do = update(d.model, happened)
		if do.beep && d.opt.Bell {
			d.beep()
		}
		if do.do == leave {
			d.leave()
		}
		happened = d.clerk.run(do)
		if do.do == write || do.do == survey {
			d.refresh()
		}
		if d.clerk.helper.inline && happened == nil {
			d.answers()
		}
	}
}

// answers takes what the assistant has found.
func (d *desk) answers() {
	for _, a := range d.clerk.helper.take() {
		d.step(a)
	}
}

// catchUp takes in what another program wrote into the register.
func (d *desk) catchUp() {
	n, err := d.clerk.book.Refresh()
	switch {
	case err != nil && err.Error() == d.unread:
		// said already: what is on the message line since is newer
	case err != nil:
		d.unread = err.Error()
		d.model.msg = message{"Another program wrote, and it cannot be read: " + err.Error(), alarm}
	case n > 0:
		d.model.msg = message{fmt.Sprintf("Another program wrote: %d new, shown.", n), warn}
	}
}

func (d *desk) refresh() {
	sheet := d.model.mode == modeHandover || d.model.from == modeHandover && d.model.mode == modeLine
	s := d.clerk.look(sheet)
	s.when = d.stamp(nil)
	var do cmd
	d.model, do = update(d.model, s)
	if do.beep && d.opt.Bell {
		d.beep()
	}
	if f := d.clerk.fault; d.clerk.untold { // said once, when it was read
		d.clerk.untold = false
		d.model.msg = message{"The timetable is not used as it stands: " + strings.TrimRight(f.Error(), ".?") + ". Put it right, and open the desk again.", warn}
	}
}

// Draw paints the desk; see tview.Primitive. It changes nothing.
func (d *desk) Draw(screen tcell.Screen) {
	d.Box.DrawForSubclass(screen, d)
	x, y, w, h := d.GetInnerRect()
	for i, r := range view(&d.model, &d.theme, w, h) {
		paint(screen, x, y+i, w, r, &d.theme)
	}
}

// PasteHandler takes text pasted into the terminal; see tview.Primitive.
func (d *desk) PasteHandler() func(text string, setFocus func(p tview.Primitive)) {
	return func(text string, _ func(p tview.Primitive)) { d.step(pasted{text}) }
}

// keyNames are the keys that are not characters, as keyTable calls them.
var keyNames = map[tcell.Key]string{
	tcell.KeyEnter: "Enter", tcell.KeyEsc: "Esc", tcell.KeyTab: "Tab", tcell.KeyBackspace: "Backspace", tcell.KeyBackspace2: "Backspace",
	tcell.KeyDelete: "Delete", tcell.KeyUp: "Up", tcell.KeyDown: "Down", tcell.KeyLeft: "Left", tcell.KeyRight: "Right",
	tcell.KeyHome: "Home", tcell.KeyEnd: "End", tcell.KeyPgUp: "PgUp", tcell.KeyPgDn: "PgDn",
	tcell.KeyF1: "F1", tcell.KeyF2: "F2", tcell.KeyF3: "F3", tcell.KeyF4: "F4", tcell.KeyF5: "F5", tcell.KeyF6: "F6", tcell.KeyF7: "F7", tcell.KeyF8: "F8", tcell.KeyF9: "F9", tcell.KeyF10: "F10",
	tcell.KeyCtrlA: "Ctrl-A", tcell.KeyCtrlC: "Ctrl-C", tcell.KeyCtrlE: "Ctrl-E", tcell.KeyCtrlU: "Ctrl-U", tcell.KeyCtrlW: "Ctrl-W",
}

// keyName is the name of a key in keyTable.
func keyName(ev *tcell.EventKey) string {
	if ev.Key() == tcell.KeyRune {
		return string(ev.Rune())
	}
	return keyNames[ev.Key()]
}
