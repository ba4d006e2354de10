package tui

import (
	"slices"
	"time"

	"fairhand/block"
	"fairhand/register"
)

// The computer's clock is asked about before anything is written by it: when it has
// gone back, has jumped, or is far on. What was to be written waits for the answer.

// dubious says that what is to be done waits until the computer's clock is known to
// be right.
type dubious struct {
	do    cmd
	doubt *register.ClockError
}

// clocked is what waits for that, and where it came from.
type clocked struct {
	dubious
	from mode
}

// clockAsked says whether a command waits for the clock; nil when nothing is in
// doubt, it was answered, or what is to be written is the answer.
func (c *clerk) clockAsked(do cmd, events []block.Event) msg {
	doubt := c.book.ClockDoubt()
	if doubt == nil || do.clockRight || slices.ContainsFunc(events, func(e block.Event) bool { return e.Kind == block.ClockRight }) {
		return nil
	}
	return dubious{do, doubt}
}

// askClock asks about the clock.
func (m model) askClock(d dubious) (model, cmd) {
	m.clocked = clocked{d, m.mode}
	m.mode, m.msg = modeClock, message{}
	return m, cmd{beep: true}
}

// pressClock is the two answers. What is typed stays either way.
func (m model) pressClock(p pressed) (model, cmd) {
	do := m.clocked.do
	m.mode, m.clocked = m.clocked.from, clocked{}
	if p.do != doAccept {
		return m.says("Set the computer's clock, then enter it again. Nothing was written.", warn)
	}
	do.clockRight = true
	return m, do
}

// clockRows are both dates in full.
func clockRows(doubt *register.ClockError) [2]string {
	now, last := doubt.Dates(time.TimeOnly)
	return [2]string{"The computer's clock reads     " + now, "The last entry was written at  " + last}
}

func clockPanel(m *model, p *page) []row {
	out := []row{ruled(p.t, " IS THE COMPUTER'S CLOCK RIGHT? NOTHING IS WRITTEN YET ", p.w)}
	if m.clocked.doubt == nil {
		return out
	}
	for _, l := range clockRows(m.clocked.doubt) {
		out = append(out, line(care, " "+l))
	}
	if m.clocked.doubt.Jumped {
		out = append(out, line(dim, " It jumped while the program ran, or the computer slept."))
	}
	return append(out, row{txt(plain, "  "), txt(keycap, "y"), txt(strong, " it is right: book that, and go on    "),
		txt(keycap, "n"), txt(strong, " it is wrong: write nothing, I set it first")})
}

// clockDoubt says on the desk that the clock is in doubt before anything is entered.
func (b *board) clockDoubt() {
	if b.doubt != nil {
		now, last := b.doubt.Dates("15:04")
		b.say(peril, "CLOCK? It reads "+now+"; last entry "+last, "")
	}
}
