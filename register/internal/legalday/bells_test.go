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
	if s.words {
		w.says(k, s, t, received, tail, signals)
		return
	}
	if s.told && (k == EnterIn || k == EnterOut || k == ClearIn || k == ClearOut || k == LampBell) {
		return // nothing of the kind is told there
	}
	w.rings++
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
	act := Act{Kind: k, Section: s.name, At: w.now, Body: s.name + " " + strings.Join(beats, " "), Tail: tail, ring: w.rings}
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

// crossed lets the bells of two neighbours ring through each other, where each
// bell has a line of its own and both exchanges are of one minute: the register
// has them as they came.
func crossed(acts []Act) []Act {
	for i := 0; i < len(acts); {
		j := exchangeEnd(acts, i)
		k := exchangeEnd(acts, j)
		if k-j > 1 && j-i > 1 && acts[i].Section != acts[j].Section && clock(acts[i].At) == clock(acts[j].At) {
			var mixed []Act
			for a, b := acts[i:j], acts[j:k]; len(a)+len(b) > 0; a, b = b, a {
				if len(a) > 0 {
					mixed, a = append(mixed, a[0]), a[1:]
				}
			}
			copy(acts[i:k], mixed)
			j = k
		}
		i = max(j, i+1)
	}
	return acts
}

// exchangeEnd is where the exchange that begins at i ends; i for no exchange.
func exchangeEnd(acts []Act, i int) int {
	j := i
	for j < len(acts) && acts[j].ring != 0 && acts[j].ring == acts[i].ring {
		j++
	}
	return j
}
