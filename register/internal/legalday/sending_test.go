package legalday

import (
	"fmt"
	"slices"
)

// How trains are sent from the box, and what is handed over and given up.

// maySend: a train may be offered to s (Winwick: none before the last is out of
// section; Block Working Manual Part A 3.8(b), 3.9).
func (w *world) maySend(s *section) bool {
	return w.open && !w.closing && s.out.train == nil && s.out.shut == "" &&
		(s.method != "token" || len(s.tokens) > 0) && (!s.staffed() || s.staff) && (!s.pilot || s.pilotHere)
}

func (s *section) readyToGo(t *train) bool {
	return s.out.train == t && !t.held && (s.method != "token" || t.drawn > 0 || !s.belled())
}

// forward offers a train to the box it goes to, as soon as it may be.
func (w *world) forward(t *train, refused bool) {
	s := t.going
	if s == nil {
		return
	}
	a := (&agent{begun: true}).then(0, 0, func() bool { return w.maySend(s) && s.lets(s.out, t) }, func() {
		switch {
		case !s.belled():
			w.sendsUnbelled(s, t)
		case !refused && w.chance(15) && !w.o.Quiet && !w.c.private && s.bells():
			w.ring(OfferOut, s, t, false, true, "", t.code)
			w.forward(t, true)
		default:
			w.offered(s, t)
			w.takes(s, t)
		}
	})
	if s.staffed() && !s.staff {
		w.bringStaff(s)
	}
	wait := w.between(0, 120)
	if refused {
		wait = w.between(120, 300)
	}
	w.start(w.now+wait, a)
}

// offered: line clear is asked for and given, now and then under the warning
// arrangement: then the driver is warned before he goes (signalbox.org ch. 5).
func (w *world) offered(s *section, t *train) {
	s.out.train = t
	if s.method == "absolute" && slow(t.code) && w.chance(6) && !w.o.Quiet {
		w.ring(OfferOut, s, t, false, true, "", t.code, "3-5-5", "3-5-5")
		t.caution = "line clear to the home signal only"
		return
	}
	w.ring(OfferOut, s, t, false, true, w.consent(), t.code, t.code)
}

// takes is what follows an acceptance: a token drawn on the release; now and
// then the train cannot go yet: its token put back, cancelled and offered again
// (Block Working Manual Part A 3.3(A); study cards, cancelling).
func (w *world) takes(s *section, t *train) {
	a := &agent{begun: true}
	draw := func() {
		if s.method == "token" {
			w.draw(s, t)
		}
	}
	a.then(0, 20, nil, draw)
	if w.chance(25) && !w.o.Quiet && !s.staffed() && t.at != "" {
		t.held = true
		a.then(60, 120, nil, func() {
			if s.method == "token" {
				w.book(TokenIn, s, nil, "%s token %d in", s.name, t.drawn)
				s.tokens, t.drawn = append(s.tokens, t.drawn), 0
			}
			w.answered(CancelOut, s, t, false, true, w.c.cancel)
			w.saysHeld(s, t, "to")
			s.out.isOff(t)
			t.caution, t.held = "", false
			w.forward(t, true)
		})
	}
	w.start(w.now, a)
}

// saysHeld is the message about a train cancelled on a single line, before one is
// let go the other way (General Rules (India) 14.22).
func (w *world) saysHeld(s *section, t *train, way string) {
	if s.single() && w.c.private {
		w.book(Message, s, t, `message %s %s "{} is held and will be"`, way, s.name)
	}
}

// draw takes a token on the release just given (GWR 1936; Severn Valley notes).
func (w *world) draw(s *section, t *train) {
	i := w.rng.IntN(len(s.tokens))
	t.drawn = s.tokens[i]
	s.tokens = slices.Delete(s.tokens, i, i+1)
	w.tokenEntry(TokenOut, s, t, fmt.Sprintf("%s token %d out", s.name, t.drawn))
}

// leaves lets the train into the section: its authority handed over, its driver
// warned where that is due, entering sent as it goes (W. H. Mills, about 1898).
func (w *world) leaves(s *section, t *train, through bool) {
	w.warns(s, t)
	if !through {
		w.looks(s, t)
		w.assisted(s, t)
	}
	if s.method == "token" && s.belled() && w.handing() {
		w.book(TokenHand, s, t, "%s token %d to train {}", s.name, t.drawn)
	}
	if s.staffed() {
		w.handStaff(s, t)
	}
	t.at = ""
	if !through && (!w.o.BellsOnly || !s.belled()) {
		w.book(Departed, s, t, "train {} departed for %s%s", s.name, s.riding())
	}
	s.pilotHere = false
	if s.belled() {
		w.answered(EnterOut, s, t, false, w.c.enterCalled, w.c.enter)
		w.alongside(s, t)
	}
	s.goesIn(s.out, t)
	w.start(w.now+200, w.reaches(s, t))
}

// warns books what the driver is told before he goes; beside a section in doubt
// he is stopped and told why (study cards, tail lamp).
func (w *world) warns(s *section, t *train) {
	if s.in.doubt && s.in != s.out && t.caution == "" && s.in.train != t {
		t.caution = "train on the other line passed without tail lamp"
	}
	if s.follow && !s.told && len(s.out.within) > 0 && !slices.Contains(s.out.within, t) {
		t.caution = "train in front"
	}
	if t.caution != "" {
		w.book(Warned, s, t, "train {} warned %q", t.caution)
		t.caution = ""
	}
}

// alongside are the signals that follow entering: a tail lamp not seen or out
// (study cards: 2, then 1, then 9), an engine in rear.
func (w *world) alongside(s *section, t *train) {
	switch {
	case t.doubtful || t.lampOut:
		w.answered(LampBell, s, t, false, true, w.c.lampAhead)
		t.lampOut = false
	case w.c.bank != "" && s.method == "absolute" && w.chance(30) && !w.o.Quiet:
		w.answered(OtherBell, s, t, false, w.c.bankCalled, w.c.bank)
	}
}

// reaches: the train is out of the section at the far end.
func (w *world) reaches(s *section, t *train) *agent {
	a := &agent{begun: true}
	switch {
	case s.method == "one-train":
		a.then(0, 0, nil, func() {})
		a.then(900, 2400, w.placeFree, func() { w.comesBack(s, t) })
		return a
	case s.interval:
		// The next may follow when the time is past: General Rules (India) 12.03.
		a.then(0, 0, nil, func() {})
		a.then(900, 1200, func() bool { return t.coming == nil }, func() {})
	case !s.belled():
		w.thenReported(a, s, t)
	default:
		a.then(0, 0, nil, func() {})
		a.then(100, 400, func() bool { return !t.doubtful && t.coming == nil && s.out.first(t) }, func() {
			w.helperThrough(s, t)
			w.answered(ClearOut, s, t, true, true, w.c.clear)
			w.seen(s, t)
		})
	}
	a.then(0, 0, nil, func() {
		s.out.isOff(t)
		t.going = nil
		if t.drawn > 0 {
			s.away, t.drawn = append(s.away, t.drawn), 0
			w.balance(s)
		}
		w.gone(t)
		if s.staffed() && !s.staff && slices.ContainsFunc(w.trains, func(o *train) bool { return o.going == s }) {
			w.bringStaff(s)
		}
	})
	return a
}

// handing: this box books who has a token, or only the instruments.
func (w *world) handing() bool { return w.o.Seed%2 == 0 }

// surrender books what the driver gives up on arrival.
func (w *world) surrender(s *section, t *train) {
	switch {
	case t.given || s.message || s.pilot:
	case s.method == "token" && t.brought > 0 && w.handing():
		w.book(TokenHand, s, t, "%s token %d from train {}", s.name, t.brought)
	case s.staffed():
		w.takeStaff(s, t)
	}
	t.given = true
}

// restore puts the token a train came with into our instrument.
func (w *world) restore(s *section, t *train) {
	if t.brought == 0 {
		return
	}
	w.book(TokenIn, s, nil, "%s token %d in", s.name, t.brought)
	s.tokens, t.brought = append(s.tokens, t.brought), 0
	w.balance(s)
}

// balance has the technician move tokens to the end that runs out of them, with
// nothing signalled (tablet regulations 1890, clause 36; Manual Part A 7.7).
func (w *world) balance(s *section) {
	if min(len(s.tokens), len(s.away)) > 2 || s.short {
		return
	}
	s.short = true
	w.start(w.now, (&agent{begun: true}).then(0, 0, s.in.free, func() {
		from, to, words := &s.away, &s.tokens, "here"
		if len(s.away) < len(s.tokens) {
			from, to, words = to, from, "away"
		}
		s.short = false
		for len(*to) < 6 {
			w.book(TokenMoved, s, nil, "%s token %d moved %s", s.name, (*from)[0], words)
			*to, *from = append(*to, (*from)[0]), (*from)[1:]
		}
	}))
}

// Staff and ticket: General Rules (India) 12.01 to 12.15 and, for the block
// between, Victoria; one train only: Subsidiary Rule 13.03.1.4.
func (w *world) handStaff(s *section, t *train) {
	if s.method == "staff-and-ticket" && w.chance(3) {
		s.ticket++
		w.book(TicketHand, s, t, "%s ticket %d to train {}", s.name, s.ticket)
		return
	}
	w.book(StaffHand, s, t, "%s staff to train {}", s.name)
	s.staff = false
}

func (w *world) takeStaff(s *section, t *train) {
	if s.method == "staff-and-ticket" && w.chance(3) {
		s.farTicket++
		w.book(TicketHand, s, t, "%s ticket %d from train {}", s.name, 100+s.farTicket)
		return
	}
	w.book(StaffHand, s, t, "%s staff from train {}", s.name)
	s.staff = true
}

// bringStaff: with trains waiting here and none to come, the staff is brought by
// hand (common practice).
func (w *world) bringStaff(s *section) {
	away := func() bool { return s.in.free() && !s.staff && w.open }
	w.start(w.now+w.between(15*Minute, 30*Minute), (&agent{}).then(0, 0, away, func() {
		w.book(StaffHand, s, nil, `%s staff here "brought by road"`, s.name)
		s.staff = true
	}))
}
