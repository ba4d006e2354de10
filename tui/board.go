package tui

import (
	"fmt"
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/calendar"
	"fairhand/register/measure"
)

// linePanel is the line at a glance: the diagram, the state of every line of
// every section in words, and what is out of the ordinary, above so many rows expected next.
func linePanel(m *model, p *page, next int) {
	rows := 5
	if p.h > 34 {
		rows = 12
	} else if p.h > 26 {
		rows = 6
	}
	most := 0
	if m.mode == modeDesk { // nothing is typed, which takes rows too
		most = mostNotices
	}
	lines, out := stateRows(m, p, most)
	state := slices.Concat(lines, out)
	below := leastBelow + min(next, leastNext)
	spare := p.left() - len(state) - below
	if spare < leastDiagram && spare+leastRegister > leastDiagram && m.drawnIn() <= leastDiagram {
		spare = leastDiagram // all of the line is in it: older entries make room, and the last stays
	}
	rows = min(rows, spare) // the words of the lines tell the same
	if rows >= leastDiagram {
		p.put(diagram(m, p.t, p.w, rows)...)
	} else {
		state = slices.Concat(lines, hereRows(m, p.w), out)
	}
	p.put(state...)
}

// hereRows are the trains at the station with their places, where no diagram shows them.
func hereRows(m *model, w int) []row {
	var here []string
	for _, s := range standings(m) {
		if s.who != "" {
			here = append(here, strings.TrimSuffix(s.who+" at "+s.where, " at "))
		}
	}
	if here == nil {
		return nil
	}
	return line(strong, " Here  ").add(strong, strings.Join(here, ", ")).wrapped(w, 4)
}

// leastBelow is how many rows are kept for what stands below the lines: two headings
// and three entries written, beside the first entries expected next, of which leastNext
// rows come before any drawing. leastDiagram is the lowest diagram worth drawing.
const leastBelow, leastNext, leastDiagram = 5, 4, 3

// mostNotices is how many rows of notices older entries make room for.
const mostNotices = 5

// stateRows are the state of every line in words, and what is out of the ordinary in at most
// so many rows, three of them in any case.
func stateRows(m *model, p *page, most int) (out, notices []row) {
	out = []row{ruled(p.t, "", p.w)}
	for i, l := range m.box.Lines() {
		r := sectionRow(m, p.t, l, p.w)
		if p.w >= wideDesk && i < len(m.ahead.Hand) {
			hand := shortHand(m, &m.ahead.Hand[i])
			if from := max(r.width()+2, p.w-36); hand != nil && from+hand.width() <= p.w {
				r = append(r.fit(from, p.t.more), hand...)
			}
		}
		out = append(out, r.wrapped(p.w, 4)...)
	}
	out = append(out, crossingRows(m, p.w)...)
	limit := 3
	if p.h > 34 {
		limit = 5
	}
	spare := p.left() - len(out) - leastBelow - leastNext - leastDiagram // older entries make room
	return out, noticeRows(m, p.t, p.w, max(limit, min(most, spare)))
}

// crossingRows are the level crossings at which something stands, one a row.
func crossingRows(m *model, w int) (out []row) {
	nameW, lineW := columns(m)
	for i := range m.box.Crossings {
		words, grave, at := block.CrossingSays(m.box, m.state, i, m.now)
		if words == "" {
			continue
		}
		k := strong
		if grave {
			k = peril
		}
		r := line(strong, " "+pad(m.box.Crossings[i].Name, max(nameW+lineW+1, min(20, measure.Width(m.box.Crossings[i].Name))))+" ").add(k, words)
		if at > 0 {
			r = r.add(plain, ", since "+calendar.Clock(at, m.zone, calendar.RoundDown)+m.dayOf(at)) // never ahead of the clock
		}
		out = append(out, r.wrapped(w, 4)...)
	}
	return out
}

// noticeRows flows the notices over at most so many rows. Where they do not fit, the
// reasons go, of the least grave first, before anything is hidden; those of a danger only
// for another danger, and the gravest keeps its own.
func noticeRows(m *model, t *theme, w, limit int) []row {
	list := notices(m)
	out, hidden := flow(list, w, limit)
	if hidden == 0 {
		return out
	}
	w -= noticesMore // with room to say how many are not shown
	out, hidden = flow(list, w, limit)
	for i := len(list) - 1; i > 0 && hidden > 0; i-- {
		if list[i].reason != "" && (list[i].role != peril || list[len(list)-hidden].role == peril) {
			list[i].reason = ""
			out, hidden = flow(list, w, limit)
		}
	}
	if hidden == 0 {
		return out
	}
	last := &out[len(out)-1]
	*last = last.add(care, fmt.Sprintf(" %s+%d (s)", t.more, hidden))
	return out
}

// noticesMore is the room in which it is said how many notices are not shown.
const noticesMore = 9

// flow puts notices beside and below each other, one too long for a row in as many
// as it takes; hidden is how many do not fit.
func flow(list []notice, w, limit int) (out []row, hidden int) {
	now := row{}
	for i, n := range list {
		piece := txt(n.role, " "+n.text+n.reason+" ")
		if len(now) > 0 && now.width()+1+(row{piece}).width() > w {
			out, now = append(out, now), row{}
		}
		now = append(now, txt(plain, " "), piece)
		lines := now.wrapped(w, 4)
		if len(out)+len(lines) > limit {
			if keep := now[:len(now)-2]; len(keep) > 0 {
				return append(out, keep), len(list) - i
			}
			if len(out) == 0 {
				return lines[:limit], len(list) // not even the first: as much of it as there is room for
			}
			return out, len(list) - i
		}
		if len(lines) > 1 {
			out, now = append(out, lines[:len(lines)-1]...), lines[len(lines)-1]
		}
	}
	if len(now) > 0 {
		out = append(out, now)
	}
	return out, 0
}

// sectionRow is the state of one line of a section in words. Where the window is
// narrow it says more shortly since when and what authorises trains, and then leaves out
// since when: nothing that bears on safety is cut.
func sectionRow(m *model, t *theme, l block.BoxLine, w int) row {
	r := sectionIn(m, t, l, roomy)
	for room := tight; room <= briefest && r.width() > w; room++ {
		r = sectionIn(m, t, l, room)
	}
	return r
}

// How closely a section row is written.
const (
	roomy    = iota
	tight    // no column of states
	closer   // since when, and what authorises trains, in fewer words
	briefest // and not since when
)

func sectionIn(m *model, t *theme, l block.BoxLine, room int) row {
	s := &m.box.Sections[l.Section]
	ls := m.state.Lines[l.Index]
	nameW, lineW := columns(m)
	r := line(strong, " "+padMarked(s.Neighbour, nameW, t.more)+" ").add(plain, padMarked(l.Line.Name, lineW, t.more)+" ")
	word, k := ls.Phase.String(), dim
	barred := m.barred(l)
	switch {
	case ls.Phase == block.Normal && barred != "":
		word, k, barred = barred, peril, ""
	case ls.Phase == block.Normal && m.unwatched():
		word, k = "NOT WATCHED", care // trains may run, and nobody here is told
	case ls.Phase != block.Normal:
		word, k = strings.ToUpper(word), strong
	}
	switch ls.Phase {
	case block.Obstructed, block.BlockedInside, block.BlockedOutside:
		k = peril
	}
	gap := max(1, stateWidth(m)-len(word))
	if outwardClear(m, l.Index) != nil || room > roomy && ls.Phase != block.Normal {
		gap = 1 // read in one breath: LINE CLEAR for 2A12
	}
	r = r.add(k, word).add(plain, strings.Repeat(" ", gap))
	if what := lineDetail(m, l.Index, room); what != "" {
		r = r.add(strong, what).add(plain, "  ")
	}
	if barred != "" {
		r = r.add(peril, barred).add(plain, "  ")
	}
	if l.Index == firstLine(m, l.Section) {
		r = append(r, authority(m, l.Section, room >= closer)...)
	}
	return r.trimmed()
}

// barred says in capitals why a line is not what its phase makes it: blocked or
// obstructed by what the book tells, or in doubt.
func (m *model) barred(l block.BoxLine) string {
	return strings.ToUpper(strings.Join(block.Barred(m.box, m.state, l), ", "))
}

// nameRoom is how wide the name of a neighbour may make its column: two that begin
// alike must not read the same.
const nameRoom = 24

// columns are the widths of the names of neighbours and lines.
func columns(m *model) (name, ln int) {
	for _, l := range m.box.Lines() {
		name = max(name, min(nameRoom, measure.Width(m.box.Sections[l.Section].Neighbour)))
		ln = max(ln, min(12, measure.Width(l.Line.Name)))
	}
	return name, ln
}

// stateWidth is the width of the column of states: that of the longest now.
func stateWidth(m *model) int {
	w := 18
	for i := range m.state.Lines {
		w = max(w, len(m.state.Lines[i].Phase.String())+2)
	}
	return w
}

func firstLine(m *model, section int) int {
	list := m.box.Lines()
	return list[slices.IndexFunc(list, func(l block.BoxLine) bool { return l.Section == section })].Index
}

// lineDetail says which trains a line's state is about, and since when if there is room.
// Line clear that was got is told from line clear that was given, and no length of time
// reads as one still to come.
func lineDetail(m *model, index, room int) string {
	ls := m.state.Lines[index]
	since := func(what, words string) string {
		switch {
		case room == briefest || words == "":
			return what
		case room == closer:
			return strings.TrimSuffix(strings.TrimSpace(what+" "+words), " in")
		}
		return strings.TrimPrefix(what+", "+words, ", ")
	}
	if t := outwardClear(m, index); t != nil {
		return since("for "+t.Label(m.box), "got "+ago(m.now-ls.Since)+agoWord(m.now-ls.Since))
	}
	what := strings.Join(block.TrainsOf(m.box, m.state, index), ", ")
	if ls.Phase == block.Normal || ls.Since == 0 {
		return what
	}
	return since(what, sinceWords(ls, m.now-ls.Since))
}

// sinceWords says how long a line has been in its phase.
func sinceWords(ls *block.LineState, gone block.Time) string {
	switch {
	case ls.Phase == block.Offered:
		return "offered " + ago(gone) + agoWord(gone)
	case ls.Phase == block.InSection && gone >= block.Minute:
		return ago(gone) + " in"
	case (ls.Phase == block.Accepted || ls.Phase == block.RestrictedLC) && ls.Dir == block.Inward:
		return "given " + ago(gone) + agoWord(gone)
	case gone < block.Minute:
		return ago(gone)
	}
	return "for " + ago(gone)
}

// outwardClear is the train a line is clear for towards the neighbour and that
// has not entered it yet; nil for none. That it may go is said as what was given
// and when: "2A12 to go, now" would read like an order.
func outwardClear(m *model, index int) *block.Train {
	ls := m.state.Lines[index]
	if ls.Phase != block.Accepted && ls.Phase != block.RestrictedLC || ls.Dir != block.Outward || ls.Since == 0 || len(m.state.On(index)) > 0 {
		return nil
	}
	if t := m.state.Train(ls.Train); t != nil && (t.In.Line == index || t.Out.Line == index) {
		return t
	}
	return nil
}

// authority says where the tokens or the staff of a section are.
func authority(m *model, section int, brief bool) row {
	s := &m.box.Sections[section]
	if n := len(s.Tokens.Charge); n > 0 {
		ts := &m.state.Tokens[section]
		r := row{}
		if ts.Out != 0 {
			r = r.add(strong, fmt.Sprintf("TOKEN %d OUT ", ts.Out))
		} else if m.state.Unnumbered(m.box, section) != nil {
			r = r.add(strong, "TOKEN ? OUT ") // the far box need not tell which it drew
		} else {
			r = r.add(plain, "no token out ")
		}
		here := ts.Count(block.TokenHere)
		k := plain
		word := fmt.Sprintf(" %d here", here)
		if here <= s.Tokens.LowStock && s.Tokens.LowStock > 0 {
			k, word = care, word+" LOW"
		}
		r = r.add(k, word)
		for _, x := range m.state.Staffs[section].Tickets {
			r = r.add(strong, fmt.Sprintf(", ticket %d out", x.Number))
		}
		return r
	}
	if s.Method.Is().Carries != rulebook.CarriesStaff {
		return nil
	}
	ss := &m.state.Staffs[section]
	where, issued := ss.Where.String(), " issued"
	if brief {
		where, issued = briefly(where), ""
	}
	r := line(strong, "staff "+where)
	if t := m.state.Train(ss.Train); t != nil {
		r = r.add(strong, " "+t.Label(m.box))
	}
	for _, x := range ss.Tickets {
		r = r.add(plain, fmt.Sprintf(", ticket %d%s", x.Number, issued))
	}
	return r
}

// briefly is where a staff is, in few words.
func briefly(where string) string {
	return strings.NewReplacer("with the train", "with", "at the other end", "away").Replace(where)
}
