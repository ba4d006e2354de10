package tui

import (
	"fmt"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/notation"
)

// What never happened is struck out as every correction is: the old entry stays,
// and a note with the reason stands instead of it.

// strikeReasons are why an entry is struck out; the key of each is its place.
var strikeReasons = [...]string{"wrong key", "did not happen", "entered twice", "wrong train or box"}

// strike asks why an entry is struck out.
func (m model) strike(e *register.Entry) model {
	switch {
	case e == nil:
		return m.saying("There is no entry to strike out.", warn)
	case e.CorrectedBy > 0:
		return m.saying(fmt.Sprintf("Entry %d is struck out already, by %d. For another: r, the entry, then z.", e.Seq, e.CorrectedBy), warn)
	case e.Event.Kind == block.Correct:
		return m.saying(fmt.Sprintf("The last entry corrects %d. For another: r, the entry, then z.", e.Event.Target), warn)
	}
	m.from, m.mode, m.target, m.msg = m.mode, modeStrike, e.Seq, message{}
	return m
}

// latest is the last entry written; nil for none.
func (m *model) latest() *register.Entry {
	if n := len(m.day); n > 0 {
		return &m.day[n-1]
	}
	return nil
}

// pressStrike is the keys while the reason is asked.
func (m model) pressStrike(p pressed) (model, cmd) {
	if p.do == doReason {
		return m.struckOut(strikeReasons[p.key[0]-'1'], p.at)
	}
	m.mode = m.from
	return m.says("Dropped. Nothing was written.", calm)
}

// struckOut is the correction that strikes out an entry for a reason.
func (m model) struckOut(reason string, at block.Time) (model, cmd) {
	e := m.entry(m.target)
	for _, x := range m.entries() {
		if x.Seq == m.target {
			e = x
		}
	}
	if reason == "" || e == nil {
		return m.says("Why is it struck out? Nothing was written.", warn)
	}
	stands := block.Event{Kind: block.Note, Text: "entered in error: " + reason, At: max(e.Event.At, e.Event.Written)} // a slip was made when it was written
	return m, cmd{do: write, events: []block.Event{{Kind: block.Correct, Target: m.target, Text: notation.Format(stands, m.zone), At: at}}}
}

// strikePanel asks why.
func strikePanel(m *model, p *page) []row {
	out := []row{ruled(p.t, fmt.Sprintf(" STRIKE OUT ENTRY %d: IT STAYS, STRUCK THROUGH. WHY? ", m.target), p.w)}
	if e := m.entry(m.target); e != nil {
		out = append(out, entryRow(e, p.t, p.w))
	}
	r := row{}
	for i, why := range strikeReasons {
		r = r.add(plain, " ").add(keycap, itoa(i+1)).add(strong, " "+why+" ")
	}
	return append(out, r.add(keycap, " t").add(strong, " type it"))
}
