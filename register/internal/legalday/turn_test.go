package legalday

import (
	"slices"
	"strconv"
)

// The box itself: opening and closing, the turns of duty, the clock.

// begin opens the box and takes over what stands.
func (w *world) begin() {
	w.signOn()
	w.book(Clock, nil, nil, "clock right")
	for _, s := range w.sections {
		if s.staffed() {
			s.staff = s.method == "one-train" || w.chance(2)
			words := "away"
			if s.staff {
				words = "here"
			}
			w.book(StaffHand, s, nil, "%s staff %s", s.name, words)
		}
	}
	w.opening("box open")
}

// opening: 5-5-5 to every neighbour, and the entry (signalbox.org ch. 10). The
// Indian set has no such signal: its stations are open throughout.
func (w *world) opening(entry string) {
	w.open, w.closing = true, false
	w.bellsToAll(w.c.open, entry)
}

func (w *world) bellsToAll(code, entry string) {
	if code == "" {
		return
	}
	for _, s := range w.sections {
		if s.method != "one-train" && !s.interval && !s.words {
			w.answered(BoxBell, s, nil, false, true, code)
		}
	}
	w.book(Box, nil, nil, "%s", entry)
}

// timetable sets the day's trains and events on their way.
func (w *world) timetable() {
	for at := firstSeen; at < w.o.lastSeen(); at += w.between(3*Minute, 12*Minute) {
		s := w.sections[w.rng.IntN(len(w.sections))]
		t := w.newTrain()
		if w.chance(4) || s.method == "one-train" {
			w.start(at, w.starts(s, t))
			continue
		}
		if to := w.sections[w.rng.IntN(len(w.sections))]; to != s {
			t.going = to
		}
		w.start(at, w.comes(s, t, false))
	}
	w.start(9*3600, (&agent{begun: true}).then(0, 0, nil, func() { w.book(Clock, nil, nil, "clock slow 1") }))
	if w.o.lastSeen() > 14*3600 {
		w.start(14*3600-w.between(0, 600), (&agent{begun: true}).then(0, 0, nil, w.changeTurn))
	}
	if !w.o.Quiet {
		for at := firstSeen + 1800; at < w.o.lastSeen()-3600; at += w.between(20*Minute, 60*Minute) {
			w.start(at, w.incident(w.sections[w.rng.IntN(len(w.sections))]))
			w.start(at+Minute, w.remark(nil))
		}
		if w.c.close != "" && !w.o.Message && !w.o.Pilot && w.o.Last == 0 && w.chance(2) {
			w.start(w.between(10*3600, 17*3600), w.switching())
		}
	}
	if w.o.Further {
		w.further()
	}
	if w.o.Crossing {
		for at := firstSeen; at < w.o.lastSeen()-1800; at += w.between(8*Minute, 25*Minute) {
			w.start(at, w.userCrosses(w.sections[0]))
		}
	}
	if w.o.Message || w.o.Pilot || w.o.Single {
		for i, s := range w.sections {
			if s.method != "one-train" && s.bells() {
				w.start(w.between(7*3600, 8*3600)+i*3600, w.fails(s))
				w.start(w.between(15*3600, 16*3600)+i*3600, w.fails(s))
			}
		}
	}
	w.start(w.o.lastSeen(), w.ending())
}

// changeTurn: the relief is told of everything live, signs on, and the man
// relieved signs off (TS1 1.3 as in study cards).
func (w *world) changeTurn() {
	if w.o.Crossing {
		w.book(Carried, nil, nil, `carried "Mill Lane"`)
	}
	for _, matter := range w.live() {
		w.book(Carried, nil, nil, "carried %s", quote(matter))
	}
	off := people[w.onDuty]
	w.onDuty = (w.onDuty + 1) % len(people)
	w.signOn()
	w.book(Duty, nil, nil, `duty off "%s"`, off)
}

func (w *world) signOn() {
	by := ""
	if w.o.PINs {
		by = " by-pin"
	}
	w.book(Duty, nil, nil, `duty on "%s"%s`, people[w.onDuty], by)
}

// live names what a relief must know.
func (w *world) live() []string {
	out := append(append(slices.Clone(w.refused), w.reminders...), w.parts...)
	for _, t := range w.trains {
		out = append(out, t.name)
		if t.helper != "" {
			out = append(out, t.helper)
		}
		for _, n := range []int{t.drawn, t.brought} {
			if n > 0 {
				out = append(out, tokenName(n))
			}
		}
	}
	for _, s := range w.sections {
		if s.shunting != "" {
			out = append(out, s.shunting)
		}
		if s.released || w.c.private && s.releases > 0 {
			out = append(out, s.name+" release")
		}
		if s.frameOut {
			out = append(out, s.name+" frame")
		}
		if s.in.shut == "occupation key" {
			out = append(out, s.name)
		}
		if s.signalOut {
			out = append(out, s.name+" starting")
		}
		if s.examining {
			out = append(out, s.out.name)
		}
		if s.lent > 0 {
			out = append(out, tokenName(s.lent))
		}
		for _, tr := range []*track{s.in, s.out} {
			if tr.shut != "" {
				out = append(out, tr.name)
			}
		}
	}
	if w.pointsOut {
		out = append(out, "Points 5")
	}
	if w.pilotOut {
		out = append(out, "Pilot")
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// quiet: nothing is signalled anywhere.
func (w *world) quiet() bool {
	return !slices.ContainsFunc(w.sections, func(s *section) bool { return !s.idle() })
}

// switching takes the box out of the circuit for a while (signalbox.org ch. 10:
// with nothing signalled, acknowledged on all sides).
func (w *world) switching() *agent {
	a := &agent{begun: true}
	a.then(0, 0, nil, func() { w.closing = true })
	a.then(0, 0, w.quiet, func() {
		w.bellsToAll(w.c.close, "box switched out")
		w.open = false
	})
	a.then(1200, 3000, nil, func() { w.opening("box switched in") })
	return a
}

// ending closes the box when the last train is cleared.
func (w *world) ending() *agent {
	a := &agent{begun: true}
	a.then(0, 0, nil, func() { w.last = true })
	a.then(0, 0, func() bool { return w.open && !w.closing && w.quiet() && w.busy == 1 }, func() {
		w.bellsToAll(w.c.close, "box closed")
		w.book(Duty, nil, nil, `duty off "%s"`, people[w.onDuty])
		w.ended = true
	})
	return a
}

func tokenName(n int) string { return "token " + strconv.Itoa(n) }
