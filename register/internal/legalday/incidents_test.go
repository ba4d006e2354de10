package legalday

// What happens beside trains: lines blocked and cleared, shunts, tests, work on
// the line. Each names the rule it is regular by.

// usable: s is worked by bells, and nothing stands against something new.
func (w *world) usable(s *section) bool { return w.open && !w.closing && s.belled() && !s.bothWays }

func (t *track) free() bool { return t.train == nil && len(t.within) == 0 && t.shut == "" }

// incident picks something to happen on a section at some time.
func (w *world) incident(s *section) *agent {
	var may []func(*section) *agent
	if s.method != "one-train" && !s.interval && s.bells() {
		may = append(may, w.danger, w.dangerThere, w.tests)
	}
	if s.method == "absolute" && w.c.blockIn != "" {
		may = append(may, w.blockedInside, w.blockedOutside, w.blockedThere, w.shuntAhead, w.dangerAccepted, w.blockage)
	}
	if s.method == "token" && w.c.release != "" {
		may = append(may, w.shuntToken)
	}
	if s.counter {
		may = append(may, w.shuntKey)
	}
	if s.told {
		may = append(may, w.alarm)
	}
	if w.o.Releases {
		may = append(may, w.released)
	}
	if len(may) == 0 {
		return w.remark(s)
	}
	return may[w.rng.IntN(len(may))](s)
}

// removed takes off what blocked a line.
func (w *world) removed(s *section, tr *track, received bool) func() {
	return func() {
		w.answered(UnblockBell, s, nil, received, true, w.c.removed)
		tr.shut = ""
	}
}

// blockedInside: an engine stands within the clearing point for a while
// (signalbox.org ch. 3: 2-4 before it does, the line given back after).
func (w *world) blockedInside(s *section) *agent {
	pilot := &train{name: "Pilot"}
	moved := func(place string) func() {
		return func() { w.book(Moved, s, pilot, "train {} moved to %s", quote(place)) }
	}
	a := &agent{}
	a.then(0, 0, func() bool { return w.usable(s) && s.in.free() && !w.pilotOut }, func() {
		w.answered(BlockBell, s, nil, false, true, w.c.blockIn)
		s.in.shut, w.pilotOut = "blocked inside", true
	})
	a.then(20, 60, nil, moved(s.name+" home"))
	a.then(100, 400, nil, moved("Yard"))
	a.then(0, 60, nil, func() { w.removed(s, s.in, false)(); w.pilotOut = false })
	return a
}

// blockedOutside: a movement goes out beyond the home signal (3-3 before it does).
func (w *world) blockedOutside(s *section) *agent {
	a := &agent{}
	a.then(0, 0, func() bool { return w.usable(s) && s.in.free() }, func() {
		w.answered(BlockBell, s, nil, false, true, w.c.blockOut)
		s.in.shut = "blocked outside"
	})
	a.then(200, 600, nil, w.removed(s, s.in, false))
	return a
}

// blockedThere: the other end blocks the line to it.
func (w *world) blockedThere(s *section) *agent {
	a := &agent{}
	a.then(0, 0, func() bool { return w.usable(s) && s.out.free() }, func() {
		code := w.c.blockIn
		if w.chance(2) {
			code = w.c.blockOut
		}
		w.answered(BlockBell, s, nil, true, true, code)
		s.out.shut = "blocked there"
	})
	a.then(200, 600, nil, w.removed(s, s.out, true))
	return a
}

// danger: something lies on the line towards the box; obstruction danger at once,
// without call attention (TS1 2.2; signalbox.org ch. 9).
func (w *world) danger(s *section) *agent {
	a := &agent{}
	a.then(0, 0, func() bool { return w.usable(s) && s.in.free() }, func() {
		w.book(Obstruction, s, nil, `obstruct %s %s "wagon sheet on the line"`, quote(s.in.name), s.name)
		w.answered(BlockBell, s, nil, false, false, w.c.danger)
		s.in.shut = "obstructed"
	})
	w.thenCleared(a, s)
	return a
}

func (w *world) thenCleared(a *agent, s *section) {
	a.then(200, 900, nil, func() { w.book(Obstruction, s, nil, "clear %s %s", quote(s.in.name), s.name) })
	a.then(0, 60, nil, w.removed(s, s.in, false))
}

// dangerAccepted: as danger, with a train accepted and stopped in time: it is
// cancelled and the line stays blocked (study cards, obstruction danger).
func (w *world) dangerAccepted(s *section) *agent {
	t := w.newTrain()
	a := &agent{}
	a.then(0, 0, func() bool { return w.usable(s) && w.mayTake(s) }, func() {
		w.ring(OfferIn, s, t, true, true, w.consent(), t.code, t.code)
		s.in.train, t.coming = t, s
		w.trains = append(w.trains, t)
	})
	a.then(20, 120, nil, func() {
		w.book(Obstruction, s, nil, `obstruct %s %s "load fallen from a wagon"`, quote(s.in.name), s.name)
		w.answered(BlockBell, s, nil, false, false, w.c.danger)
		s.in.shut = "obstructed"
	})
	a.then(20, 100, nil, func() {
		w.answered(CancelIn, s, t, true, true, w.c.cancel)
		s.in.train, t.coming = nil, nil
		w.gone(t)
	})
	w.thenCleared(a, s)
	return a
}

// dangerThere: the other end sends obstruction danger for the line to it.
func (w *world) dangerThere(s *section) *agent {
	a := &agent{}
	a.then(0, 0, func() bool { return w.usable(s) && s.out.free() }, func() {
		w.answered(BlockBell, s, nil, true, false, w.c.danger)
		s.out.shut = "obstructed there"
	})
	a.then(200, 900, nil, w.removed(s, s.out, true))
	return a
}

// shuntAhead: a shunt goes out past the section signal and comes back
// (signalbox.org ch. 8: 3-3-2, withdrawn by 8).
func (w *world) shuntAhead(s *section) *agent {
	t := w.newTrain()
	a := &agent{}
	a.then(0, 0, func() bool { return w.usable(s) && s.out.free() && !s.examining && w.placeFree() }, func() {
		w.answered(ShuntBell, s, t, false, true, w.c.shunt)
		s.out.shut, s.shunting = "shunt", t.name
	})
	a.then(20, 60, nil, func() { w.book(Departed, s, t, "train {} departed for %s", s.name) })
	a.then(120, 400, nil, func() { w.book(Arrived, s, t, "train {} arrived at Yard from %s complete", s.name) })
	a.then(0, 60, nil, func() {
		w.answered(ShuntBell, s, t, false, true, w.c.shuntBack)
		s.out.shut, s.shunting = "", ""
	})
	return a
}

// shuntToken: a token released for a shunt and put back (Railway block code: 5-2, 2-5).
func (w *world) shuntToken(s *section) *agent {
	n := 0
	a := &agent{}
	a.then(0, 0, func() bool { return w.usable(s) && s.in.free() && len(s.tokens) > 0 }, func() {
		w.answered(ShuntBell, s, nil, false, true, w.c.release)
		s.in.shut = "shunt"
	})
	a.then(0, 20, nil, func() {
		n, s.tokens = s.tokens[0], s.tokens[1:]
		s.lent = n
		w.book(TokenOut, s, nil, "%s token %d out", s.name, n)
	})
	a.then(200, 600, nil, func() {
		w.book(TokenIn, s, nil, "%s token %d in", s.name, n)
		s.tokens, s.lent = append(s.tokens, n), 0
	})
	a.then(0, 40, nil, func() {
		w.answered(ShuntBell, s, nil, false, true, w.c.replaced)
		s.in.shut = ""
	})
	return a
}

// tests: bells and instruments tried with nothing signalled (Block Working Manual
// Part A 7.3; signalbox.org ch. 10).
func (w *world) tests(s *section) *agent {
	return (&agent{}).then(0, 0, func() bool { return w.usable(s) && s.idle() }, func() {
		w.answered(BoxBell, s, nil, w.chance(2), true, "16")
	})
}

// blockage: men on the line, given with nothing signalled and given back before
// the next train (TS1 13.2).
func (w *world) blockage(s *section) *agent {
	tr := s.in
	if w.chance(2) {
		tr = s.out
	}
	a := &agent{}
	a.then(0, 0, func() bool { return w.usable(s) && tr.free() }, func() {
		w.book(BlockageKind, s, nil, `blockage %s towards %s "person in charge J. Wray"`, quote(tr.name), s.name)
		tr.shut = "blockage"
	})
	a.then(600, 1200, nil, func() {
		w.book(BlockageKind, s, nil, "blockage-up %s towards %s", quote(tr.name), s.name)
		tr.shut = ""
	})
	return a
}

// remark is one of the entries across the page that every book has.
func (w *world) remark(*section) *agent {
	words := []string{`note "lampman at the distant signals"`, `note "platelayers walking the length"`,
		`visit "R. Garth"`, `message from Control "special to be arranged for Saturday"`, `note "relief is told of the notice"`}
	return (&agent{}).then(0, 0, func() bool { return w.open }, func() {
		w.book(Remark, nil, nil, "%s", words[w.rng.IntN(len(words))])
	})
}
