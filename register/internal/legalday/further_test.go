package legalday

import "fmt"

// What a box books beside bells, trains and tokens: lines given up to several parties,
// the occupation key, points and ground frames, signals passed with authority, lines to
// be examined. Each names the rule it is regular by.

// further sets such things on their way through the day.
func (w *world) further() {
	for at := firstSeen + 600; at < w.o.lastSeen()-1800; at += w.between(6*Minute, 18*Minute) {
		s := w.sections[w.rng.IntN(len(w.sections))]
		may := []func(*section) *agent{w.pointsFail, w.released}
		if s.method == "absolute" {
			may = append(may, w.parties, w.signalFails, w.toExamine, w.frame)
		}
		if s.method == "token" {
			may = append(may, w.key)
		}
		w.start(at, may[w.rng.IntN(len(may))](s))
	}
}

// parties: two gangs on one authority, each clear when it has said so for itself; the
// line is given up when both have (TS1 13.2.7; Parikawa and Wiri, 2012).
func (w *world) parties(s *section) *agent {
	tr := s.in
	if w.chance(2) {
		tr = s.out
	}
	w.serial++
	where := fmt.Sprintf("%s towards %s", quote(tr.name), s.name)
	gangs, first := []string{`"J. Wray"`, `"B. Wood"`}, `"J. Wray"`
	say := func(words string, a ...any) func() {
		return func() { w.book(PartyKind, s, nil, words, a...) }
	}
	number := w.serial
	a := &agent{}
	a.then(0, 0, func() bool { return w.usable(s) && tr.free() }, func() {
		w.book(BlockageKind, s, nil, `blockage %s party %s number %d repeated "culvert"`, where, first, number)
		tr.shut = "blockage"
	})
	a.then(60, 300, nil, say(`party %s on %s number %d repeated "drainage"`, gangs[1], where, number))
	w.rng.Shuffle(2, func(i, j int) { gangs[i], gangs[j] = gangs[j], gangs[i] })
	a.then(300, 900, nil, say(`party %s clear %s number %d`, gangs[0], where, number))
	a.then(0, 300, nil, say(`party %s clear %s number %d`, gangs[1], where, number))
	a.then(0, 60, nil, func() {
		w.book(BlockageKind, s, nil, "blockage-up %s", where)
		tr.shut = ""
	})
	return a
}

// key: the occupation key is out for a trolley, and the section closed (General Rules
// (India), Subsidiary Rule 13.03.1.4).
func (w *world) key(s *section) *agent {
	a := &agent{}
	a.then(0, 0, func() bool { return w.usable(s) && s.idle() }, func() {
		w.book(BlockageKind, s, nil, `%s occupation-key out to "J. Wray" "trolley"`, s.name)
		s.in.shut = "occupation key"
	})
	a.then(300, 1200, nil, func() {
		w.book(BlockageKind, s, nil, "%s occupation-key in", s.name)
		s.in.shut = ""
	})
	return a
}

// pointsFail: points wound by hand are clamped before they are used (study cards, TS3
// 3.4.1; Great Southern Railways 1933, rule 77(b)).
func (w *world) pointsFail(*section) *agent {
	a := &agent{}
	a.then(0, 0, func() bool { return w.open && !w.closing && !w.pointsOut }, func() {
		w.pointsOut = true
		w.book(Apparatus, nil, nil, `failure "Points 5" "detection lost"`)
		w.book(Apparatus, nil, nil, `points "Points 5" wound normal`)
		w.book(Apparatus, nil, nil, `clamped "Points 5"`)
	})
	a.then(600, 1800, nil, func() {
		w.book(Apparatus, nil, nil, `unclamped "Points 5"`)
		w.book(Apparatus, nil, nil, `points "Points 5" set normal`)
		w.book(Apparatus, nil, nil, `restored "Points 5" "detection adjusted"`)
		w.pointsOut = false
	})
	return a
}

// frame: the ground frame on the line is out for a shunt at the quarry with nothing
// signalled over its points (common practice).
func (w *world) frame(s *section) *agent {
	a := &agent{}
	a.then(0, 0, func() bool { return w.usable(s) && s.idle() && !s.frameOut }, func() {
		s.frameOut = true
		w.book(Apparatus, s, nil, "ground-frame %s out", quote(s.name+" frame"))
		s.in.shut, s.out.shut = "ground frame", "ground frame"
	})
	a.then(200, 600, nil, func() {
		w.book(Apparatus, s, nil, "ground-frame %s in", quote(s.name+" frame"))
		s.in.shut, s.out.shut, s.frameOut = "", "", false
	})
	return a
}

// signalFails: the section signal will not clear; each train is let past it with
// authority, line clear in hand (W. H. Mills, about 1898).
func (w *world) signalFails(s *section) *agent {
	name := quote(s.name + " starting")
	a := &agent{}
	a.then(0, 0, func() bool { return w.usable(s) && !s.signalOut }, func() {
		s.signalOut = true
		w.book(Apparatus, s, nil, `failure %s "arm will not clear"`, name)
	})
	a.then(900, 2400, nil, func() {
		s.signalOut = false
		w.book(Apparatus, s, nil, `restored %s "wire adjusted"`, name)
	})
	return a
}

// toExamine: a driver reports a rough ride; the next train is told to look, and the line
// is in use again when it is through (Railway Clearing House, rule 217(c)).
func (w *world) toExamine(s *section) *agent {
	a := &agent{}
	a.then(0, 0, func() bool { return w.usable(s) && s.out.free() && s.examine == nil && !s.examining }, func() {
		s.examining = true
		w.book(Examining, s, nil, `%s to be examined line %s "rough ride"`, s.name, quote(s.out.name))
	})
	return a
}

// looks has the driver told before he goes, where something waits for him: that he is to
// look at the line, that the signal is to be passed, what he must hear.
func (w *world) looks(s *section, t *train) {
	if t.hears {
		w.book(Hearing, s, t, "train {} heard")
		t.hears = false
	}
	if s.examining && s.examine == nil {
		s.examine = t
		w.book(Warned, s, t, `train {} warned "to look at the line"`)
	}
	if s.signalOut {
		w.book(Authorised, s, t, `train {} authorised past %s "signal failed"`, quote(s.name+" starting"))
	}
}

// seen: the train that was to look is through, and the line is clear.
func (w *world) seen(s *section, t *train) {
	if s.examine == t && t != nil {
		w.book(Examining, s, t, "%s examined clear line %s train {}", s.name, quote(s.out.name))
		s.examine, s.examining = nil, false
	}
}
