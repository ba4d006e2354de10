package tui

import (
	"errors"
	"fmt"
	"slices"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register"
	"fairhand/register/notation"
	"fairhand/register/store"
)

// written takes how a writing ended. What was typed stays on the screen until it is on
// disk, also when danger was decided on in between.
func (m model) written(w wrote) (model, cmd) {
	if m.mode == modeStop && w.err != nil && !w.behind {
		m.mode = m.stop.from
	}
	m.stop = stopped{}
	last := int64(0)
	if n := len(w.entries); n > 0 {
		last = w.entries[n-1].Seq
	}
	if w.err != nil {
		m = m.unreadable(w.err)
		m.msg = message{notWritten(w, last), alarm}
		if w.lost != "" && last == 0 && !w.onDisk && !w.behind {
			m.history = append(slices.Clip(m.history), kept{forEntry, 0, w.lost}) // with the time at which it happened
		}
		if m.mode != modeLine && (w.behind || !m.mode.typing() && m.mode != modeProof) {
			m.mode = modeDesk
		}
		if w.onDisk || last > 0 {
			m = m.done()
		}
		return m, cmd{beep: true}
	}
	if m.mode == modeLine && m.purpose == forEntry && !m.edit.empty() {
		m.history = append(slices.Clip(m.history), kept{forEntry, m.target, m.edit.String()})
	}
	m.msg = message{"Nothing to write.", calm}
	if last > 0 {
		e := w.entries[len(w.entries)-1]
		as := fmt.Sprintf("Written as %d: ", last)
		if first := w.entries[0].Seq; first < last { // as when a turn is handed over
			as = fmt.Sprintf("Written as %d to %d, the last: ", first, last)
		}
		m.msg = message{as + entryText(&e), good}
		if e.Event.Kind == block.PINSet {
			m.msg.text = m.pinSet(&e)
		}
		if of, f := gravestOf(w.entries); f != nil && f.Severity > rulebook.Advice {
			m.msg = message{fmt.Sprintf("Written as %d. %s: %s", of, severityWord(f.Severity), f.Text), warn}
		}
	}
	if m.aside.text != "" {
		return m.resumed(message{"Added to the box as entry " + itoa(int(last)) + ". " + sentence(m.key("Enter")) + " goes on with what was typed.", good}), cmd{}
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
	switch {
	case w.lost != "" && errors.Is(w.err, store.ErrReadOnly):
		return "NOT WRITTEN: " + w.lost + ". The register or its folder is closed to writing: write it on paper, have that mended, then enter it: e, then Up, has it with its time. " + w.err.Error()
	case w.lost != "":
		return "NOT WRITTEN: " + w.lost + ". Write it on paper until it can be entered: e, then Up, has it with its time. " + w.err.Error()
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
	if at, ok := errors.AsType[*notation.Error](err); ok {
		m.fault = at
		first, rest := "", *at
		if at.Hint != "" { // before a list of words that may not fit
			first, rest.Hint = sentence(at.Hint)+" ", ""
		}
		return m.saying("Not written. "+first+rest.Error(), warn)
	}
	return m.saying("Not written. "+err.Error(), warn)
}
