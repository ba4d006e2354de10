package legalday

import (
	"fmt"
	"slices"
)

// How trains are signalled towards the box: offer and acceptance, entering,
// arrival or passing with the tail lamp seen, out of section. The step table is
// that of the GNR absolute block regulations 1897 and signalbox.org ch. 1; for
// tokens Severn Valley Railway notes, GWR 1936 and Block Working Manual Part A 3.2.

var stopping = []string{"Platform 1", "Platform 2", "Loop"}

// newTrain gives a train a reporting number that no other has today.
func (w *world) newTrain() *train {
	offer := w.c.offers[w.rng.IntN(len(w.c.offers))]
	w.serial++
	return &train{name: fmt.Sprintf("%s%c%02d", offer[1], 'M'+w.serial/100, w.serial%100), code: offer[0]}
}

// freePlace is a place where a train may stand clear of the clearing points.
func (w *world) freePlace() string {
	for _, p := range stopping {
		if !slices.ContainsFunc(w.trains, func(t *train) bool { return t.at == p }) {
			return p
		}
	}
	return ""
}

func (w *world) placeFree() bool { return w.freePlace() != "" }

// room says whether one more train may come: a place for each that stands or comes.
func (w *world) room() bool {
	n := 0
	for _, t := range w.trains {
		back := t.going != nil && t.going.method == "one-train" // it comes back and needs its place
		if t.at != "Yard" && (t.at != "" || t.coming != nil || back) {
			n++
		}
	}
	return n < len(stopping)
}

// mayTake: line clear may be given for a train from s (absolute: TS3 3.4.1 as in
// study cards; token: Block Working Manual Part A 3.12; staff: General Rules
// (India) 12.08).
func (w *world) mayTake(s *section) bool {
	if !w.open || w.closing || w.last || s.in.train != nil || s.single() && len(s.in.within) > 0 || s.in.shut != "" || !w.room() {
		return false
	}
	if s.method == "token" && s.belled() && len(s.away) == 0 || s.staffed() && s.staff || s.pilot && s.pilotHere {
		return false
	}
	if w.c.private && s.single() {
		// One at a time towards a loop: General Rules (India) 8.03 note.
		return !slices.ContainsFunc(w.trains, func(t *train) bool { return t.at == "" && t.coming != nil && t.coming.single() })
	}
	return true
}

// comes lets the box at the other end of s offer a train, when it may be taken.
func (w *world) comes(s *section, t *train, refused bool) *agent {
	return (&agent{}).then(0, 0, func() bool { return w.mayTake(s) && s.lets(s.in, t) }, func() {
		switch {
		case !s.belled():
			w.comesUnbelled(s, t)
			return
		case !refused && w.chance(15) && !w.o.Quiet && !s.told:
			w.refuse(s, t)
			w.refused = append(w.refused, t.name)
			w.start(w.now+w.between(120, 300), w.comes(s, t, true))
			return
		}
		if t.going != nil && !w.takesMore(t.going) {
			t.going = nil
		}
		w.accept(s, t)
		w.refused = slices.DeleteFunc(w.refused, func(n string) bool { return n == t.name })
		t.coming, s.in.train = s, t
		w.trains = append(w.trains, t)
		a := &agent{}
		if w.chance(25) && !w.o.Quiet {
			w.thenCancelled(a, s, t)
		} else {
			w.thenEnters(a, s, t)
		}
		w.start(w.now, a)
	})
}

// refuse leaves an offer without an answer (Feather; signalbox.org ch. 3); in
// India 6 refuses, and the reason is booked (Block Working Manual Part A 5.1).
func (w *world) refuse(s *section, t *train) {
	if w.c.private && (s.method == "token" || s.method == "tokenless") {
		w.ring(OfferIn, s, t, true, true, ` "refused, platform line not clear"`, t.code, "6", "6")
		return
	}
	w.ring(OfferIn, s, t, true, true, "", t.code)
}

// slow says whether trains of the code may be taken under the warning
// arrangement: slow goods trains (signalbox.org ch. 5).
func slow(code string) bool { return code == "3-2" || code == "4-1" || code == "1-4" }

// accept gives line clear, now and then under the warning arrangement, which the
// box's instructions allow.
func (w *world) accept(s *section, t *train) {
	if s.method == "absolute" && slow(t.code) && w.chance(6) && !w.o.Quiet {
		w.ring(OfferIn, s, t, true, true, "", t.code, "3-5-5", "3-5-5")
		return
	}
	w.ring(OfferIn, s, t, true, true, w.consent(), t.code, t.code)
	if w.c.redescribe != "" && !s.words && w.chance(50) && !w.o.Quiet {
		// Wrongly described, and described again at once: common practice.
		w.answered(OtherBell, s, t, true, true, w.c.redescribe)
		w.ring(OfferIn, s, t, true, false, "", t.code, t.code)
	}
}

// thenCancelled: the train does not run after all (signalbox.org ch. 8).
func (w *world) thenCancelled(a *agent, s *section, t *train) {
	a.then(60, 400, nil, func() {
		w.answered(CancelIn, s, t, true, true, w.c.cancel)
		w.saysHeld(s, t, "from")
		s.in.isOff(t)
		t.coming = nil
		w.gone(t)
	})
}

// gone takes a train off the box's hands.
func (w *world) gone(t *train) {
	w.trains = slices.DeleteFunc(w.trains, func(o *train) bool { return o == t })
}

// thenEnters: the train leaves the box in rear, with a token drawn there, and
// comes. The number is told in India (Manual Part A 3.2), heard of elsewhere.
func (w *world) thenEnters(a *agent, s *section, t *train) {
	if s.method == "token" {
		a.then(0, 20, nil, func() {
			t.brought = s.away[w.rng.IntN(len(s.away))]
			s.away = slices.DeleteFunc(s.away, func(n int) bool { return n == t.brought })
			if w.c.private || w.handing() {
				w.tokenEntry(TokenFar, s, t, fmt.Sprintf("%s token %d out there", s.name, t.brought))
			}
		})
	}
	a.then(60, 240, nil, func() {
		w.answered(EnterIn, s, t, true, w.c.enterCalled, w.c.enter)
		w.stopsIt(s, t)
		s.goesIn(s.in, t)
		w.forward(t, false)
	})
	a.then(200, 520, func() bool { return w.placeFree() && s.in.first(t) && !(s.told && s.in.shut != "") }, func() { w.arrives(s, t) })
}

func (w *world) tokenEntry(k Kind, s *section, t *train, body string) {
	act := Act{Kind: k, Section: s.name, Train: t.name, At: w.now, Body: body}
	if w.named(k) {
		act.Name = t.name
	}
	w.acts = append(w.acts, act)
}

// arrives books the train here: through, if its line is clear and its authority
// in hand, else to a stand.
func (w *world) arrives(s *section, t *train) {
	if s.bothWays {
		s.pilotHere = true
	}
	through := t.going != nil && !t.stop && !s.bothWays && !t.going.bothWays && s.belled() && t.going.belled() && !t.going.staffed() && t.going.readyToGo(t) &&
		!(s.single() && t.going.single()) && w.chance(2)
	proof := "complete"
	switch {
	case w.o.Quiet || !s.belled() || w.o.Naming == NameNone && w.chance(2):
	case w.chance(40) && s.bells() && (!through || t.going.bells()):
		proof, t.doubtful, s.in.doubt = "no-tail-lamp", true, !s.single()
	case through && w.chance(20) && !w.c.private && t.going.bells():
		proof, t.lampOut = "lamp-out", true
	}
	if through {
		w.warns(t.going, t)
		w.looks(t.going, t)
		w.book(Passed, s, t, "train {} passed for %s %s", t.going.name, proof)
		w.surrender(s, t)
		w.leaves(t.going, t, true)
		w.receive(s, t)
		return
	}
	if w.o.Further && s.method == "absolute" && proof == "complete" && s.in.train == t && w.chance(8) {
		w.detained(s, t)
		return
	}
	from := ""
	if w.chance(2) || len(w.o.Methods) > 2 || w.o.Naming == NameNone || !s.belled() {
		from = " from " + s.name
	}
	t.at = w.freePlace()
	w.book(Arrived, s, t, "train {} arrived at %s%s %s%s", quote(t.at), from, proof, s.riding())
	w.receive(s, t)
	w.stays(t)
}

// receive gives up what the train came with and clears the section: token in,
// then out of section (Severn Valley notes); after no tail lamp only when it is
// found complete (study cards, train passed without a tail lamp).
func (w *world) receive(s *section, t *train) {
	a := &agent{begun: true}
	if t.doubtful {
		rest := w.partedInSection(s, t)
		a.then(0, 0, nil, func() { w.answered(LampBell, s, t, false, true, w.c.lampRear) })
		a.then(200, 400, nil, func() {
			w.foundWhole(s, t, rest)
			t.doubtful, s.in.doubt = false, false
		})
	}
	a.then(0, 60, nil, func() { w.surrender(s, t); w.restore(s, t) })
	a.then(0, 40, nil, func() {
		if s.belled() {
			w.answered(ClearIn, s, t, false, true, w.c.clear)
		} else {
			w.reportsIn(s, t)
		}
		s.in.isOff(t)
		t.coming, t.given = nil, false
	})
	w.start(w.now, a)
}

// stays: what a train that stands here does next.
func (w *world) stays(t *train) {
	a := &agent{begun: true}
	cleared := func() bool { return t.coming == nil && !t.doubtful }
	w.looked(t)
	switch {
	case t.going != nil:
		w.thenDeparts(a, t)
	case w.o.Further && w.chance(2):
		a = w.inTheYard(t)
	case w.chance(2):
		a.then(120, 900, cleared, func() {
			w.book(Moved, nil, t, "train {} put away")
			w.gone(t)
		})
	default:
		a.then(200, 900, cleared, func() { w.turnsBack(t) })
	}
	w.start(w.now+60, a)
}

// turnsBack: the train goes on as another, with a number of its own.
func (w *world) turnsBack(t *train) {
	n := w.newTrain()
	w.book(Moved, nil, t, "train {} renamed %s", quote(n.name))
	t.name, t.code = n.name, n.code
	if t.going = w.sections[w.rng.IntN(len(w.sections))]; !w.takesMore(t.going) {
		t.going = w.sections[0]
	}
	w.forward(t, false)
	b := &agent{begun: true}
	w.thenDeparts(b, t)
	w.start(w.now+60, b)
}

// takesMore: trains for a line with a staff do not queue for it.
func (w *world) takesMore(s *section) bool {
	return !s.staffed() || !slices.ContainsFunc(w.trains, func(t *train) bool { return t.going == s })
}

// starts sends a train made up in the yard.
func (w *world) starts(s *section, t *train) *agent {
	return (&agent{}).then(0, 0, func() bool { return w.maySend(s) && w.takesMore(s) }, func() {
		t.at, t.going = "Yard", s
		w.trains = append(w.trains, t)
		if w.o.Further && w.chance(4) {
			w.book(Hearing, s, t, `train {} must hear "stop at bridge 14"`)
			t.hears = true
		}
		w.forward(t, false)
		b := &agent{begun: true}
		w.thenDeparts(b, t)
		w.start(w.now+60, b)
	})
}

// thenDeparts: the train goes when it has line clear and its authority, and the
// section it came by is clear of it.
func (w *world) thenDeparts(a *agent, t *train) {
	a.then(60, 200, func() bool { return t.going.readyToGo(t) && t.coming == nil && !t.doubtful && !t.held }, func() {
		w.leaves(t.going, t, false)
	})
}
