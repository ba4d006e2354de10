package legalday

import "slices"

// How trains are made up in the Yard and at the signals, where the box books it: joined,
// divided into parts with names, engines taken off and put on, engines that assist and
// come back, trains detained, stopped and examined.

// inTheYard: a train that ends here is shunted over a route into the Yard and worked on
// there (that what is brought together stands together is common practice).
func (w *world) inTheYard(t *train) *agent {
	put := func(name string) func() {
		return func() { w.book(Moved, nil, &train{name: name}, "train {} put away") }
	}
	made := func(words, name string) func() {
		return func() { w.book(MadeUp, nil, t, words, quote(name)) }
	}
	a := &agent{begun: true}
	a.then(120, 600, func() bool { return t.coming == nil && !t.doubtful }, func() {
		if !w.pointsOut {
			w.book(Apparatus, nil, nil, `points "Points 5" set reverse`)
			w.book(Apparatus, nil, nil, `points "Points 5" locked`)
		}
		w.book(Apparatus, nil, t, `route Yard set train {}`)
		w.book(Moved, nil, t, "train {} moved to Yard")
		w.book(Apparatus, nil, nil, `route Yard released`)
		t.at = "Yard"
	})
	other := w.newTrain().name
	switch w.rng.IntN(3) {
	case 0: // divided; the rear part stays, or goes into another train
		a.then(60, 600, nil, func() { made("train {} divided leaving %s", other)(); w.parts = append(w.parts, other) })
		a.then(60, 600, nil, func() { put(t.name)(); w.gone(t) })
		a.then(60, 900, nil, func() { w.without(other); put(other)() })
	case 1: // the engine taken off, and another put to the train
		next := w.newTrain().name
		a.then(60, 600, nil, func() { made("train {} detached %s", other)(); w.parts = append(w.parts, other) })
		a.then(60, 600, nil, func() { w.without(other); put(other)() })
		a.then(60, 600, nil, func() {
			w.book(Moved, nil, &train{name: next}, "train {} moved to Yard")
			w.book(MadeUp, nil, &train{name: next}, "train {} joined to %s", quote(t.name))
		})
		a.then(60, 600, nil, func() { w.turnsBack(t) })
	default: // joined to what stands there
		a.then(60, 600, nil, func() {
			w.book(Moved, nil, &train{name: other}, "train {} moved to Yard")
			made("train {} joined to %s", other)()
			w.gone(t)
			w.parts = append(w.parts, other)
		})
		a.then(60, 900, nil, func() { w.without(other); put(other)() })
	}
	return a
}

// assisted has an engine assist the train over the section, and come back or be told
// through before the section is clear (General Rules (India) 14.10; early list of codes).
func (w *world) assisted(s *section, t *train) {
	if !w.o.Further || s.method != "absolute" || w.c.bank == "" || !w.chance(4) || !w.usable(s) {
		return
	}
	engine := &train{name: "0" + t.name[1:] + "B"}
	t.helper, t.helperBack = engine.name, w.chance(2)
	back := ""
	if t.helperBack {
		back = " returns"
	}
	w.book(Assisting, s, engine, "train {} assists %s%s", quote(t.name), back)
}

// helperThrough ends the journey of the assisting engine.
func (w *world) helperThrough(s *section, t *train) {
	engine := &train{name: t.helper}
	if t.helper == "" {
		return
	}
	if t.helper = ""; t.helperBack {
		w.book(Arrived, s, engine, "train {} arrived at Yard from %s", s.name)
		w.book(Moved, s, engine, "train {} put away")
		return
	}
	w.ring(Assisting, s, engine, true, true, "", "2-1-3", "2-1-3")
}

// detained: the train stands at the home signal; its man comes to the box and signs, and
// a reminder is put on (Rule 55).
func (w *world) detained(s *section, t *train) {
	home := s.name + " home signal"
	w.book(Arrived, s, t, "train {} arrived at %s", quote(home))
	a := (&agent{begun: true}).then(20, 60, nil, func() {
		w.book(Detained, s, t, `train {} detained line %s by "J. Wray" signed`, quote(s.in.name))
		w.book(Remark, s, t, `reminder on %s "{}"`, quote(home))
		w.reminders = append(w.reminders, home)
	})
	a.then(60, 200, nil, func() {})
	a.then(0, 0, func() bool { return w.placeFree() && w.open }, func() {
		t.at = w.freePlace()
		w.book(Arrived, s, t, "train {} arrived at %s complete", quote(t.at))
		w.book(Remark, s, nil, "reminder off %s", quote(home))
		w.reminders = without(w.reminders, home)
		w.receive(s, t)
		w.stays(t)
	})
	w.start(w.now, a)
}

// stopsIt: the box in rear has seen something amiss: the train is stopped here and
// looked at (early list of codes: 7).
func (w *world) stopsIt(s *section, t *train) {
	if w.o.Further && s.method == "absolute" && !w.c.private && w.chance(8) {
		w.answered(OtherBell, s, t, true, true, "7")
		t.stop = true
	}
}

// looked books what was found on the train that was stopped.
func (w *world) looked(t *train) {
	if t.stop {
		w.book(Examining, nil, t, `train {} examined fit "door open, shut"`)
		t.stop = false
	}
}

// partedInSection: the rear part was left in the section; its name, or "" when the whole
// train is here (signalbox.org ch. 9; General Rules (India) 6.09(4)).
func (w *world) partedInSection(s *section, t *train) string {
	if !w.o.Further || t.at == "" || w.chance(2) {
		return ""
	}
	rest := t.name + "R"
	w.book(MadeUp, s, t, "train {} divided leaving %s", quote(rest))
	w.parts = append(w.parts, rest)
	return rest
}

// foundWhole: the train has its tail lamp after all, or its rear part is in with it.
func (w *world) foundWhole(s *section, t *train, rest string) {
	if rest == "" {
		w.book(Entire, s, t, "train {} entire")
		return
	}
	part := &train{name: rest}
	w.book(Arrived, s, part, "train {} arrived at Yard from %s complete", s.name)
	w.book(Moved, s, part, "train {} put away")
	w.without(rest)
}

// without takes what stood in the Yard off the books.
func (w *world) without(name string) { w.parts = without(w.parts, name) }

func without(names []string, name string) []string {
	return slices.DeleteFunc(names, func(n string) bool { return n == name })
}
