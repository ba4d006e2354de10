package legalday

// Working without bells: one train only, by message while bells have failed, and
// by pilot.

// riding is what the entry of a train says of the pilot, who goes with each
// (Great Southern Railways 1933, rule 192; General Rules (India) 11.01).
func (s *section) riding() string {
	if s.pilot {
		return ` "T. Hale riding"`
	}
	return ""
}

// comesUnbelled: consent by message, or the pilot comes with the train. Each
// message is written down, repeated back (from memory: the form is the
// railway's own; Block Working Manual Part A 8.4 to 8.6).
func (w *world) comesUnbelled(s *section, t *train) {
	t.coming, s.in.train = s, t
	w.trains = append(w.trains, t)
	if s.message {
		w.book(Message, s, t, `message to %s "line clear for {}"`, s.name)
	}
	a := &agent{begun: true}
	a.then(0, 0, nil, func() {})
	a.then(60, 240, nil, func() {
		if s.message {
			w.book(Message, s, t, `message from %s "{} left %s"`, s.name, clock(w.now+w.o.shift()))
		}
		w.forward(t, false)
	})
	a.then(240, 520, w.placeFree, func() {
		s.pilotHere = s.pilot
		w.arrives(s, t)
	})
	w.start(w.now, a)
}

// reportsIn tells the other end that the train is in.
func (w *world) reportsIn(s *section, t *train) {
	if s.message || s.pilot {
		w.book(Message, s, t, `message to %s "{} arrived complete %s"`, s.name, clock(w.now+w.o.shift()))
	}
}

// sendsUnbelled has the consent for a train of ours: by message, by the pilot's
// presence or by the staff.
func (w *world) sendsUnbelled(s *section, t *train) {
	s.out.train = t
	if s.message {
		w.book(Message, s, t, `message from %s "line clear for {}"`, s.name)
	}
}

// thenReported: the other end reports the train in.
func (w *world) thenReported(a *agent, s *section, t *train) {
	a.then(0, 0, nil, func() {})
	a.then(100, 400, func() bool { return t.coming == nil }, func() {
		w.book(Message, s, t, `message from %s "{} arrived complete %s"`, s.name, clock(w.now+w.o.shift()))
	})
}

// comesBack: the one train of a dead end is here again.
func (w *world) comesBack(s *section, t *train) {
	t.at = w.freePlace()
	w.book(Arrived, s, t, "train {} arrived at %s from %s complete", quote(t.at), s.name)
	w.takeStaff(s, t)
	s.out.train, t.going = nil, nil
	w.stays(t)
}

// fails puts a section to working by message or pilot for an hour or two, and
// back when everything sent is reported in (Subsidiary Rule 11.05.10; Block
// Working Manual Part A 8.10(b)).
func (w *world) fails(s *section) *agent {
	if w.o.Single && s.method == "absolute" {
		return w.singleLine(s)
	}
	a := &agent{}
	a.then(0, 0, func() bool { return w.open && !w.closing && s.idle() }, func() {
		if s.pilot = w.o.Pilot; s.pilot {
			s.pilotHere = true
			w.book(Working, s, nil, `%s working by pilot "T. Hale"`, s.name)
			return
		}
		s.message = true
		w.book(Working, s, nil, `%s working by message "bells failed"`, s.name)
	})
	a.then(3600, 7200, s.idle, func() {
		s.message, s.pilot = false, false
		w.book(Working, s, nil, "%s working normal", s.name)
	})
	return a
}

// singleLine uses one line of a double line both ways for an hour or two: the bells
// go on, the pilot rides every train, his form is held here (Great Southern Railways
// 1933, rules 190 to 192; tablet regulations 1890, clause 23).
func (w *world) singleLine(s *section) *agent {
	in, out := s.in, s.out
	a := &agent{}
	a.then(0, 0, func() bool { return w.usable(s) && s.idle() && s.shunting == "" }, func() {
		use := []*track{in, out}[w.rng.IntN(2)]
		s.in, s.out, s.double, s.pilot, s.bothWays, s.pilotHere = use, use, false, true, true, w.chance(2)
		w.book(Working, s, nil, `%s working by pilot "T. Hale" over %s form 3`, s.name, quote(use.name))
	})
	a.then(3600, 7200, s.idle, func() {
		s.in, s.out, s.double, s.pilot, s.bothWays = in, out, true, false, false
		w.book(Working, s, nil, "%s working normal", s.name)
	})
	return a
}
