package legalday

import (
	"fmt"
	"slices"
	"strings"
)

// The methods beside block, token, staff and tokenless: words by telephone, axle
// counters, descriptions over track circuit block, and trains that follow one another
// on a permissive line. A method over a double line that may be over either is
// written with "/double".

// way is what tells a method from absolute block, for whoever works it.
type way struct {
	double  bool
	words   bool // what is said between boxes is said and not belled
	counter bool // the section is shown free by an axle counter
	follow  bool // trains may be on the line together
	most    int  // so many at most, 0 for as many as come
	told    bool // trains are described, and nothing reported clear
}

var ways = map[string]way{
	"absolute":            {double: true},
	"telephone":           {words: true},
	"telephone/double":    {words: true, double: true},
	"axle-counter":        {words: true, counter: true},
	"axle-counter/double": {words: true, counter: true, double: true},
	"permissive":          {double: true, follow: true, most: 3},
	"track-circuit":       {double: true, follow: true, told: true},
}

// bells says whether the section has the signals of the block.
func (s *section) bells() bool { return !s.words && !s.told }

// lets says whether one more train may be on the line: a permissive one takes goods
// trains behind goods trains (L&NWR Society glossary, permissive block).
func (s *section) lets(tr *track, t *train) bool {
	switch {
	case tr.train != nil:
		return false
	case len(tr.within) == 0 || s.told:
		return true
	}
	goods := func(t *train) bool { return slices.Contains([]string{"3-2", "4-1", "5", "3-1-1", "3"}, t.code) }
	return s.follow && len(tr.within) < s.most && goods(t) && !slices.ContainsFunc(tr.within, func(o *train) bool { return !goods(o) })
}

// goesIn makes room on the line behind a train that is on it, where one may follow.
func (s *section) goesIn(tr *track, t *train) {
	if s.follow && tr.train == t {
		tr.train, tr.within = nil, append(tr.within, t)
	}
}

// isOff takes a train off a line.
func (tr *track) isOff(t *train) {
	if tr.train == t {
		tr.train = nil
	}
	tr.within = slices.DeleteFunc(tr.within, func(o *train) bool { return o == t })
}

// first says whether no train is in front of this one on the line.
func (tr *track) first(t *train) bool {
	return len(tr.within) == 0 || tr.within[0] == t || !slices.Contains(tr.within, t)
}

// says writes in words what is a bell elsewhere (train reporting: Ril 408.0221; the
// axle counter: Block Working Manual part B 3.5(A)).
func (w *world) says(k Kind, s *section, t *train, received bool, tail string, signals []string) {
	tr := s.out
	if k == OfferIn || k == EnterIn || k == ClearIn || k == CancelIn {
		tr = s.in
	}
	line := ""
	if s.double {
		line = " line " + quote(tr.name)
	}
	var words []string
	switch k {
	case OfferIn, OfferOut:
		words = []string{"offer", "accept"}
		if len(signals) < 2 || signals[0] != signals[1] {
			words, tail = []string{"offer", "refuse"}, ` "platform line not clear"`
		}
	case EnterIn, EnterOut:
		if words = []string{"entering"}; s.counter {
			if w.chance(2) { // it need not be booked
				w.book(k, s, nil, "%s indicator occupied%s", s.name, line)
			}
			return
		}
	case ClearIn, ClearOut:
		if words = []string{"arrived"}; s.counter {
			w.book(k, s, nil, "%s indicator free%s", s.name, line)
			return
		}
	case CancelIn, CancelOut:
		words = []string{"cancel"}
	default:
		return
	}
	act := Act{Kind: k, Section: s.name, At: w.now, Train: t.name, Name: t.name, Body: s.name + " " + strings.Join(arrows(received, words), " "), Tail: tail}
	w.acts = append(w.acts, act)
}

// shuntKey: the shunt key is out for a while with nothing signalled (Block Working
// Manual part B 1.4).
func (w *world) shuntKey(s *section) *agent {
	line := ""
	if s.double {
		line = " line " + quote(s.out.name)
	}
	a := &agent{}
	a.then(0, 0, func() bool { return w.usable(s) && s.out.free() }, func() {
		w.book(ShuntBell, s, nil, `%s shunt-key out%s "wagons to the yard"`, s.name, line)
		s.out.shut = "shunt key"
	})
	a.then(300, 900, nil, func() {
		w.book(ShuntBell, s, nil, `%s shunt-key in%s`, s.name, line)
		s.out.shut = ""
	})
	return a
}

// alarm: the emergency alarm stops all trains until the section is proved clear
// (GERT8000-TS1 2.2 as in study cards).
func (w *world) alarm(s *section) *agent {
	a := &agent{}
	a.then(0, 0, func() bool { return w.usable(s) && s.idle() }, func() {
		w.answered(BlockBell, s, nil, w.chance(2), false, "6")
		s.in.shut, s.out.shut = "alarm", "alarm"
	})
	a.then(300, 600, nil, func() {
		w.book(UnblockBell, s, nil, `%s proved clear "cattle off the line"`, s.name)
		s.in.shut, s.out.shut = "", ""
	})
	return a
}

// released: a track circuit has failed behind a train; with the section clear its
// release is used and Control told (GERT8000-TS1 3.7 as in study cards).
func (w *world) released(s *section) *agent {
	a := &agent{}
	a.then(0, 0, func() bool { return w.usable(s) && s.idle() && !s.released }, func() {
		s.releases++
		s.released = true
		w.book(Remark, s, nil, `released %s sealed counter %d-%d told Control "track circuit failed"`, quote(s.name+" release"), 40+s.releases, 41+s.releases)
	})
	a.then(600, 1800, nil, func() {
		s.released = false
		w.book(Remark, s, nil, `restored %s "track circuit mended"`, quote(s.name+" release"))
	})
	return a
}

// lines are the running lines of the section as the box file has them.
func (w way) lines(in, out string) string {
	if !w.double {
		return "    lines: [{name: Single}]\n"
	}
	return fmt.Sprintf("    lines: [{name: %s, way: in}, {name: %s, way: out}]\n", in, out)
}
