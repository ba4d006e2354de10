package tui

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register"
	"fairhand/register/notation"
)

// update takes what happened and gives the desk after it, and what is to be
// done. Nothing is written from a prompt that cannot have been read yet.
func update(m model, happened msg) (model, cmd) {
	before := m
	m, do := m.take(happened)
	if do.do == write && before.mode != modeDesk && (before.fresh(before.came, m.moment) || before.fresh(before.burst, m.moment)) {
		return before.tooSoon(), cmd{}
	}
	return m.watch(before.mode), do
}

// take takes what happened. It is the only place where modes change.
func (m model) take(happened msg) (model, cmd) {
	switch h := happened.(type) {
	case seen:
		m.moment = h.when
		before := m.calling
		m = m.look(h.sight)
		return m, cmd{beep: before != nil && slices.ContainsFunc(m.calling, func(c string) bool { return !slices.Contains(before, c) })}
	case sized:
		m.small, m.width, m.height, m.moment = h.small, h.width, h.height, h.when
	case rested:
		m.moment = h.when
		return m.lockIdle(h.when).rest(h.when)
	case pasted:
		switch {
		case m.mode == modePIN || m.mode == modeLocked:
			m.secret.edit = m.secret.edit.put(h.text)
		case m.mode.typing() && !m.small:
			m = m.typed(m.edit.put(h.text))
		}
	case pressed:
		if m.small && h.do != doQuit && m.mode != modeQuit {
			return m, cmd{} // nothing is done that cannot be seen
		}
		m.moment, m.keyed = h.when, h.when
		return m.press(h)
	case unread:
		return m.unreadable(h.err), cmd{}
	case doubtful:
		return m.asks(h), cmd{beep: true}
	case held:
		m.stop = stopped{h.events, h.findings, m.mode, h.signers}
		m.pick, m.msg = 0, message{h.doubt, warn}
		m.mode = modeStop
		return m, cmd{beep: true}
	case dubious:
		return m.askClock(h)
	case wantsPIN:
		return m.askPIN(h), cmd{}
	case opened:
		return m.unseen(h)
	case fetched:
		return m.show(h), cmd{}
	case examined:
		return m.hear(h), cmd{}
	case hunted:
		return m.gather(h)
	case wrote:
		return m.written(h)
	}
	return m, cmd{}
}

// look takes a fresh look at the book.
func (m model) look(s sight) model {
	m.listed = listing(m.listed, s.next, m.state != nil && m.seen == s.state.LastSeq)
	m.sight, m.seen = s, s.state.LastSeq
	m.calling = m.calls()
	if m.section >= len(m.box.Sections) {
		m.section = 0
	}
	return m
}

// press does what a key asks for.
func (m model) press(p pressed) (model, cmd) {
	m, slip := m.slips(p)
	if slip {
		return m, cmd{}
	}
	if !m.lasting(p.do) {
		m.msg = message{}
	}
	switch p.do {
	case doHelp:
		m.back, m.mode, m.top = m.mode, modeHelp, 0
		return m, cmd{}
	case doQuit:
		if m.mode == modeHelp {
			m.mode = m.back
		}
		m.back, m.mode = m.mode, modeQuit
		return m, cmd{}
	}
	switch m.mode {
	case modeDesk:
		return m.pressDesk(p)
	case modeAsk:
		return m.pressAsk(p)
	case modeProof:
		return m.pressProof(p)
	case modeSure:
		return m.pressSure(p)
	case modeObstruct:
		return m.pressObstruct(p)
	case modeStrike:
		return m.pressStrike(p)
	case modeClock:
		return m.pressClock(p)
	case modePIN, modeLocked:
		return m.pressSecret(p)
	case modeBeats:
		return m.pressBeats(p)
	case modeLine:
		return m.pressLine(p)
	case modeStop:
		return m.pressStop(p)
	case modeQuit:
		return m.pressQuit(p)
	case modeHandover:
		if p.do != doDrop {
			return m.pressHandover(p)
		}
	case modeFound:
		return m.pressFound(p)
	case modeAudit:
		return m.pressAudit(p)
	case modeForms:
		return m.pressForms(p)
	}
	return m.pressList(p)
}

// lasting says whether the message outlives a key: an alarm, what is said of the
// danger under decision, and what is said of a line until the line changes.
func (m *model) lasting(do action) bool {
	return m.msg.grade == alarm || m.mode == modeStop || m.mode == modeLine && do != doAccept && do != doDrop
}

// screens are the lists that a key of the desk opens.
var screens = map[action]mode{doForms: modeForms, doBook: modeBook, doFindings: modeFindings, doDue: modeDue, doCodes: modeCodes, doWhole: modeWhole}

// pressDesk is the keys of the desk itself.
func (m model) pressDesk(p pressed) (model, cmd) {
	switch p.do {
	case doNext:
		return m.aim(0, p)
	case doNth:
		return m.aim(m.numberedRow(int(p.key[0]-'0')), p)
	case doAlter:
		m.alter, m.msg = !m.alter, message{}
	case doEarlier:
		m = m.setBack(m.shift - 1)
	case doLater:
		m = m.setBack(min(0, m.shift+1))
	case doBeats:
		return m.openPad(), cmd{}
	case doLine:
		return m.line(forEntry, 0, ""), cmd{}
	case doMove:
		return m.line(forEntry, 0, m.shunt()), cmd{}
	case doObstruct:
		m.mode, m.msg = modeObstruct, message{}
	case doStrike:
		return m.strike(m.latest()), cmd{}
	case doPIN:
		return m.line(forPIN, 0, ""), cmd{}
	case doLock:
		return m.lock(), cmd{}
	case doTime:
		return m.line(forTime, 0, ""), cmd{}
	case doTurn:
		return m.toTurn(p.at)
	case doHandover:
		m.mode, m.pick, m.msg = modeHandover, 1, message{}
		return m, cmd{do: survey}
	case doTrains:
		m.mode, m.pick, m.msg = modeTrains, 0, message{}
	case doInspect:
		return m.inspect(), cmd{}
	case doGraph:
		return m.toGraph()
	case doCodes, doWhole:
		m.mode, m.top, m.msg = screens[p.do], 0, message{}
	case doForms, doBook, doFindings, doDue:
		return m.toList(screens[p.do]), cmd{}
	case doUp:
		m.older(1)
	case doPageUp:
		m.older(10)
	case doDown:
		m.older(-1)
	case doPageDown:
		m.older(-10)
	case doEnd:
		m.top = 0
	case doDrop:
		m = m.setBack(0)
		m.alter, m.msg, m.top = false, message{}, 0
	}
	return m, cmd{}
}

// setBack sets the next entry so many minutes back.
func (m model) setBack(shift int) model {
	if m.backTo != 0 {
		m.backTo += block.Time(shift-m.shift) * block.Minute
	}
	if m.shift = shift; shift == 0 {
		m.backTo = 0
	}
	return m
}

// then is when the next entry happened that is entered at a moment.
func (m *model) then(at block.Time) block.Time {
	if m.backTo != 0 {
		return m.backTo
	}
	return at + block.Time(m.shift)*block.Minute
}

// older scrolls the entries of the desk so many lines towards the older ones, over
// midnight too; days before that are in the register (r).
func (m *model) older(lines int) {
	m.top = max(0, min(len(m.eve)+len(m.day)-1, m.top+lines))
}

// expected writes an entry expected next, or asks for what it wants first.
func (m model) expected(x block.Expectation, at block.Time) (model, cmd) {
	if x.Event.Kind == block.DutyOn {
		return m.toTurn(at)
	}
	m.ask = asking{exp: x, was: m.then(at)}
	m.edit, m.msg, m.place = editor{}, message{}, 0
	if m.shift < 0 {
		back := x.Event
		back.At = m.ask.was
		m.ask.exp.Clears = strings.TrimSpace(m.before(&back) + " " + x.Clears)
	}
	if m.alter && alterable(x.Event) {
		m.ask.exp.AskCode, m.ask.exp.AskTrain = true, true
	}
	return m.question(at)
}

// question opens the next question that the entry asked about wants answered, and
// writes it when there is none.
func (m model) question(at block.Time) (model, cmd) {
	m.mode = m.questioned(&m.ask.exp)
	if m.mode == modeDesk {
		return m.asked(m.ask.exp.Event, at)
	}
	return m, cmd{}
}

// questioned is the mode in which an expected entry is asked about first; modeDesk
// when it is written as it stands.
func (m *model) questioned(x *block.Expectation) mode {
	switch {
	case x.Event.Kind == block.DutyOn:
		return modeLine
	case x.Clears != "":
		return modeSure
	case x.AskProof:
		return modeProof
	case x.AskTrain || x.AskNumber || x.AskPN || x.AskCall || m.alter && alterable(x.Event):
		return modeAsk
	}
	return modeDesk
}

func alterable(e block.Event) bool { return e.Kind == block.Bells }

// asked writes an expected entry that wants nothing more, at the moment at. It
// happened when its key was first pressed.
func (m model) asked(e block.Event, at block.Time) (model, cmd) {
	return m, cmd{do: write, events: []block.Event{timed(e, m.ask.was, at)}}
}

// timed gives an event its time, and the time of writing when that is a minute
// or more later.
func timed(e block.Event, was, at block.Time) block.Event {
	e.At, e.Written = was, 0
	if at-was >= block.Minute {
		e.Written = at
	}
	return e
}

// written takes how a writing ended. A line stays on the screen until it is on disk.
func (m model) written(w wrote) (model, cmd) {
	m.stop = stopped{}
	last := int64(0)
	if n := len(w.entries); n > 0 {
		last = w.entries[n-1].Seq
	}
	if w.err != nil {
		m = m.unreadable(w.err)
		m.msg = message{notWritten(w, last), alarm}
		if m.mode != modeLine {
			m.mode = modeDesk
		}
		if w.onDisk || last > 0 {
			m = m.done()
		}
		return m, cmd{beep: true}
	}
	if m.mode == modeLine && m.purpose == forEntry && !m.edit.empty() {
		m.history = append(slices.Clip(m.history), m.edit.String())
	}
	m.msg = message{"Nothing to write.", calm}
	if last > 0 {
		e := w.entries[len(w.entries)-1]
		m.msg = message{fmt.Sprintf("Written as %d: %s", last, entryText(&e)), good}
		if e.Event.Kind == block.PINSet {
			m.msg.text = m.pinSet(&e)
		}
		if of, f := gravestOf(w.entries); f != nil && f.Severity > rulebook.Advice {
			m.msg = message{fmt.Sprintf("Written as %d. %s: %s", of, severityWord(f.Severity), f.Text), warn}
		}
	}
	if m.aside.text != "" {
		return m.resumed(message{"Added to the box as entry " + itoa(int(last)) + ". Enter goes on with what was typed.", good}), cmd{}
	}
	if m.mode == modeHandover || m.purpose == forRelief {
		m.taking, m.purpose = takeover{}, forEntry
	}
	signed := m.mode == modeLine && m.purpose == forSign
	more := m.mode == modeLine && m.purpose == forExplain && m.back == modeFindings && len(m.unexplained()) > 0
	m = m.done()
	if more {
		m.mode, m.pick = modeFindings, 0
	}
	if signed {
		m.mode = modeAudit
	}
	return m, cmd{}
}

// done returns to the desk after a writing.
func (m model) done() model {
	m = m.setBack(0)
	m.mode, m.edit, m.alter, m.top = modeDesk, editor{}, false, 0
	m.fault, m.offers, m.recall = nil, nil, 0
	return m
}

// notWritten says what is on disk and what is not.
func notWritten(w wrote, last int64) string {
	switch {
	case w.onDisk:
		return "WRITTEN, but: " + w.err.Error()
	case w.behind:
		return "NOT WRITTEN: another program wrote first. The desk shows its entries now; look again, then decide."
	case last > 0:
		return fmt.Sprintf("WRITTEN up to %d, the other %d NOT: %v", last, w.of-len(w.entries), w.err)
	}
	return "NOT WRITTEN: " + w.err.Error()
}

// gravestOf is the gravest finding about several entries, and the entry's number.
func gravestOf(list []register.Entry) (of int64, g *block.Finding) {
	for i := range list {
		if f := gravest(list[i].Findings); f != nil && (g == nil || f.Severity > g.Severity) {
			of, g = list[i].Seq, f
		}
	}
	return of, g
}

func gravest(list []block.Finding) *block.Finding {
	var g *block.Finding
	for i := range list {
		if g == nil || list[i].Severity > g.Severity {
			g = &list[i]
		}
	}
	return g
}

// unreadable shows where a line cannot be read.
func (m model) unreadable(err error) model {
	m.fault = nil
	var at *notation.Error
	if errors.As(err, &at) {
		m.fault = at
		first, rest := "", *at
		if at.Hint != "" { // before a list of words that may not fit
			first, rest.Hint = strings.ToUpper(at.Hint[:1])+at.Hint[1:]+" ", ""
		}
		m.msg = message{"Not written. " + first + rest.Error(), warn}
		return m
	}
	m.msg = message{"Not written. " + err.Error(), warn}
	return m
}
