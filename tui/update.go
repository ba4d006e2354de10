package tui

import (
	"slices"
	"strings"

	"fairhand/block"
)

// update takes what happened and gives the desk after it, and what is to be
// done. Nothing is written from a prompt that cannot have been read yet.
func update(m model, happened msg) (model, cmd) {
	before := m
	m, do := m.take(happened)
	again := m.last == "Enter" && before.doubted != "" && before.enterRests(m.moment) // Enter twice is no answer to the question in between
	if do.do == write && before.mode != modeDesk && (again || before.fresh(before.came, m.moment) || before.fresh(before.burst, m.moment)) {
		m, do = before.tooSoon(), cmd{}
	}
	return m.watch(before.mode), do
}

// take takes what happened: every change of mode begins here.
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
		m.moment, m.keyed, m.last = h.when, h.when, h.key
		return m.press(h)
	case unread:
		return m.unreadable(h.err), cmd{}
	case doubtful:
		return m.asks(h), cmd{beep: true}
	case held:
		m.stop = stopped{h.events, h.findings, m.mode, h.signers, m.pick}
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
	before := m.listed
	m.listed = listing(before, gathered(s.next), m.state != nil && m.seen == s.state.LastSeq, m.soon(), m.renamed(&s))
	m.giveBack(before)
	m.sight, m.seen, m.onHand = s, s.state.LastSeq, namesOf(s.state.Trains, trainName)
	m.calling = m.calls()
	if m.section >= len(m.box.Sections) {
		m.section = 0
	}
	return m
}

// presses has the keys of each mode but those of the lists.
var presses = map[mode]func(model, pressed) (model, cmd){
	modeDesk: model.pressDesk, modeAsk: model.pressAsk, modeProof: model.pressProof, modeSure: model.pressSure,
	modeObstruct: model.pressObstruct, modeMove: model.pressMove, modeWhere: model.pressMove, modeWhich: model.pressWhich,
	modeStrike: model.pressStrike, modeClock: model.pressClock, modePIN: model.pressSecret, modeLocked: model.pressSecret,
	modeBeats: model.pressBeats, modeLine: model.pressLine, modeStop: model.pressStop, modeQuit: model.pressQuit,
	modeHandover: model.pressHandover, modeFound: model.pressFound, modeAudit: model.pressAudit, modeForms: model.pressForms,
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
	return p.do.press(m, p)
}

// lasting says whether the message outlives a key: an alarm, what is said of the
// danger under decision, and what is said of a line until the line changes.
func (m *model) lasting(do doer) bool {
	return m.msg.grade == alarm || m.mode == modeStop || m.mode == modeLine && do != doAccept && do != doDrop
}

// scrolls is by how many entries the register of the desk goes back.
var scrolls = map[doer]int{doUp: 1, doDown: -1, doPageUp: 10, doPageDown: -10}

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
	case doObstruct:
		m.mode, m.msg = modeObstruct, message{}
	case doRings:
		return m.rings(p.at, 0)
	case doHandover:
		m = m.toList(modeHandover)
		m.pick = 1 // below the first heading
		return m, cmd{do: survey}
	case doUp, doDown, doPageUp, doPageDown:
		m.older(scrolls[p.do])
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
	case x.AskTrain || x.AskNumber || x.AskPN || x.AskCall || m.alter && alterable(x.Event):
		return modeAsk
	case x.AskProof:
		return modeProof
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
