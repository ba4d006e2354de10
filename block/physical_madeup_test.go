package block_test

import (
	"slices"
	"testing"

	"fairhand/block/rulebook"
)

// Trains made up, in the model: joined, taken apart again, divided in the section
// with a name for the rear part; engines that assist a train right through, come
// back when they have assisted, or are sent in to one that has failed.

// madeUp is how one train stands to the others.
type madeUp struct {
	partOf int8 // 1 + the train that it was joined to
	helps  int8 // 1 + the train that it assists
	back   bool // and comes back when it has
	warned bool // its driver told to pass the signal at danger
	sentIn bool // in the section by itself, to a train that has failed there
	parted bool // its rear part, left in the section, has a name
}

// makingUp are plants in which trains are made up; those of a double line all stand
// at box 0.
func makingUp(t testing.TB) []*plant {
	all := []*plant{newPlant(t, rulebook.Absolute, "british-later", true), newPlant(t, rulebook.Token, "british-later", true),
		newPlant(t, rulebook.ByTelephoneSingle, "british-early", true)}
	for _, p := range all {
		if p.name, p.makes = p.name+" made up", true; !p.single() {
			p.home[2] = 0
			p.assemble()
		}
	}
	return all
}

// alone says whether a train is one for itself.
func (m *madeUp) alone() bool { return m.partOf == 0 && m.helps == 0 }

// helpers are the engines that assist train t.
func (w *world) helpers(t int) (list []int) {
	for e := range w.made {
		if w.made[e].helps == int8(1+t) {
			list = append(list, e)
		}
	}
	return list
}

// inSectionWith says whether an engine is in the section for the train that it assists,
// and no train of its own there.
func (w *world) inSectionWith(e int) bool {
	h := w.made[e].helps
	return h != 0 && w.at[e] == section && (w.at[h-1] == section || w.at[h-1] == split0 || w.at[h-1] == split1)
}

// helpersIn says whether an engine that assisted train t is in the section still.
func (w *world) helpersIn(t int8) bool {
	return slices.ContainsFunc(w.helpers(int(t)), func(e int) bool { return w.at[e] == section })
}

// together says whether two trains stand at one box, clear of the line, and are whole.
func (w *world) together(t, o int) bool {
	return t != o && w.at[t] == w.at[o] && (w.at[t] == clear0 || w.at[t] == clear1) && w.written[t] && w.written[o]
}

// withHelpers takes the engines that assist train t where it goes: into the section,
// and through it.
func (g *moving) withHelpers(m *move, w *world, t int, to spot) {
	for _, e := range w.helpers(t) {
		switch {
		case to == section && w.at[e] == clear0+spot(g.p.home[t]):
			w.at[e] = section
		case to == clear0+spot(g.p.home[t]) && w.at[e] == section: // brought back with it
			m.note(g.p.home[e], "train "+trainNames[e]+" arrived at "+places[g.p.home[e]]+" from "+far(g.p.home[e])+" complete")
			w.at[e], w.made[e] = to, madeUp{}
		case to < split0 && w.at[e] == section && !w.made[e].back:
			w.at[e], w.made[e] = gone, madeUp{}
		}
	}
}

// makeUp lists what may be done to train t with the others.
func (g *moving) makeUp(t int) {
	w, n := g.w, trainNames[t]
	for o := range t {
		on := trainNames[o]
		if w.together(t, o) && w.made[t].alone() && w.made[o].alone() && len(w.helpers(t)) == 0 {
			y := int(w.at[t]) % 2
			// The row of a train for which line clear stands, or which is not out of section, is not ended.
			free := (w.work.stage == idle || int(w.work.train) != t) && !w.unproved[t]
			g.do(n+" joined to "+on, free, func(m *move, w *world, k *working) {
				m.note(y, "train "+n+" joined to "+on)
				w.at[t], w.made[t].partOf = gone, int8(1+o)
			})
			if y == g.p.home[t] && y == g.p.home[o] {
				g.assists(t, o, free)
			}
		}
		if w.made[t].partOf == int8(1+o) && (w.at[o] == clear0 || w.at[o] == clear1) && w.written[o] {
			for _, how := range [...]string{" detached ", " divided leaving "} {
				y := int(w.at[o]) % 2
				g.do(on+how+n, !w.unproved[o], func(m *move, w *world, k *working) {
					m.note(y, "train "+on+how+n)
					w.at[t], w.made[t], w.written[t], w.unproved[t] = w.at[o], madeUp{}, true, false
				})
			}
		}
	}
	g.engine(t)
	if s := w.at[t]; (s == split0 || s == split1) && w.written[t] && !w.made[t].parted {
		y := int(s) % 2
		g.do(n+" found divided", true, func(m *move, w *world, k *working) {
			m.note(y, "train "+n+" divided leaving "+n+"R")
			w.made[t].parted = true
		})
	}
}

// assists puts engine e to train t, or sends it in to one that has failed.
func (g *moving) assists(e, t int, free bool) {
	for _, returns := range [...]string{"", " returns"} {
		g.do(trainNames[e]+" assists "+trainNames[t]+returns, free, func(m *move, w *world, k *working) {
			m.note(g.p.home[e], "train "+trainNames[e]+" assists "+trainNames[t]+returns)
			w.made[e].helps, w.made[e].back = int8(1+t), returns != ""
		})
	}
}

// engine is what an engine may do that assists, and what the one that is to be
// sent in to a train in the section.
func (g *moving) engine(e int) {
	w, n, x := g.w, trainNames[e], g.p.home[e]
	for t := range e {
		if w.at[t] == section && w.at[e] == clear0+spot(x) && x == g.p.home[t] && w.written[e] && w.made[e].alone() {
			g.assists(e, t, w.work.stage == inSection && int(w.work.train) == t && w.work.tes)
		}
	}
	if w.made[e].helps == 0 {
		return
	}
	t := int(w.made[e].helps - 1)
	switch {
	case w.at[e] == clear0+spot(x) && w.at[t] == w.at[e]:
		g.do(trainNames[t]+" detached "+n, true, func(m *move, w *world, k *working) {
			m.note(x, "train "+trainNames[t]+" detached "+n)
			w.made[e] = madeUp{}
		})
	case w.at[e] == clear0+spot(x) && w.at[t] == section:
		if !w.made[e].warned {
			g.do(n+" authorised past the signal", true, func(m *move, w *world, k *working) {
				m.note(x, "train "+n+` authorised past "Starting" "to assist"`)
				w.made[e].warned = true
			})
		}
		g.do(n+" goes in to "+trainNames[t], w.made[e].warned && w.work.stage == inSection && int(w.work.train) == t, func(m *move, w *world, k *working) {
			m.note(x, "train "+n+" departed for "+far(x))
			w.at[e], w.made[e].sentIn = section, true
		})
	case w.at[e] == section && w.made[e].back:
		g.do(n+" comes back", true, func(m *move, w *world, k *working) {
			m.note(x, "train "+n+" arrived at "+places[x]+" from "+far(x)+" complete")
			w.at[e], w.made[e] = clear0+spot(x), madeUp{}
		})
	}
}
