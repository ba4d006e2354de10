package tui

import (
	"fmt"
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/each"
	"fairhand/register/notation"
)

// stopPanel is the full-width box that stops the hand: danger was found in what
// is about to be written.
func stopPanel(m *model, p *page) {
	f := &m.stop.findings[min(m.pick, len(m.stop.findings)-1)]
	title := " STOP: NOT WRITTEN YET "
	if n := len(m.stop.findings); n > 1 {
		title += fmt.Sprintf("(%d of %d: %s, %s) ", m.pick+1, n, m.key("Up"), m.key("Down"))
	}
	p.put(line(peril, strings.Repeat("!", 3)+title+strings.Repeat("!", max(0, p.w-len(title)-3))))
	for _, e := range m.stop.events {
		p.put(row{txt(dim, " Entry      ")}.add(strong, notation.Format(e, m.zone)))
	}
	reason(m, p, f, 4)
	keys := []row{
		{txt(plain, "   "), txt(keycap, " w "), txt(strong, "  write it, it happened")},
		{txt(plain, "   "), txt(keycap, " d "), txt(strong, "  drop it, not done yet"), txt(dim, "   ("+m.key("Esc")+" does the same)")},
	}
	if canLeave(m) {
		alone := notation.Format(unanswered(m.stop.events[0]), m.zone)
		keys = append([]row{{txt(plain, "   "), txt(keycap, " r "), txt(strong, "  not accepted: write  "), txt(plain, alone)}}, keys...)
	}
	for p.left() > len(keys)+1 {
		p.put(row{})
	}
	p.put(keys...)
}

// pressStop is the two answers to a danger.
func (m model) pressStop(p pressed) (model, cmd) {
	switch p.do {
	case doWriteIt:
		m.mode = m.stop.from
		return m, cmd{do: write, events: m.stop.decided(p.at), sure: true, signers: m.stop.signers}
	case doRefuse:
		if !canLeave(&m) {
			return m.says(fmt.Sprintf("%q is no key here; ? tells the keys. Nothing was written.", p.key), warn)
		}
		events := m.stop.decided(p.at)
		events[0] = unanswered(events[0])
		if m.mode = m.stop.from; m.mode == modeLine {
			m.edit = edited(notation.FormatBody(events[0]))
		}
		return m, cmd{do: write, events: events, signers: m.stop.signers} // of the offer alone danger may be found, too
	case doDrop:
		return m.stopDropped(), cmd{}
	case doUp:
		m.pick = max(0, m.pick-1)
	case doDown:
		m.pick = min(len(m.stop.findings)-1, m.pick+1)
	}
	return m, cmd{}
}

// decided are the events stopped, written when they are decided on.
func (s *stopped) decided(at block.Time) []block.Event {
	events := slices.Clone(s.events)
	for i, e := range events {
		if at-e.At >= block.Minute && e.Written == 0 {
			events[i].Written = at
		}
	}
	return events
}

// canLeave says whether what is stopped is a train offered to this box and accepted by it, so
// that the offer can be written alone.
func canLeave(m *model) bool {
	if len(m.stop.events) != 1 {
		return false
	}
	e := &m.stop.events[0]
	n := len(e.Bells)
	return n > 1 && e.Bells[n-1].Sent && !e.Bells[n-2].Sent && (e.Bells[n-1].Code == "accept" || m.description(e.Section, string(e.Bells[n-1].Code)) != nil)
}

// unanswered is a train offered without the answer that accepts it; in words, where silence
// is no answer, with its refusal.
func unanswered(e block.Event) block.Event {
	e.Bells, e.PN = slices.Clone(e.Bells[:len(e.Bells)-1]), ""
	if first := e.Bells[0]; first.Code.Spoken() {
		e.Bells = append(e.Bells, block.Bell{Sent: !first.Sent, Code: "refuse"})
	}
	return e
}

// stopDropped goes back to where the line was begun. What was typed, or what a key would have
// written, is kept among the lines written before.
func (m model) stopDropped() model {
	if m.stop.from != modeLine {
		m.purpose, m.target, m.edit = forEntry, 0, editor{}
		if len(m.stop.events) == 1 {
			m.edit = edited(notation.FormatBody(m.stop.events[0]))
		}
	}
	m.pick, m.stop = m.stop.pick, stopped{}
	return m.givenUp()
}

// reason puts a finding in full: what, why, what was expected, the reference;
// keep rows stay free below it.
func reason(m *model, p *page, f *block.Finding, keep int) {
	rule, _ := rulebook.RuleNamed(f.Rule)
	part := func(name string, k role, text string) {
		for i, l := range wrap(text, p.w-13) {
			if p.left() <= keep {
				return
			}
			if i > 0 {
				name = ""
			}
			p.put(row{txt(dim, " "+pad(name, 10)+" ")}.add(k, l))
		}
	}
	part("What", strong, f.Text)
	part("Why", plain, rule.Why)
	part("Expected", strong, f.Expected)
	if rule.Do != f.Expected {
		part("Do", strong, rule.Do)
	}
	part("Reference", dim, f.Ref+"  ["+string(f.Rule)+"]")
	if len(f.Rests) > 0 {
		part("Rests on", dim, each.Joined(f.Rests, ";  ", func(n int64) string {
			if e := m.entry(n); e != nil {
				return fmt.Sprintf("%d: %s", n, e.Line)
			}
			return ""
		}))
	}
}
