package tui

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/measure"
)

// binding are the special notices that bind from now to a moment.
func (m *model) binding(to block.Time) []register.Notice {
	return slices.DeleteFunc(slices.Clone(m.notices), func(n register.Notice) bool { return !n.Binds(m.now, to) })
}

// noticesAhead is how far ahead the desk shows the special notices: a week.
const noticesAhead = 7 * 24 * 60 * block.Minute

// noticesPart are the special notices that bind now, or will soon, in full.
func noticesPart(m *model, w int) (out [][]row) {
	for _, n := range m.binding(m.now + noticesAhead) {
		k := strong
		if n.From > m.now {
			k = plain // not yet
		}
		r := row{txt(k, " "+n.Text)}
		if n.Words != "" {
			r = r.add(plain, "  "+n.Words)
		}
		out = append(out, r.wrapped(w, 4))
	}
	return out
}

// trainsPage shows the special notices, and what the timetable leads one to expect: the
// time in hand on each line, then the trains in order of their times here.
func trainsPage(m *model, p *page) {
	if special := noticesPart(m, p.w); len(special) > 0 {
		rows, _ := p.t.inRows(special, min(height(special), p.left()/2), "s")
		p.put(append([]row{ruled(p.t, " SPECIAL NOTICES ", p.w)}, rows...)...)
	}
	if m.unbooked != "" && len(m.ahead.Trains) == 0 {
		p.put(ruled(p.t, " TRAINS EXPECTED, TIME IN HAND ", p.w))
		for _, l := range wrap(sentence(strings.TrimRight(m.unbooked, ".?"))+". With the trains of a day (the key timetable, fairhand help box) neighbours' offers come with their names, once the desk is opened again. "+
			"Meanwhile: d tells every train in section and when it is due, s everything that stands.", p.w-2) {
			p.put(line(plain, " "+l))
		}
		return
	}
	p.put(ruled(p.t, " TIME IN HAND: HOW LONG A LINE CAN BE GIVEN UP ", p.w))
	for i := range m.ahead.Hand {
		h := &m.ahead.Hand[i]
		p.put(handRow(m, h))
		if h.Basis != "" {
			p.put(line(dim, "      by "+h.Basis))
		}
	}
	p.put(ruled(p.t, " TRAINS EXPECTED ", p.w))
	if len(m.ahead.Trains) == 0 {
		p.put(line(plain, " None by the timetable within six hours."))
		return
	}
	p.put(trainColumns(m, p.t, dim, "Train", "Arr", "Dep", "From", "To", "Place").add(dim, "Late"))
	var rows []row
	at := 0
	for i := range m.ahead.Trains {
		r := trainRow(m, p.t, &m.ahead.Trains[i]).wrapped(p.w-2, 11)
		if i == m.pick {
			r[0], at = r[0].marked(p.w, p.t), len(rows)
		}
		rows = append(rows, r...)
	}
	p.window(rows, at-p.left()/2, p.left())
}

// handRow is the time in hand on one line.
func handRow(m *model, h *register.InHand) row {
	var r row
	for _, l := range m.box.Lines() {
		if l.Index == h.Line {
			name, ln := columns(m)
			r = line(strong, " "+pad(m.box.Sections[l.Section].Neighbour, name)+" ").add(plain, pad(l.Line.Name, ln)+" ")
		}
	}
	k, words := handWords(m, h)
	return r.add(k, words)
}

// handWords says how long a line can be given up, and until when.
func handWords(m *model, h *register.InHand) (role, string) {
	from := ""
	if h.Free > m.now {
		from = " from " + m.clock(h.Free)
	}
	switch {
	case h.Free == 0:
		return care, "NOT FREE"
	case h.Train == "":
		return plain, "no train booked within six hours" + from
	case h.Hand() < block.Minute:
		return care, "NONE IN HAND: " + h.Train + " to be offered at " + m.clock(h.Until)
	}
	return plain, fmt.Sprintf("%s%s, till %s: then %s is to be offered", ago(h.Hand()), from, m.clock(h.Until), h.Train)
}

// shortHand is the time in hand in few words, for the desk.
func shortHand(m *model, h *register.InHand) row {
	switch {
	case h.Free == 0 || h.Train == "":
		return nil
	case h.Hand() < block.Minute:
		return line(dim, "0 in hand, "+h.Train)
	}
	return line(dim, fmt.Sprintf("%s in hand, to %s %s", ago(h.Hand()), m.clock(h.Until), h.Train))
}

// trainColumns are the columns of an expected train, or their heads: as wide as the names are.
func trainColumns(m *model, t *theme, k role, train, arrives, departs, from, to, place string) row {
	names, places := len("starts"), len("Place")
	for i := range m.ahead.Trains {
		p := &m.ahead.Trains[i]
		names = max(names, measure.Width(p.From), measure.Width(p.To))
		places = max(places, measure.Width(p.Place))
	}
	names, places = min(names, placeRoom)+2, min(places, placeRoom)+2
	return line(k, "  "+padMarked(train, 8, t.more)+" ").add(plain, fmt.Sprintf("%-5s %-5s ", arrives, departs)+
		padMarked(from, names, t.more)+padMarked(to, names, t.more)+padMarked(place, places, t.more))
}

// placeRoom is how wide a name may make its column among the expected trains.
const placeRoom = 17

// trainRow is one expected train.
func trainRow(m *model, t *theme, p *register.Prospect) row {
	clock := func(at block.Time) string {
		if at == 0 {
			return ""
		}
		return m.clock(at)
	}
	r := trainColumns(m, t, strong, p.Train, clock(p.Arrives), clock(p.Departs), cmp.Or(p.From, "starts"), cmp.Or(p.To, "ends"), p.Place)
	late := p.LateWords()
	if r = r.add(lateRole(p), late); late != "" && p.Where != "" {
		r = r.add(dim, ", ")
	}
	return r.add(dim, p.Where)
}

func lateRole(p *register.Prospect) role {
	if p.Late >= 3*block.Minute {
		return care
	}
	return plain
}

// expectedRows are the next trains of the timetable, for a wide desk.
func expectedRows(m *model, n int) []row {
	var out []row
	for i := range m.ahead.Trains[:min(n, len(m.ahead.Trains))] {
		p := &m.ahead.Trains[i]
		r := line(strong, pad(m.clock(p.Time())+" "+p.Train, 12)+" ").add(plain, p.Route())
		if w := p.LateWords(); w != "" {
			r = r.add(lateRole(p), ", "+w)
		}
		out = append(out, r)
	}
	return out
}
