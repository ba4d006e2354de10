package tui

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"fairhand/block/rulebook"
	"fairhand/register"
	"fairhand/register/audit"
	"fairhand/register/notation"
)

// The line mode is the same desk without a screen: lines of plain text go in and
// out, for a screen reader, a braille line or a serial terminal. A line is a key of
// the desk, the answer to what was asked, or an entry; what is told is drawn by the
// same functions, and after each line only what has changed.

// The page that the line mode is laid out on: so wide that no row is cut or broken where a
// sentence is not at its end, and so high that nothing is left out.
const talkWidth, talkHeight = 300, 400

// talker is the line mode.
type talker struct {
	d   *desk
	out io.Writer

	lines   []string          // of the sections, as told last
	notices []string          // that stood when told last
	under   map[string]string // what was told under each number
	next    string            // the entries expected next, as told last
	page    []string          // the list told last
	mode    mode              // told last
	behind  mode              // the list from which something is asked, and all of it that was told
	paper   []string
	again   bool   // what is typed takes the place of what was typed before
	shift   int    // minutes that the next entry is set back, as told last
	duty    string // who is on duty, as told last
	left    bool
	told    int                   // texts so far
	failed  error                 // of writing to out
	hide    func(hide bool) error // of Options
	hidden  bool                  // what is typed is not shown
}

// Talk opens the desk in the line mode and returns when the signaller leaves, in
// ends or ctx does. Entries are written as they are entered. The error is that of
// writing to out or reading from in.
func Talk(ctx context.Context, book *register.Book, in io.Reader, out io.Writer, opt Options) error {
	ctx, stop := context.WithCancel(ctx)
	t := newTalker(book, book.Location(), out, opt)
	t.d.clerk.source = audit.Register(book)
	watching := watchBehind(ctx, opt.Watch)
	defer func() {
		t.unseen(false)
		stop() // what looks after the register ends with the talk
		<-watching
	}()
	lines, unread := make(chan string), make(chan error, 1)
	go func() {
		s := bufio.NewScanner(in)
		s.Buffer(nil, notation.MaxLine+2)
		s.Split(ended)
		for s.Scan() {
			select {
			case lines <- s.Text():
			case <-ctx.Done():
				return
			}
		}
		err := s.Err()
		if errors.Is(err, bufio.ErrTooLong) {
			err = fmt.Errorf("a line of more than %d bytes was typed, and nothing of it was written", notation.MaxLine)
		}
		unread <- err
	}()
	clock := time.NewTicker(time.Second)
	defer clock.Stop()
	t.begin()
	for !t.left && t.failed == nil {
		select {
		case <-ctx.Done():
			return nil
		case err := <-unread:
			return err
		case <-clock.C:
			t.look()
			t.idle()
			t.tellNotices()
		case l := <-lines:
			t.take(l)
		}
	}
	if t.left {
		t.say("Left. Everything written is on disk.")
	}
	return t.failed
}

// ended gives lines that somebody has ended: of one on which the connection was lost
// nobody knows whether it was meant.
func ended(data []byte, atEnd bool) (int, []byte, error) {
	n, line, err := bufio.ScanLines(data, atEnd)
	if atEnd && bytes.IndexByte(data, '\n') < 0 {
		return len(data), nil, err
	}
	return n, line, err
}

func newTalker(b book, zone *time.Location, out io.Writer, opt Options) *talker {
	opt.Look, opt.Graph = Never, nil // a drawing cannot be read out
	t := &talker{d: newDesk(b, zone, opt), out: out, hide: opt.Hide}
	t.d.clerk.helper.inline, t.d.model.lines = true, true
	t.d.leave = func() { t.left = true }
	t.d.step(sized{width: talkWidth, height: talkHeight, when: t.d.stamp(nil)})
	return t
}

// begin tells who is where, and how to be told more.
func (t *talker) begin() {
	t.say("The desk in lines. A question mark tells the keys; an empty line tells what is next; s tells everything; q leaves.")
	t.say("Keys that have names are typed after a stroke: /esc, /tab, /up, /down. What Enter does where something is typed, an empty line does.")
	t.standing()
	t.tell()
}

func (t *talker) say(text string) {
	if text = strings.TrimSpace(text); text != "" && t.failed == nil {
		_, t.failed = fmt.Fprintln(t.out, text)
		t.told++
	}
}

// look looks at the book afresh, as the ticker of a screen does.
func (t *talker) look() {
	was := t.d.model.msg
	t.d.catchUp()
	t.d.clerk.tell()
	t.d.refresh()
	if now := t.d.model.msg; now != was {
		t.say(now.text) // it comes of no line
	}
}

// idle locks the desk when nobody has typed for long.
func (t *talker) idle() {
	was := t.d.model.mode
	t.d.step(rested{t.d.stamp(nil)})
	if t.d.model.mode != was {
		t.tell()
	}
}

// press presses a key of the desk.
func (t *talker) press(name string) {
	t.d.pressed(name, t.d.stamp(nil))
}

// talkKeys are the keys that a line names after a stroke.
var talkKeys = map[string]string{"esc": "Esc", "drop": "Esc", "enter": "Enter", "tab": "Tab", "up": "Up", "down": "Down", "left": "Left", "right": "Right",
	"backspace": "Backspace", "home": "Home", "end": "End", "space": " ", "pgup": "PgUp", "pgdn": "PgDn"}

// take does what a line asks for, and tells what came of it.
func (t *talker) take(line string) {
	t.look()
	words := strings.TrimSpace(line)
	m := &t.d.model
	m.msg = message{} // it was told
	before := t.told
	switch {
	case strings.HasPrefix(words, "/") && words != "/": // which alone is a key of the desk
		for _, w := range strings.Fields(words) {
			key := talkKeys[strings.ToLower(strings.TrimPrefix(w, "/"))]
			if key == "" {
				t.say(safe(w) + " is no key. /esc drops, /tab chooses, /up and /down move, /enter takes.")
				return
			}
			t.press(key)
		}
	case words == "?":
		t.help()
		return
	case m.mode == modeDesk:
		if !t.atDesk(words) {
			return
		}
	case m.mode == modeForms && words != "":
		t.narrowed(strings.TrimPrefix(words, "k "))
	case m.mode.typing():
		t.typed(words)
	case words == "" && m.mode == modeHandover:
		t.say("y takes over what is here, x queries it; an empty line does neither.")
	case words == "":
		t.mode, t.page = modeCount, nil // tell it once more
	case utf8.RuneCountInString(words) == 1:
		t.press(words)
	default:
		if !t.beside(words) {
			return
		}
	}
	t.tell()
	if t.told == before && m.mode == modeDesk && !t.left { // silence would be no answer
		t.say("At the desk; nothing has changed.")
	}
}

// beside takes a longer line where one key is wanted: something came meanwhile. An entry is
// entered from a page, which is left; at a question, which wants its answer first, it is kept.
// It is false when all has been told.
func (t *talker) beside(words string) bool {
	m := &t.d.model
	if !m.readable(words) {
		t.say("One key is wanted here; ? tells which, /esc goes back.")
		return false
	}
	if !lists.has(m.mode) {
		m.history = append(slices.Clip(m.history), kept{forEntry, 0, words})
		t.say("One key is wanted here first; ? tells which. The line is kept: e, then /up.")
		return false
	}
	for range 2 { // the help may stand before a page
		if m.mode != modeDesk {
			t.press("Esc")
		}
	}
	if m.mode != modeDesk {
		t.say("One key is wanted here; ? tells which, /esc goes back.")
		return false
	}
	t.say("At the desk:")
	t.entered(words)
	return true
}

// atDesk takes a line where no prompt is open; false when all has been told.
func (t *talker) atDesk(words string) bool {
	m := &t.d.model
	switch {
	case words == "":
		t.next, t.under, t.shift = "", nil, 0
		t.tellShift()
		t.tellNext()
		return false
	case words == "s":
		t.everything()
		return false
	case words == "leave" || words == "quit":
		t.press("q")
	case len(words) == 1 && words[0] >= '1' && words[0] <= '9':
		i := m.numberedRow(int(words[0] - '0'))
		if i >= 0 && t.under[words] != rowKey(&m.listed[i]) {
			t.say("What is under " + words + " has changed. Nothing was written.")
			return true
		}
		t.press(words)
	case utf8.RuneCountInString(words) == 1:
		t.press(words)
	case strings.HasPrefix(words, "k ") && !strings.ContainsAny(words, "<>"):
		t.press("k")
		t.narrowed(words[2:])
	case strings.HasPrefix(words, "b ") && strings.ContainsAny(words[2:3], "0123456789"):
		t.press("b") // which box it is for is told first, so it is not written yet
		t.keys(words[2:])
	default:
		t.entered(words)
	}
	return true
}

// entered is a line that is an entry. One that cannot be read is to be typed anew, as a
// whole, and for the same time.
func (t *talker) entered(words string) {
	m := &t.d.model
	t.press("e")
	t.typed(words)
	if m.mode != modeLine || m.fault == nil {
		return
	}
	shift, back := m.shift, m.backTo
	fault := m.msg.text
	t.press("Esc")
	m.shift, m.backTo = shift, back
	switch {
	case beatsFirst(words):
		t.say("Beats alone say neither which way nor with whom: b " + safe(strings.Fields(words)[0]) + " for any bell, or the number of what is expected, then the beats. Nothing was written.")
		m.msg = message{}
	case strings.ContainsAny(words, " \""):
		t.say(fault)
	case t.where(words):
		m.msg = message{}
	default:
		t.say(safe(words) + " is no entry. ? tells the keys; k and a word, the entries that have it.")
	}
}

// beatsFirst says whether a line begins with the beats of a bell.
func beatsFirst(words string) bool {
	_, err := rulebook.CompactCode(strings.Fields(words)[0])
	return err == nil
}

// keys presses the keys of a text.
func (t *talker) keys(text string) {
	for _, r := range text {
		t.press(string(r))
	}
}

func rowKey(l *listed) string { return l.Label + "\n" + l.body }

// narrowed lists the kinds of entry that have these words; an empty line takes the first.
func (t *talker) narrowed(words string) {
	t.press("Ctrl-U")
	t.keys(words)
	t.mode = modeCount // all of it is new
}

// typed types the answer to what was asked, and Enter. An answer that was not taken
// is typed anew, as is a line that is to be corrected; one that wanted only its end goes on.
func (t *talker) typed(words string) {
	m := &t.d.model
	text := m.edit.String()
	switch {
	case words == "":
	case t.again && goesOn(m, words):
		if m.mode == modeLine && !strings.HasSuffix(text, " ") {
			words = " " + words
		}
	case t.again || m.mode == modeLine && (m.purpose == forCorrect || anew(m, words)):
		t.press("End")
		t.press("Ctrl-U")
	}
	if i := strings.LastIndex(m.stands, " written "); words != "" && m.mode == modeLine && m.purpose == forCorrect && i >= 0 &&
		!strings.Contains(m.stands[i:], `"`) && !strings.Contains(words, " written ") {
		words += m.stands[i:] // it was written when it was, whatever it says now
	}
	t.keys(words)
	before := m.mode
	if before == modeBeats && arrows(m.edit.String()) > arrows(text)+arrows(words) {
		t.again = false // more stands there than was typed
		m.msg = message{"Not written yet: an empty line writes it as it stands, /esc drops it.", calm}
		return
	}
	t.press("Enter")
	t.again = m.mode == before && before.typing()
}

// arrows is how many signals a text has.
func arrows(text string) int { return strings.Count(text, "<") + strings.Count(text, ">") }

// anew says whether words typed behind a line that was put there are a whole entry, which does
// not go on from there: they take its place.
func anew(m *model, words string) bool {
	return m.purpose == forEntry && !m.readable(m.edit.String()+" "+words) && m.readable(words)
}

// readable says whether a line can be read now as it would be written.
func (m *model) readable(line string) bool { return m.reads(m.quoted(line, m.now), m.now) }

// goesOn says whether words go on with what was typed and not taken: an arrow after beats
// alone, or the rest of a line that ended too soon. A line that begins as that one began
// takes its place.
func goesOn(m *model, words string) bool {
	text := strings.TrimSpace(m.edit.String())
	first := strings.Fields(words)[0]
	switch m.mode {
	case modeBeats:
		return (first == "<" || first == ">") && text != "" && !strings.ContainsAny(text, "<> ")
	case modeLine:
		was, _, _ := strings.Cut(text, " ")
		return m.purpose == forEntry && m.fault != nil && m.fault.Column > utf8.RuneCountInString(text) && first != was
	}
	return false
}
