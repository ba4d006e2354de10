package block

import (
	"slices"

	"fairhand/block/rulebook"
)

// Boxes between: while a neighbour is switched out the section is worked with a box
// beyond it, and is longer. Source: signalbox.org, Block system ch. 10.

// section is section i as it is worked now: while the neighbour is switched out with
// the running times and the clearing point of the longer one.
func (s *State) section(b *Box, i int) *Section {
	sec := &b.Sections[i]
	if s.Circuits[i].Beyond == "" {
		return sec
	}
	long := *sec
	if long.LongRunning != [rulebook.ClassCount]Time{} {
		long.Running = long.LongRunning
	}
	if long.LongClearing != 0 {
		long.ClearingPoint = long.LongClearing
	}
	return &long
}

// running is the longest regular running time through section i as it is worked now.
func (s *State) running(b *Box, i int, c rulebook.Class) Time { return b.running(s.section(b, i), c) }

// betweenOut follows with which box a section is worked: the one beyond from the
// first bells with it, the neighbour again from the first that do not close.
func (st *step) betweenOut(i int) {
	c := &st.s.Circuits[i]
	closes := slices.ContainsFunc(st.e.Bells, func(bell Bell) bool { return st.b.lookup(i, bell.Code, rulebook.Closing) != nil })
	switch {
	case st.e.Section != st.b.Sections[i].Neighbour && c.Beyond != st.e.Section:
		if st.signalled(i) {
			st.note(rulebook.BetweenBoxSignalled, st.e.Section, "", "the section clear, and nothing signalled on it, before it is worked with another box")
		}
		st.editCircuit(i).Beyond = st.e.Section
	case st.e.Section == st.b.Sections[i].Neighbour && c.Beyond != "" && !closes:
		if st.signalled(i) {
			st.note(rulebook.BetweenBoxSignalled, st.e.Section, "", "the longer section clear before the box between takes part again")
		}
		st.editCircuit(i).Beyond = ""
	}
}

// with is the box at the other end of a section, as a sentence names it: as the entry does, or the
// one beyond while it is worked with that.
func (st *step) with(section string) string {
	if i := st.b.SectionIndex(section); i >= 0 && section != st.e.Section && st.s.Circuits[i].Beyond != "" {
		return st.s.Circuits[i].Beyond
	}
	return section
}
