package block_test

// Train out of section, cancelling, tokens and obstructions in the model.

// cleared says whether box y may give train out of section: the train arrived
// there or returned there, complete, clear of the clearing point, its token in
// (absolute-block.md 3.3, single-line.md 2.1).
func (g *moving) cleared(y int) bool {
	w, k := g.w, &g.w.work
	t := k.train
	here := w.at[t] == clear0+spot(y) || w.at[t] == gone
	return k.stage == inSection && k.arrived && k.proved && here && !w.helpersIn(t) && (w.told[t] || g.p.spoken()) && w.tokensIn() && g.staffBack(t) && (int(k.from) == y) == k.back
}

// Train out of section from box y; after a return, from the box the train left
// (single-line.md 2.4), which on a double line cancels instead.
func (g *moving) outOfSection(y int) {
	ok := g.cleared(y) && g.w.quiet() && !(g.p.counted() && g.w.work.back) // the lamp does not tell which way it went
	g.do("out of section from "+boxNames[y], ok, func(m *move, w *world, k *working) {
		if g.p.counted() { // a lamp at both ends
			m.note(y, far(y)+" indicator free"+g.p.onLine(y))
			m.note(1-y, far(1-y)+" indicator free"+g.p.onLine(1-y))
		} else {
			g.p.bell(m, y, ">1 <1 >"+g.p.codes.out+" <"+g.p.codes.out, g.w.about(), false)
		}
		w.asked = 0
		*k = working{}
	})
}

// Cancelling by box x: an offer, a line clear not used (the token back first),
// or on a double line a train that has returned.
func (g *moving) cancelling(x int) {
	w, k := g.w, &g.w.work
	ok := int(k.from) == x && w.tokensIn() && !w.obstacle && g.staffBack(k.train)
	switch k.stage {
	case offered, clear:
	case shuntAsked:
	case shuntOut:
		ok = ok && !k.drawn
	case inSection:
		ok = ok && (!g.p.single() || g.p.counted()) && g.cleared(x)
	default:
		ok = false
	}
	if g.p.indian && k.stage != offered && w.spent == mostSpent {
		return
	}
	g.do("cancel from "+boxNames[x], ok, func(m *move, w *world, k *working) {
		g.p.bell(m, x, ">1 <1 >"+g.p.codes.cancel+" <"+g.p.codes.cancel, g.w.about(), false)
		if k.stage == inSection && g.p.counted() && w.at[k.train] != section { // a lamp at both ends, which tells the truth
			m.note(x, far(x)+" indicator free"+g.p.onLine(x))
			m.note(1-x, far(1-x)+" indicator free"+g.p.onLine(1-x))
		}
		if w.asked = 0; g.p.indian && k.stage != offered {
			w.spent++
			if g.p.single() { // General Rules (India) 14.22
				m.book[x][0] += ` "is held"`
				m.book[1-x][0] += ` "is held"`
			}
		}
		*k = working{}
	})
}

// mostSpent is how many consents are cancelled in a history where each then takes
// fresh private numbers: without an end to them the searches had none.
const mostSpent = 2

// Tokens: drawn on a release or by a fault of the instrument, put in at either
// end, and released for shunting.
func (g *moving) tokens(x int) {
	w, k := g.w, &g.w.work
	for n, at := range w.token {
		if at != int8(x) {
			continue
		}
		ok := (k.stage == clear || k.stage == shuntOut) && int(k.from) == x && !k.drawn && w.tokensIn() && w.quiet()
		g.do("token drawn at "+boxNames[x], ok, func(m *move, w *world, k *working) {
			m.note(x, far(x)+" token "+string(rune('1'+n))+" out")
			w.token[n], k.drawn = int8(2+x), true
		})
		break
	}
	if n := w.inHand(x); n >= 0 {
		ok := (k.stage == clear || k.stage == shuntOut) && int(k.from) == x ||
			k.stage == inSection && k.arrived && k.proved && w.token[n] == int8(4+k.train)
		g.do("token put in at "+boxNames[x], ok, func(m *move, w *world, k *working) {
			m.note(x, far(x)+" token "+string(rune('1'+n))+" in")
			w.token[n] = int8(x)
		})
	}
	if g.p.codes.shunt == "" {
		return
	}
	g.do("shunt release asked by "+boxNames[x], (k.stage == idle || k.stage == offered) && w.quiet(), func(m *move, w *world, k *working) {
		g.p.bell(m, x, ">1 <1 >"+g.p.codes.shunt, "", false)
		w.asked = int8(9 + x)
		*k = working{stage: shuntAsked, from: int8(x)}
	})
	g.do("token replaced by "+boxNames[x], k.stage == shuntOut && k.drawn && int(k.from) == x && w.tokensIn() && w.quiet(), func(m *move, w *world, k *working) {
		g.p.bell(m, x, ">1 <1 >"+g.p.codes.replaced+" <"+g.p.codes.replaced, "", false)
		w.asked = 0
		*k = working{}
	})
}

// obstructions at box 1, on the line towards it: blocking back, obstruction
// danger and their removal (absolute-block.md 4.3, 4.4).
func (g *moving) obstructions() {
	w, k := g.w, &g.w.work
	line := "Up"
	if g.p.single() {
		line = "Single"
	}
	signal := func(beats string) func(*move, *world, *working) {
		return func(m *move, w *world, k *working) {
			g.p.bell(m, 1, beats, "", false)
			w.asked = 0
		}
	}
	free := k.stage == idle || k.stage == offered
	if !w.blocked && g.p.codes.blocking != "" {
		send := signal(">1 <1 >" + g.p.codes.blocking + " <" + g.p.codes.blocking)
		g.do("blocking back", free && w.quiet(), func(m *move, w *world, k *working) {
			send(m, w, k)
			w.blocked = true
			*k = working{}
		})
	}
	if !w.obstacle && !w.danger {
		running := k.stage == clear || k.stage == inSection && !k.arrived && k.tes
		g.do("wagon derails", (free || running) && int(k.from) == 0 && !w.blocked, func(m *move, w *world, k *working) {
			m.note(1, "obstruct "+line+" "+far(1)+` "wagon foul"`)
			w.obstacle = true
		})
	}
	if w.obstacle {
		g.do("wagon cleared", w.danger, func(m *move, w *world, k *working) {
			m.note(1, "clear "+line+" "+far(1))
			w.obstacle = false
		})
	}
	if !w.danger {
		send := signal(">" + g.p.codes.danger + " <" + g.p.codes.danger)
		g.do("obstruction danger", w.obstacle, func(m *move, w *world, k *working) {
			send(m, w, k)
			w.danger = true
			if k.stage == offered {
				*k = working{}
			}
		})
	}
	if w.danger || w.blocked {
		g.removal(free, signal(">1 <1 >"+g.p.codes.removed+" <"+g.p.codes.removed))
	}
}

// removal of the obstruction: with a train in section only when it is past the
// clearing point and complete, and then it ends the train's time in section too.
func (g *moving) removal(free bool, send func(*move, *world, *working)) {
	w := g.w
	ok := !w.obstacle && w.pointClear(1) && (free || g.cleared(1))
	g.do("obstruction removed", ok, func(m *move, w *world, k *working) {
		send(m, w, k)
		w.danger, w.blocked = false, false
		*k = working{}
	})
}
