package tui

import (
	"fmt"
	"slices"
	"time"

	"fairhand/block"
)

// The hand on the keys. Text typed while no prompt is open must write nothing, so
// a key that writes at once waits until the hand rests: another key within the
// guard time takes it back. The time of the entry is that of its key all the same.

// keyGuard is how long a row must have been on the screen before its key counts,
// and how long the hand must rest after a key that writes at once. It is longer
// than a worn key bounces, than a held key takes from one repeat to the next and
// than typed characters lie apart, and shorter than a hand needs to mean the next
// key. Common practice for such guards; a guess, not measured.
const keyGuard = 300 * time.Millisecond

// enterRest is how long a second Enter writes nothing after one that ended a prompt, or that
// a question about a name answered: who doubts that it was taken presses it twice, within a
// second. Shorter than the bells of one exchange take; a guess, not measured.
const enterRest = 1500 * time.Millisecond

// answeredByLetter are the questions that single letters answer: not those of a word that
// somebody types on who has not seen the question.
var answeredByLetter = in(modeStop, modeSure, modeProof, modeStrike, modeObstruct, modeMove, modeWhere, modeWhich, modeClock)

// poised is a key that writes as soon as the hand rests.
type poised struct {
	row  listed
	at   block.Time
	when time.Time
}

// rested says that no key has come for the guard time.
type rested struct{ when time.Time }

// slips deals with a key that is not to be obeyed: one that no row of the table
// answers, one within a burst of characters, one that comes before the hand rested.
func (m model) slips(p pressed) (model, bool) {
	atDesk := m.mode == modeDesk
	switch {
	case m.fresh(m.burst, p.when) && (atDesk || p.key != "Esc" && answeredByLetter.has(m.mode)):
		m.burst = p.when
	case m.poised != nil:
		m.msg = message{"Keys too close together: taken for a slip. Nothing was written.", warn}
		m.poised, m.burst = nil, p.when
	case p.do == nil:
		m.msg = message{fmt.Sprintf("%q is no key here; ? tells the keys. Nothing was written.", p.key), warn}
		if m.lines && lists.has(m.mode) {
			m.msg.text += " " + m.key("Esc") + " goes back to the desk."
		}
		m.burst = p.when
		if m.mode == modeQuit {
			m.mode = m.back
		}
	default:
		return m, false
	}
	return m, true
}

// aim writes the entry of row i of the list when the hand rests, or opens its
// questions at once. A row that cannot have been read is not obeyed.
func (m model) aim(i int, p pressed) (model, cmd) {
	switch {
	case i < 0 && m.resting(int(p.key[0]-'0')):
		return m.says(p.key+" was "+m.lent[p.key[0]-'0'].label+", which is listed no more. It rests for a quarter of a minute. Nothing was written.", warn)
	case i < 0 || i >= len(m.listed):
		return m.says("Nothing is expected under "+p.key+". Nothing was written.", warn)
	case p.do == doNext && m.enterRests(p.when):
		return m.says(m.key("Enter")+" has only just ended what was typed. Nothing more was written: read what it stands on now, then press again.", warn)
	case p.do == doNext && m.forked():
		return m.says("More than one way leads on, so "+m.key("Enter")+" writes nothing: the number of the way writes it.", calm)
	case p.do == doNext && !m.soon():
		return m.says("Nothing that is listed is next for certain within ten minutes, so "+m.key("Enter")+" writes nothing. A number writes it, b any bell, e any entry.", calm)
	case m.listed[i].since.IsZero():
		return m.says("What is under "+p.key+" is not on the screen. Nothing was written: 0 tells what the window has no room for.", warn)
	case m.fresh(m.listed[i].since, p.when) || p.do == doNext && m.fresh(m.firstCame, p.when):
		return m.says("It has only just come up under "+p.key+". Nothing was written: read it, then press again.", warn)
	}
	row := m.listed[i]
	if row.ways != nil {
		return m.oneOf(&row), cmd{}
	}
	if m.guard == 0 || m.questioned(&row.Expectation) != modeDesk {
		return m.expected(row.Expectation, p.at)
	}
	m.poised, m.msg = &poised{row, p.at, p.when}, message{}
	return m, cmd{}
}

// rest writes what a key is poised for, once the hand has rested, if it is still
// expected as it was read.
func (m model) rest(when time.Time) (model, cmd) {
	k := m.poised
	if k == nil || when.Sub(k.when) < m.guard {
		return m, cmd{}
	}
	m.poised = nil
	for i := range m.listed {
		if l := &m.listed[i]; l.Label == k.row.Label && l.body == k.row.body {
			return m.expected(l.Expectation, k.at)
		}
	}
	return m.says(k.row.Label+" is no longer expected. Nothing was written.", warn)
}

// enterRests says whether Enter comes too soon after one that ended a prompt or was
// answered by a question.
func (m *model) enterRests(pressed time.Time) bool {
	return m.guard > 0 && pressed.Sub(m.shut) < enterRest
}

// tooSoon says that a prompt was answered before it can have been read.
func (m model) tooSoon() model {
	return m.saying("Too soon: this has only just come up. Nothing was written: read it, then press again.", warn)
}

// numberedRow is the place in the list of what is under a number; -1 for none.
func (m *model) numberedRow(number int) int {
	return slices.IndexFunc(m.listed, func(l listed) bool { return l.number == number })
}
