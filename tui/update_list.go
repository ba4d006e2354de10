package tui

import (
	"cmp"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/calendar"
	"fairhand/register/notation"
)

// pressList is the keys of the pages that show a list.
func (m model) pressList(p pressed) (model, cmd) {
	switch p.do {
	case doDrop:
		if m.mode == modeHelp {
			m.mode, m.top = m.back, 0
			return m, cmd{}
		}
		m.mode, m.top, m.pick, m.shown, m.edit = modeDesk, 0, 0, nil, editor{}
	case doCorrect:
		if e := m.picked(); e != nil {
			stands := notation.Format(e.Event, m.zone)
			if e.Event.Kind == block.Correct {
				stands = e.Event.Text // what is to stand there, no line about a line
			}
			m = m.line(forCorrect, e.Seq, stands)
			m.stands = m.edit.String()
			return m, cmd{}
		}
	case doExplain:
		if seq := m.toExplain(); seq > 0 {
			m.back = m.mode
			return m.line(forExplain, seq, ""), cmd{}
		}
		m.msg = message{"Nothing was found about this entry.", calm}
	case doOnly:
		m.only = (m.only + 1) % (len(m.box.Sections) + 1)
		m.pick = max(0, len(m.entries())-1)
	case doUp, doDown:
		return m.step(p.do)
	case doFound:
		m.found = !m.found
		m.pick = max(0, len(m.entries())-1)
	case doPage:
		m.mode, m.top = modePage, 0
		return m, cmd{do: fetch, date: m.date(), page: true}
	case doFine:
		m.fine, m.top = !m.fine, 0
	case doBook:
		m.mode, m.pick = modeBook, max(0, len(m.entries())-1)
	default:
		return m.scroll(p.do), cmd{}
	}
	return m, cmd{}
}

// step moves by a line, and from an end of the book's day to the day beside it.
func (m model) step(do doer) (model, cmd) {
	switch {
	case m.mode == modeBook && do == doUp && m.pick == 0 && m.find == "" && !m.found && m.only == 0:
		return m, cmd{do: fetch, date: m.date(), step: -1}
	case m.mode == modeBook && do == doDown && m.shown != nil && m.pick == len(m.entries())-1:
		return m, cmd{do: fetch, date: m.date(), step: 1}
	}
	return m.scroll(do), cmd{}
}

// toGraph shows the train graph of the day shown.
func (m model) toGraph(pressed) (model, cmd) {
	m.mode, m.top, m.msg = modeGraph, 0, message{}
	return m, cmd{do: fetch, date: m.date(), page: true}
}

// scroll moves the selection of a list, or the help page.
func (m model) scroll(a doer) model {
	n, at := pageTable[m.mode].length(&m), &m.pick
	if papers.has(m.mode) {
		at = &m.top
	}
	switch a {
	case doHome:
		*at = 0
	case doEnd:
		*at = n - 1
	default:
		*at -= scrolls[a]
	}
	*at = max(0, min(*at, n-1))
	return m
}

// picked is the selected entry of the register page; nil for none.
func (m *model) picked() *register.Entry {
	if list := m.entries(); m.mode == modeBook && m.pick < len(list) {
		return list[m.pick]
	}
	return nil
}

// toExplain is the entry that a remark is to answer; 0 for none.
func (m *model) toExplain() int64 {
	if e := m.picked(); e != nil && len(e.Findings) > 0 {
		return e.Seq
	}
	if list := m.unexplained(); m.mode == modeFindings && m.pick < len(list) {
		return list[m.pick].entry
	}
	return 0
}

// show takes a day of the register that was asked for.
func (m model) show(f fetched) model {
	if f.err != nil {
		return m.saying("Not shown: "+f.err.Error(), warn)
	}
	if f.full { // what was shown at once, now with all that is known about it
		if m.shown != nil && m.shown.Date == f.day.Date {
			m.shown, m.glance = f.day, false
			m.pick = max(0, min(m.pick, len(m.entries())-1))
		}
		return m
	}
	if m.mode != modeBook && f.day == nil {
		return m // already the last
	}
	m.shown, m.glance, m.msg, m.top = f.day, f.day != nil, message{}, 0
	if f.asked != 0 && m.mode == modeBook {
		m.msg = message{"Nothing is written on " + f.asked.String() + ". This is the nearest day.", calm}
	}
	list := m.entries()
	m.pick = max(0, len(list)-1)
	if f.first {
		m.pick = 0
	}
	for i, e := range list {
		if e.Seq == f.seq {
			m.pick = i
		}
	}
	return m
}

// longAgo is further back than a turn of duty: a time so long ago is a slip of
// the hand, and can still be given in the line of an entry.
const longAgo = 12 * 60 * block.Minute

// enterOther takes a line that is no entry: a time, a date or a search.
func (m model) enterOther(at block.Time) (model, cmd) {
	text := strings.TrimSpace(m.edit.String())
	switch m.purpose {
	case forTime:
		return m.enterTime(text, at)
	case forDate:
		day, err := parseDate(text)
		if err != nil {
			return m.says(err.Error(), warn)
		}
		m.mode, m.edit = m.from, editor{}
		return m, cmd{do: fetch, date: day, page: m.mode != modeBook}
	case forYears:
		if text == "" {
			return m.says("What is looked for? A train, a token, a name or any text.", warn)
		}
		return m.seek(text)
	case forPeriod:
		from, until, err := parsePeriod(text)
		if err != nil {
			return m.says(err.Error(), warn)
		}
		return m.examine(spanText(from, until), from, until, 0)
	case forSign:
		if text == "" {
			return m.says("Nothing is typed. Nothing was written.", warn)
		}
		return m, cmd{do: write, line: closed(text)}
	case forStrike:
		return m.struckOut(text, at)
	case forPIN:
		return m.toPIN(cmp.Or(text, m.state.Writer())), cmd{}
	case forQuery, forRemark, forRelief:
		return m.enterHandover(text, at)
	default:
		m.mode, m.find, m.edit = modeBook, text, editor{}
		m.pick = max(0, len(m.entries())-1)
	}
	return m, cmd{}
}

// enterTime takes the time that the next entry is of: one of the past twelve hours, or the
// minutes alone of the last time that the clock showed them.
func (m model) enterTime(text string, at block.Time) (model, cmd) {
	if n, err := strconv.Atoi(text); err == nil && len(text) == 2 && n < 60 { // the last time that the clock showed so many minutes
		now := calendar.In(at, m.zone)
		m = m.done().setBack(-((now.Minute() - n + 60) % 60))
		if m.shift < 0 {
			m.backTo = at + block.Time(m.shift)*block.Minute - block.Time(now.Second())
		}
		return m, cmd{}
	}
	text, again := strings.CutSuffix(text, "*") // as the desk shows the hour that comes twice
	evs, err := notation.ParseLine(m.zone, at, notation.By24Hours(text)+` note "x"`)
	if e := (*notation.Error)(nil); errors.As(err, &e) && strings.Contains(e.Problem, "the clocks") {
		return m.says(sentence(e.Problem)+".", warn)
	}
	if err == nil && again {
		if second, twice := calendar.Other(evs[0].At, m.zone); twice {
			evs[0].At = max(evs[0].At, second)
		}
	}
	if err != nil || len(evs) != 1 || evs[0].At > at || at-evs[0].At > longAgo {
		return m.says("A clock time of the past twelve hours is wanted, such as 10:41, 1041 or 2.30pm, or 41 for the last time the clock showed it.", warn)
	}
	if m = m.done().setBack(-int((at - evs[0].At) / block.Minute)); m.shift < 0 {
		m.backTo = evs[0].At
		if other, twice := calendar.Other(evs[0].At, m.zone); twice && other <= at {
			m.msg = message{fmt.Sprintf("The clock showed that twice. %s is meant; if not, type %s.", m.noted(evs[0].At), m.noted(other)), warn}
		}
	}
	return m, cmd{}
}

var errDate = errors.New("a date is wanted, written as 2026-05-05; 2026-05 and 2026 are its first day")

// parseDate reads 2026-05-05 as 20260505, and a month or a year as its first day.
func parseDate(text string) (calendar.Day, error) {
	switch len(text) {
	case len("2026"):
		text += "-01-01"
	case len("2026-05"):
		text += "-01"
	}
	n, err := strconv.Atoi(strings.ReplaceAll(text, "-", ""))
	if err != nil || n < 10000101 || n > 99991231 {
		return 0, errDate
	}
	return calendar.Day(n), nil
}

// turn is the line that begins or ends a turn of duty.
func (m *model) turn() string {
	if n := m.state.OnDuty; len(n) > 0 {
		return fmt.Sprintf("duty off %q", n[len(n)-1].Name)
	}
	return "duty on "
}

// pressQuit leaves the desk or goes back to where the question came up.
func (m model) pressQuit(p pressed) (model, cmd) {
	if p.do == doAccept {
		return m, cmd{do: leave}
	}
	m.mode = m.back
	return m, cmd{}
}

// toList opens a list at its beginning, the book at its end.
func (m model) toList(of mode) model {
	m.mode, m.pick, m.msg = of, 0, message{}
	m.shown, m.find, m.found, m.only, m.edit, m.top = nil, "", false, 0, editor{}, 0
	if of == modeBook {
		m.pick = max(0, len(m.day)-1)
	}
	return m
}
