package block

import (
	"slices"

	"fairhand/block/rulebook"
)

// Where more than two lines join two boxes, each further pair of lines has a bell
// and an instrument of its own. Source: C. Feather, Signal box bell codes.

// BellState is how one bell stands.
type BellState struct {
	Asked   Asked // the signal that awaits its acknowledgement
	ReadyAt Time
	Ready   bool // call attention was answered and not yet used
	ReadyMe bool // it was ours
}

// pair is the bell a line is worked by: the first line each way is on the first,
// the second each way on the second.
func (b *Box) pair(line int) int {
	r, n := b.lines[line], 0
	lines := b.Sections[r.section].Lines
	for _, l := range lines[:r.line] {
		if l.Way == lines[r.line].Way {
			n++
		}
	}
	return n
}

// onPair works a section's bells with the bell of a further pair of lines in the
// place of the first.
func (st *step) onPair(i int, ring func()) {
	k := 0
	if len(st.b.Sections[i].Lines) > 2 && len(st.e.Bells) > 0 {
		k = st.pairOf(i)
	}
	if k == 0 {
		ring()
		return
	}
	c := st.editCircuit(i)
	c.Others = append(slices.Clone(c.Others), make([]BellState, max(0, k-len(c.Others)))...)
	st.changeBell(i, k)
	if c = &st.s.Circuits[i]; !c.Ready && c.Others[k-1].Ready && c.Others[k-1].ReadyMe == st.e.Bells[0].Sent && st.b.lookup(i, st.e.Bells[0].Code, rulebook.CallAttention) == nil {
		// Call attention was written without its line.
		o := &st.editCircuit(i).Others[k-1]
		c.Ready, c.ReadyMe, c.ReadyAt = true, o.ReadyMe, o.ReadyAt
		o.Ready = false
	}
	ring()
	st.changeBell(i, k)
}

func (st *step) changeBell(i, k int) {
	c := st.editCircuit(i)
	o := c.Others[k-1]
	c.Others[k-1] = BellState{c.Asked, c.ReadyAt, c.Ready, c.ReadyMe}
	c.Asked, c.ReadyAt, c.Ready, c.ReadyMe = o.Asked, o.ReadyAt, o.Ready, o.ReadyMe
}

// pairOf tells on which bell an entry rang: that of the line named; else that on
// which a signal waits for what was rung; else that of the train named.
func (st *step) pairOf(i int) int {
	c, bell := &st.s.Circuits[i], st.e.Bells[0]
	waits := func(a Asked) bool {
		return a.Open && a.Sent != bell.Sent && (a.Code == bell.Code || st.answer(i, a, bell) != nil)
	}
	if st.e.Line == "" && waits(c.Asked) {
		return 0
	}
	for k := range c.Others {
		if st.e.Line == "" && waits(c.Others[k].Asked) {
			return k + 1
		}
	}
	t := st.s.TrainNamed(st.e.Train)
	for l, r := range st.b.lines {
		if r.section != i {
			continue
		}
		named := st.e.Train != "" && t != nil && (t.In.Line == l && t.In.open() || t.Out.Line == l && t.Out.open())
		if st.e.Line == st.b.Sections[i].Lines[r.line].Name || st.e.Line == "" && named {
			return st.b.pair(l)
		}
	}
	return 0
}
