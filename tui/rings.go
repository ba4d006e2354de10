package tui

import (
	"slices"

	"fairhand/block"
)

// The telephone of a level crossing does not wait for a place in the list of what is
// expected: one key opens the call, however full the desk is.

// canRing says whether the box has a crossing from which users ring.
func canRing(m *model) bool { return len(block.Rings(m.box, m.state)) > 0 }

// besideCalls says whether the footer has room for a key that is wanted less often than
// the telephone.
func besideCalls(m *model) bool { return m.width > 80 || !canRing(m) }

// rings opens the call from the crossing last rung from, or one further.
func (m model) rings(at block.Time, further int) (model, cmd) {
	calls := block.Rings(m.box, m.state)
	if len(calls) == 0 {
		return m.says("No level crossing of this box is worked by its users. Nothing was written.", warn)
	}
	return m.expected(calls[further%len(calls)], at)
}

// nextCrossing asks for the call from the next crossing instead.
func (m model) nextCrossing() (model, cmd) {
	calls := block.Rings(m.box, m.state)
	is := slices.IndexFunc(calls, func(x block.Expectation) bool { return x.Event.Place == m.ask.exp.Event.Place })
	typed, was := m.edit, m.ask.was
	m, do := m.rings(was, is+1)
	m.edit, m.ask.was = typed, was
	return m, do
}

// elsewhere says how the call is made one of another crossing.
func (m *model) elsewhere() string {
	if !m.canRingElsewhere() {
		return ""
	}
	return ", " + m.key("Tab") + ": another crossing"
}

func (m *model) canRingElsewhere() bool {
	return m.ask.exp.AskCall && len(block.Rings(m.box, m.state)) > 1
}
