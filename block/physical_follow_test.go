package block_test

import "strings"

// Permissive working in the model: the trains of box 0 may be in the section
// together, in the order in which they went in. What must never come about is one
// let in behind another whose driver was not warned, behind or before a passenger
// train, or with as many in the section as it holds.

// following is how one train stands.
type following struct {
	stage  followStage
	warned bool
	tes    bool // train entering section sent
	proved bool // arrived, and written complete
	order  int8 // in which it went in
	unsafe bool // let in against what a driver can see
}

type followStage uint8

const (
	waits followStage = iota
	isOffered
	isClear
	isIn
	hasArrived
	isOut
)

// follows says whether trains may follow one another into the section.
func (p *plant) follows() bool { return p.method.Is().Follows }

// following makes of a permissive plant one with so many trains at most, the second
// offered as it is told.
func (p *plant) following(what string, trains int, second string) *plant {
	p.name, p.second = p.name+" "+what, second
	for x := range 2 {
		p.box[x].Sections[0].Trains, p.box[x].Sections[0].Source = trains, "instruction 7 of the model"
	}
	for i := range p.prefix[0] { // they came as what they go on as
		for t := range 2 {
			p.prefix[0][i] = strings.ReplaceAll(p.prefix[0][i], "<3-1 >3-1 train "+trainNames[t], "<"+p.offeredAs(t)+" >"+p.offeredAs(t)+" train "+trainNames[t])
		}
	}
	return p
}

// offeredAs is the description of a train of box 0; the first is a freight train.
func (p *plant) offeredAs(t int) string { return [2]string{"3-2", p.second}[t] }

func (p *plant) isPassenger(t int) bool { return p.offeredAs(t) == "3-1" }

// ranInto is collided for trains that may follow one another.
func (p *plant) ranInto(w *world) string {
	for t := range w.behind {
		if w.at[t] == section && w.behind[t].unsafe {
			return "a train let in behind another, unwarned, as a passenger train or with no room"
		}
	}
	return ""
}

// inside counts the trains that box 1 has not given out of section, and those really
// in it, but for one; and says whether one of the former carries passengers.
func (g *moving) inside(but int) (booked, there int, passengers bool) {
	for t := range 2 {
		f := &g.w.behind[t]
		if t == but {
			continue
		}
		if f.stage == isIn || f.stage == hasArrived {
			booked++
			passengers = passengers || g.p.isPassenger(t)
		}
		if g.w.at[t] == section {
			there++
		}
	}
	return booked, there, passengers
}

// signalled finds the train that is offered or has line clear; -1 for none.
func (w *world) signalled() int {
	for t := range 2 {
		if s := w.behind[t].stage; s == isOffered || s == isClear {
			return t
		}
	}
	return -1
}

// untold says whether a train has gone and train entering section was not sent yet.
func (w *world) untold() bool {
	for t := range w.behind {
		if f := &w.behind[t]; f.stage == isIn && !f.tes {
			return true
		}
	}
	return false
}

// setFollowing adds a move of one train; the line is idle when nothing is under way.
func (g *moving) setFollowing(name string, t int, regular bool, change func(m *move, w *world, f *following)) {
	g.do(name, regular, func(m *move, w *world, k *working) {
		change(m, w, &w.behind[t])
		k.stage = idle
		for i := range w.behind {
			if s := w.behind[i].stage; s > waits && s < isOut {
				k.stage = inSection
			}
		}
	})
}

// followed lists the moves.
func (g *moving) followed() {
	for t := range 2 {
		n, f := trainNames[t], &g.w.behind[t]
		switch f.stage {
		case waits, isOffered:
			if g.w.at[t] == clear0 {
				g.setFollowing("offer "+n, t, (g.w.signalled() < 0 || f.stage == isOffered) && !g.w.untold() && g.mayFollow(t), func(m *move, w *world, f *following) {
					g.p.bell(m, 0, ">1 <1 >"+g.p.offeredAs(t), n, true)
					if o := w.signalled(); o >= 0 && w.behind[o].stage == isOffered {
						w.behind[o].stage = waits
					}
					f.stage, w.asked = isOffered, int8(1+t)
				})
			}
		case hasArrived, isOut:
			if g.w.at[t] == clear1 {
				g.setFollowing(n+" put away", t, f.stage == isOut || f.proved, func(m *move, w *world, f *following) {
					m.note(1, "train "+n+" put away")
					w.at[t] = gone
				})
			}
		}
		if f.stage < isIn {
			g.goesBehind(t)
		}
		if f.stage == isOffered || f.stage == isClear {
			g.setFollowing("cancel "+n, t, true, func(m *move, w *world, f *following) {
				g.p.bell(m, 0, ">1 <1 >"+g.p.codes.cancel+" <"+g.p.codes.cancel, n, false)
				f.stage, w.asked = waits, 0
			})
		}
		g.comesBehind(t)
	}
	g.acceptBehind()
	if !g.any {
		g.do("both trains put away, nothing more to do", true, func(m *move, _ *world, _ *working) { m.note(0, "note \"nothing\"") })
	}
}

// mayFollow says whether a train may be let in as the section is.
func (g *moving) mayFollow(t int) bool {
	booked, _, passengers := g.inside(t)
	return booked == 0 || booked < g.p.box[0].Sections[0].Trains && !passengers && !g.p.isPassenger(t)
}

// acceptBehind is line clear for the train offered.
func (g *moving) acceptBehind() {
	if g.w.asked == 0 {
		return
	}
	t := int(g.w.asked - 1)
	ok := g.w.behind[t].stage == isOffered && g.w.pointClear(1) && g.mayFollow(t)
	g.setFollowing("accept "+trainNames[t], t, ok, func(m *move, w *world, f *following) {
		g.p.bell(m, 0, "<"+g.p.offeredAs(t), "", false)
		f.stage, w.asked = isClear, 0
	})
}

// goesBehind warns the driver and lets the train in.
func (g *moving) goesBehind(t int) {
	n, f := trainNames[t], &g.w.behind[t]
	if g.w.at[t] != clear0 {
		return
	}
	booked, there, _ := g.inside(t)
	if f.stage == isClear && booked > 0 && !f.warned {
		g.setFollowing(n+" warned", t, true, func(m *move, w *world, f *following) {
			m.note(0, "train "+n+" warned")
			f.warned = true
		})
	}
	ok := f.stage == isClear && (booked == 0 || f.warned)
	for how, says := range [...]string{" leaves", " leaves, entering sent"} {
		g.setFollowing(n+says, t, ok, func(m *move, w *world, f *following) {
			if how == 0 {
				m.note(0, "train "+n+" departed for "+far(0))
			} else {
				g.p.bell(m, 0, g.p.entering(), n, true)
			}
			f.order = int8(w.behind[1-t].order + 1)
			f.unsafe = there > 0 && (!f.warned || g.p.isPassenger(0) || g.p.isPassenger(1) || there >= g.p.box[0].Sections[0].Trains)
			f.stage, f.tes = isIn, how == 1
			w.at[t], w.written[t] = section, false
			if how == 1 || w.asked == int8(1+t) {
				w.asked = 0
			}
		})
	}
}

// comesBehind lets the train in front come, and gives it out of section.
func (g *moving) comesBehind(t int) {
	n, f, o := trainNames[t], &g.w.behind[t], &g.w.behind[1-t]
	first := g.w.at[1-t] != section || o.order > f.order
	if f.stage == isIn && !f.tes {
		g.setFollowing("entering for "+n, t, true, func(m *move, w *world, f *following) {
			g.p.bell(m, 0, g.p.entering(), n, true)
			f.tes, w.asked = true, 0
		})
	}
	if g.w.at[t] == section && first {
		for how, proof := range [...]string{" complete", " no-tail-lamp", ""} {
			g.setFollowing(n+" arrives"+proof, t, f.tes && f.stage == isIn && how < 2, func(m *move, w *world, f *following) {
				w.at[t], f.proved = clear1, how == 0
				if f.stage == isIn {
					f.stage = hasArrived
				}
				if w.told[t] = how != 1; how < 2 {
					m.note(1, "train "+n+" arrived at "+places[1]+proof)
				}
			})
		}
	}
	if g.w.at[t] == clear1 && !g.w.told[t] && f.stage == hasArrived && !f.proved {
		g.setFollowing("4-5 for "+n, t, true, func(m *move, w *world, f *following) {
			g.p.bell(m, 1, ">1 <1 >"+g.p.codes.noLamp+" <"+g.p.codes.noLamp, n, false)
			w.told[t], w.asked = true, 0
		})
		g.setFollowing(n+" found complete", t, true, func(m *move, w *world, f *following) {
			m.note(1, "train "+n+" entire")
			w.told[t], f.proved = true, true
		})
	}
	if f.stage > isOffered && f.stage < isOut {
		ahead := (o.stage == isIn || o.stage == hasArrived) && o.order < f.order
		ok := f.stage == hasArrived && f.proved && w1(g.w.at[t]) && !ahead
		g.setFollowing("out of section from "+boxNames[1]+" for "+n, t, ok, func(m *move, w *world, f *following) {
			g.p.bell(m, 1, ">1 <1 >"+g.p.codes.out+" <"+g.p.codes.out, n, false)
			f.stage = isOut
			w.lastOut = int8(t)
			w.asked = 0 // another bell: the offer that hung is left unanswered
		})
	}
}

// w1 says whether a train stands at box 1, or is put away there.
func w1(s spot) bool { return s == clear1 || s == gone }
