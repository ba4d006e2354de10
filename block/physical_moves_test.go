package block_test

import (
	"fairhand/block/rulebook"
)

// moves lists everything that can be done next, each with the judgement of
// the rules as this test reads them. world.wrong counts the moves against them.
func (p *plant) moves(w *world) []move { return p.movesInto(nil, w, true) }

// movesInto adds them to a list, those against the rules only where they are wanted.
func (p *plant) movesInto(list []move, w *world, wrong bool) []move {
	g := &moving{p: p, w: w, wrong: wrong, list: list}
	if p.follows() {
		g.followed()
		return g.list
	}
	for x := range 2 {
		if !p.method.Is().Offers {
			continue // no bells: the staff is all there is
		}
		if x == 0 || p.single() {
			g.offers(x)
			if !p.counted() {
				g.entering(x)
			}
			g.cancelling(x)
		}
		if x == 1 || p.single() {
			g.outOfSection(x)
		}
		if p.method.Is().Carries == rulebook.CarriesToken {
			g.tokens(x)
		}
	}
	g.accepting()
	for t := range w.at {
		if p.makes && t < 2 { // the second train is joined to the first, or its engine
			g.makeUp(t)
		}
		if w.made[t].helps == 0 { // an engine that assists goes with its train
			g.trains(t)
		}
		if p.staffed() {
			g.staffs(t)
		}
	}
	if p.method.Is().Offers && !p.spoken() && !p.makes { // obstructions have searches of their own
		g.obstructions()
	}
	return g.list
}

// about names the train that a bell is believed to concern.
func (w *world) about() string {
	if w.work.stage == idle || w.work.stage >= shuntAsked {
		return ""
	}
	return trainNames[w.work.train]
}

type moving struct {
	p     *plant
	w     *world
	wrong bool // moves against the rules as well
	any   bool // there is a move, wanted or not
	list  []move
}

// do adds a move. regular is what the rules say of it; change makes the world
// after it. After a wrong move the working is what the signallers then believe.
func (g *moving) do(name string, regular bool, change func(m *move, w *world, k *working)) {
	g.any = true
	if !regular && !g.wrong {
		return
	}
	m := move{name: name, next: *g.w}
	change(&m, &m.next, &m.next.work)
	if !regular {
		m.next.wrong++
	}
	g.list = append(g.list, m)
}

// quiet says that nothing stands against ordinary working: no obstruction, no
// blocking back.
func (w *world) quiet() bool { return !w.obstacle && !w.danger && !w.blocked }

// pointClear says whether the clearing point of the line towards box y is clear.
func (w *world) pointClear(y int) bool {
	for _, s := range w.at {
		if s == point0+spot(y) {
			return false
		}
	}
	return y == 0 || !w.obstacle
}

// tokenIn says whether every token is in an instrument.
func (w *world) tokensIn() bool {
	for _, at := range w.token {
		if at > 1 {
			return false
		}
	}
	return true
}

// inHand finds a token in hand at box x, or on a train that stands there; -1.
func (w *world) inHand(x int) int {
	for n, at := range w.token {
		if at == int8(2+x) || at >= 4 && w.at[at-4].at(x) {
			return n
		}
	}
	return -1
}

// Is line clear for a train that stands at box x? An offer not answered may be
// given again, for the same train or another (absolute-block.md 1, refusing).
func (g *moving) offers(x int) {
	w := g.w
	for t, s := range w.at {
		if !s.at(x) || !w.written[t] || g.p.home[t] != x || w.made[t].helps != 0 {
			continue
		}
		ok := (w.work.stage == idle || w.work.stage == offered) && w.quiet()
		g.do("offer "+trainNames[t], ok, func(m *move, w *world, k *working) {
			g.p.bell(m, x, ">1 <1 >"+g.p.codes.offer, trainNames[t], true)
			w.asked = int8(1 + t)
			*k = working{stage: offered, from: int8(x), train: int8(t)}
		})
	}
}

// Line clear: the box in advance repeats the offer, when nothing fouls the
// clearing point (absolute-block.md 3.1).
func (g *moving) accepting() {
	w := g.w
	switch {
	case w.asked == 0:
	case w.asked > 8:
		x := int(w.asked - 9)
		g.do("release for shunting", w.work.stage == shuntAsked && w.tokensIn() && w.quiet(), func(m *move, w *world, k *working) {
			g.p.bell(m, x, "<"+g.p.codes.shunt, "", false)
			w.asked, k.stage = 0, shuntOut
		})
	default:
		t := int(w.asked - 1)
		x := g.p.home[t]
		ok := w.work.stage == offered && w.quiet() && w.pointClear(1-x) && g.staffFor(x)
		g.do("accept "+trainNames[t], ok, func(m *move, w *world, k *working) {
			g.p.bell(m, x, "<"+g.p.codes.offer, g.p.toldWith(trainNames[t]), false)
			for x := range m.book {
				m.book[x][0] += g.p.privateNumber(w.odd, w.spent)
			}
			w.asked, w.odd, k.stage = 0, w.odd != g.p.indian, clear
		})
	}
}

// mayGo is the whole authority of a train to leave box x.
func (g *moving) mayGo(x, t int) bool {
	k, w := &g.w.work, g.w
	return k.stage == clear && int(k.from) == x && int(k.train) == t && w.quiet() && g.authority(x, t)
}

// leave puts a train into the section, with a token if one is in hand.
func (g *moving) leave(w *world, k *working, x, t int) {
	if n := w.inHand(x); n >= 0 && g.p.method.Is().Carries == rulebook.CarriesToken {
		w.token[n] = int8(4 + t)
	}
	w.at[t], w.written[t], w.unproved[t], w.told[t] = section, false, false, false
	g.withHelpers(nil, w, t, section)
	k.stage = inSection
}

// Train entering section, sent as it should be or with no train gone.
func (g *moving) entering(x int) {
	w := g.w
	k := &w.work
	ok := k.stage == inSection && int(k.from) == x && !k.tes && !w.danger && !w.obstacle
	g.do("entering from "+boxNames[x], ok, func(m *move, w *world, k *working) {
		g.p.bell(m, x, g.p.entering(), g.w.about(), false)
		w.asked, k.tes = 0, true
	})
}

// What trains do: leave, arrive, return, draw clear, foul the clearing point.
func (g *moving) trains(t int) {
	w, n := g.w, trainNames[t]
	x := g.p.home[t]
	switch s := w.at[t]; {
	case s.at(x) && s < split0 && (x == 0 || g.p.single() && g.p.method.Is().Offers):
		ok := g.mayGo(x, t)
		g.do(n+" leaves", ok, func(m *move, w *world, k *working) {
			m.note(x, "train "+n+" departed for "+far(x))
			if g.p.counted() {
				m.note(1-x, far(1-x)+" indicator occupied"+g.p.onLine(1-x))
			}
			g.leave(w, k, x, t)
		})
		if !g.p.method.Is().Offers || g.p.counted() {
			break
		}
		g.do(n+" leaves, entering sent", ok, func(m *move, w *world, k *working) {
			g.p.bell(m, x, g.p.entering(), n, true)
			g.leave(w, k, x, t)
			w.asked, k.tes = 0, true
		})
	case s == section:
		if g.p.method.Is().Offers {
			g.arrivals(t, 1-x)
		}
		g.arrivals(t, x)
	case s == split0 || s == split1:
		y := int(s) % 2
		g.do("rest of "+n+" brought in", true, func(m *move, w *world, k *working) {
			if w.made[t].parted {
				m.note(y, "train "+n+"R arrived at "+places[y]+" complete")
			} else {
				m.note(y, "train "+n+" entire")
			}
			w.at[t], w.unproved[t], w.made[t].parted, k.proved = clear0+spot(y), false, false, true
			g.withHelpers(m, w, t, w.at[t])
		})
	}
	g.standing(t)
}

// How a train that runs through the section reaches box y.
func (g *moving) arrivals(t, y int) {
	k := &g.w.work
	back := y == g.p.home[t]
	sent := k.tes || !g.p.method.Is().Offers || g.p.counted()
	ok := k.stage == inSection && sent && !g.w.danger && !g.w.obstacle || g.w.danger && k.stage == inSection && k.tes && !back
	for _, how := range [...]struct {
		name, place, proof string
		to                 spot
		unproved, silent   bool
	}{
		{"arrives complete", places[y], " complete", clear0, false, false},
		{"arrives within the clearing point", "Home", " complete", point0, false, false},
		{"arrives without tail lamp", places[y], " no-tail-lamp", clear0, true, false},
		{"arrives in part", places[y], " no-tail-lamp", split0, true, false},
		{"arrives in part, lamp not looked for", places[y], "", split0, true, false},
		{"arrives, nothing written", places[y], "", clear0, true, true},
	} {
		if back && how.to != clear0 {
			continue
		}
		g.do(trainNames[t]+" "+how.name+" at "+boxNames[y], ok && !how.silent, func(m *move, w *world, k *working) {
			w.at[t] = how.to + spot(y)
			w.unproved[t] = how.unproved
			w.told[t] = how.proof != " no-tail-lamp" || back
			k.arrived, k.proved, k.back = true, !how.unproved, back
			if !how.silent {
				m.note(y, "train "+trainNames[t]+" arrived at "+how.place+how.proof)
				w.written[t] = true
			}
			g.withHelpers(m, w, t, w.at[t])
		})
	}
}

// What a train standing at a box may do there.
func (g *moving) standing(t int) {
	w, n := g.w, trainNames[t]
	s := w.at[t]
	y := int(s) % 2
	own := w.work.stage == inSection && int(w.work.train) == t // still to be cleared
	switch s {
	case point0, point1:
		g.do(n+" draws clear", true, func(m *move, w *world, k *working) {
			w.at[t] = clear0 + spot(y)
			if w.written[t] {
				m.note(y, "train "+n+" moved to "+places[y])
			}
		})
	case clear0, clear1:
		if !w.written[t] {
			g.do(n+"'s arrival written at last", false, func(m *move, w *world, k *working) {
				m.note(y, "train "+n+" arrived at "+places[y])
				w.written[t] = true
			})
			return
		}
		if w.unproved[t] {
			g.do(n+" found complete", true, func(m *move, w *world, k *working) {
				m.note(y, "train "+n+" entire")
				w.unproved[t], k.proved = false, true
			})
		}
		if g.p.method.Is().Offers && !g.p.spoken() && !w.told[t] && w.unproved[t] && y != g.p.home[t] {
			g.do("4-5 for "+n, w.work.stage == inSection && !w.danger, func(m *move, w *world, k *working) {
				g.p.bell(m, y, ">1 <1 >"+g.p.codes.noLamp+" <"+g.p.codes.noLamp, "", false)
				w.told[t], w.asked = true, 0
			})
		}
		if y == 1 {
			g.do(n+" shunts into the clearing point", w.blocked && !own, func(m *move, w *world, k *working) {
				m.note(1, "train "+n+" moved to Home")
				w.at[t] = point1
			})
		}
		if y != g.p.home[t] {
			g.do(n+" put away", !own || w.work.proved, func(m *move, w *world, k *working) {
				m.note(y, "train "+n+" put away")
				w.at[t] = gone
			})
		}
	}
}
