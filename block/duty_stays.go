package block

import "slices"

// onHand says whether the train of a duty is on hand yet.
func onHand(st *step, p *Pending) bool { return st.onHand(p.Train) }

// inPhase says whether the line of a duty is in such a phase yet.
func inPhase(such func(Phase) bool) func(*step, *Pending) bool {
	return func(st *step, p *Pending) bool { return such(st.s.Lines[p.Line].Phase) }
}

func is(p Phase) func(Phase) bool { return func(o Phase) bool { return o == p } }

// unreminded says whether that stands yet for which a reminder is wanted: the train, or the
// movement over the crossing.
func unreminded(st *step, p *Pending) bool {
	if p.Crossing > 0 {
		return len(st.s.Crossings[p.Crossing-1].Out) > 0
	}
	t := st.s.Train(p.Train)
	return t != nil && t.Where == Here && !st.reminded(t)
}

// unsigned says whether an entry waits for another hand yet.
func unsigned(st *step, p *Pending) bool {
	return slices.ContainsFunc(st.s.Gear, func(g GearState) bool { return g.Disconnected && g.Seq == p.Of }) ||
		slices.ContainsFunc(st.s.Unsigned, func(u Unsigned) bool { return u.Seq == p.Of })
}
