package legalday

import "slices"

// userCrosses: the user of a crossing in section s rings, is told to wait while
// anything is signalled there, and crosses when nothing is. For a large movement the
// next box holds its trains, and the signal here is kept at danger with a reminder
// on it, till the user is clear (signaller study cards, level crossings; TS9 2.2).
func (w *world) userCrosses(s *section) *agent {
	signal, minutes, large := quote(s.name+" starting"), 1+w.rng.IntN(2), w.chance(3)
	what := []string{"car", "on foot", "van", "two bicycles"}[w.rng.IntN(4)]
	size := ""
	if large {
		what, minutes, size = "tractor and trailer", minutes+1, " large"
	}
	say := func(words string, a ...any) {
		w.book(CrossingCall, s, nil, `crossing "Mill Lane" `+words, a...)
	}
	ask := func() { say("asked %q for %d%s", what, minutes, size) }
	quiet := func() bool { return w.usable(s) && s.in.free() && s.out.free() }
	a := &agent{}
	if w.chance(2) { // something may be signalled: he waits, and rings again
		a.then(0, 0, func() bool { return w.open && !w.closing }, func() { ask(); say("wait") })
	}
	a.then(0, 0, quiet, func() {
		ask()
		s.in.shut, s.out.shut = "crossing", "crossing"
		if large {
			w.reminders = append(w.reminders, s.name+" starting")
			w.book(Message, s, nil, `message to %s "hold trains for Mill Lane"`, s.name)
			w.book(Message, s, nil, `message from %s "none signalled, holding"`, s.name)
			w.book(Remark, s, nil, "signal %s on", signal)
			w.book(Remark, s, nil, `reminder on %s "Mill Lane"`, signal)
		}
		say("may cross")
	})
	a.then(minutes*Minute-40, minutes*Minute-20, nil, func() { say("clear") })
	a.then(0, 40, nil, func() {
		if large {
			w.book(Message, s, nil, `message to %s "Mill Lane clear, normal"`, s.name)
			w.book(Remark, s, nil, "reminder off %s", signal)
			w.reminders = slices.DeleteFunc(w.reminders, func(on string) bool { return on == s.name+" starting" })
		}
		s.in.shut, s.out.shut = "", ""
	})
	return a
}

// UserInFrontOfTrain gives leave to cross just after a train has entered the
// section of the crossing, in a minute in which no other user calls: the leave might be his, who
// needs less time. Source: RAIB, Hockham Road, 10 April 2016.
func UserInFrontOfTrain(d *Day, nth int) (broken *Day, line int, ok bool) {
	c := *d
	for i, a := range d.Acts {
		calls := slices.ContainsFunc(d.Acts, func(b Act) bool { return b.Kind == CrossingCall && b.At/Minute == a.At/Minute })
		if a.Kind != EnterOut || a.Section != neighbours[0].name || calls {
			continue
		}
		if nth--; nth >= 0 {
			continue
		}
		more := []Act{{Kind: CrossingCall, At: a.At, Section: a.Section, Body: `crossing "Mill Lane" asked "car" for 2`},
			{Kind: CrossingCall, At: a.At, Section: a.Section, Body: `crossing "Mill Lane" may cross`}}
		c.Acts = append(append(append([]Act{}, d.Acts[:i+1]...), more...), d.Acts[i+1:]...)
		return &c, i + 2, true
	}
	return nil, 0, false
}

// Without is the day with entry i left out.
func Without(d *Day, i int) *Day {
	c := *d
	c.Acts = append(append([]Act{}, d.Acts[:i]...), d.Acts[i+1:]...)
	return &c
}
