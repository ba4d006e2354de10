package legalday

import (
	"fmt"
	"strings"
)

// ring writes an exchange of bells. The one who begins is the neighbour when
// received; each signal after the first comes from the other end. The first pair
// is call attention where called says so (Feather, Signal box bell codes: all
// signals but the exempt ones).
func (w *world) ring(k Kind, s *section, t *train, received, called bool, tail string, signals ...string) {
	all := signals
	if called {
		all = append([]string{"1", "1"}, signals...)
	}
	switch w.o.Habit {
	case Exchange:
		w.bell(k, s, t, arrows(received, all), tail)
	case EachBell:
		for i, a := range arrows(received, all) {
			kind, end := k, ""
			if called && i < 2 {
				kind = Attention
			}
			if i == len(all)-1 {
				end = tail
			}
			w.bell(kind, s, t, []string{a}, end)
		}
	case Signals:
		if len(signals) < 2 {
			return // what nobody answered is not written there
		}
		said := arrows(received, signals)
		w.bell(k, s, t, said[:1], tail)
		if signals[1] != signals[0] {
			w.bell(k, s, t, said[1:2], "")
		}
	}
}

// arrows puts the direction before each signal.
func arrows(received bool, signals []string) []string {
	out := make([]string, len(signals))
	for i, c := range signals {
		out[i] = ">" + c
		if received == (i%2 == 0) {
			out[i] = "<" + c
		}
	}
	return out
}

func (w *world) bell(k Kind, s *section, t *train, beats []string, tail string) {
	act := Act{Kind: k, Section: s.name, At: w.now, Body: s.name + " " + strings.Join(beats, " "), Tail: tail}
	if t != nil {
		act.Train = t.name
		if k != Attention && w.named(k) {
			act.Name = t.name
		}
	}
	w.acts = append(w.acts, act)
}

// answered is a signal and its repetition.
func (w *world) answered(k Kind, s *section, t *train, received, called bool, code string) {
	w.ring(k, s, t, received, called, "", code, code)
}

// consent is what goes with a line clear: in India a private number, no two
// running alike (Block Working Manual Part A 3.9(d), 3.22).
func (w *world) consent() string {
	if !w.c.private {
		return ""
	}
	w.pn = (w.pn + 13) % 89 // in turn through the sheet of numbers
	return fmt.Sprintf(" pn %d", 10+w.pn)
}
