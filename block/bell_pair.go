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
	Again   Asked // one not acknowledged, attention called to give it again
	ReadyAt Time
	Ready   bool // call attention was answered and not yet used
	ReadyMe bool // it was ours
}

// Waiting lists the signals that wait for an answer on the bells of section i.
func (s *State) Waiting(i int) []Asked {
	var out []Asked
	for _, bell := range s.ringing(i) {
		if bell.Asked.Open {
			out = append(out, bell.Asked)
		}
	}
	return out
}

// ringing are the bells of section i: of its first pair of lines, then of the others.
func (s *State) ringing(i int) []BellState {
	return append([]BellState{s.Bells[i]}, s.Circuits[i].Others...)
}

// unring forgets what waits for an answer on the first bell of section i.
func (st *step) unring(i int) {
	c := st.editBell(i)
	c.Asked, c.Again = Asked{}, Asked{}
}

// pairsOf tells for each line by which bell it is worked: the first line each way is
// on the first, the second each way on the second.
func (b *Box) pairsOf() []int {
	pairs := make([]int, len(b.lines))
	for i, r := range b.lines {
		lines := b.Sections[r.section].Lines
		for _, l := range lines[:r.line] {
			if l.Way == lines[r.line].Way {
				pairs[i]++
			}
		}
	}
	return pairs
}

// toPair puts the bell of the pair of lines that an entry is about in the place of
// the first, and says which it is; changeBell puts both back.
func (st *step) toPair(i int) int {
	if len(st.b.Sections[i].Lines) <= 2 || len(st.e.Bells) == 0 || st.e.Bells[0].Code.Spoken() {
		return 0
	}
	k := st.pairOf(i)
	if k == 0 {
		return 0
	}
	c := st.editCircuit(i)
	c.Others = append(slices.Clone(c.Others), make([]BellState, max(0, k-len(c.Others)))...)
	st.changeBell(i, k)
	o, now := &c.Others[k-1], st.editBell(i)
	sent := st.e.Bells[0].Sent
	if o.Ready && o.ReadyMe == sent && !(now.Ready && now.ReadyMe == sent) && st.b.lookup(i, st.e.Bells[0].Code, rulebook.CallAttention) == nil {
		// Call attention was written without its line.
		now.Ready, now.ReadyMe, now.ReadyAt = true, o.ReadyMe, o.ReadyAt
		o.Ready = false
		if now.Asked.Open && !mustAnswer(now.Asked.Means) {
			now.Asked = Asked{} // an offer not taken, and something else is begun on its bell
		}
	}
	return k
}

// changeBell exchanges the first bell of a section with another; 0 is itself.
func (st *step) changeBell(i, k int) {
	if k == 0 {
		return
	}
	first, other := st.editBell(i), &st.editCircuit(i).Others[k-1]
	*first, *other = *other, *first
}

// pairOf tells on which bell an entry rang: that of the line named; else that on
// which a signal waits for what was rung; else that of the train named.
func (st *step) pairOf(i int) int {
	bell := st.e.Bells[0]
	waits := func(a Asked) bool {
		return a.Open && a.Sent != bell.Sent && (a.Code == bell.Code || st.answer(i, &a, bell) != nil)
	}
	if k := slices.IndexFunc(st.s.ringing(i), func(b BellState) bool { return waits(b.Asked) }); st.e.Line == "" && k >= 0 {
		return k
	}
	t := st.s.TrainNamed(st.e.Train)
	for l, ln := range st.b.linesOf(i) {
		named := st.e.Train != "" && t != nil && t.on(l)
		if st.e.Line == ln.Name || st.e.Line == "" && named {
			return st.b.pairs[l]
		}
	}
	return 0
}
