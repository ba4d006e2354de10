package tui

import (
	"fmt"
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register"
	"fairhand/register/each"
	"fairhand/register/measure"
)

// nextRows are the entries expected next in w cells, each with its key, what will be
// asked first, and where there is room what it writes: the whole line, or the
// signals alone. What is asked is shown again before it is written; key s shows all.
func nextRows(m *model, w int) [][]row {
	if len(m.listed) == 0 {
		return [][]row{{line(dim, "  Nothing. Any entry: e. Any bell: b.")}}
	}
	var out [][]row
	for i := range m.listed {
		x := &m.listed[i]
		k, key, number := plain, txt(plain, "     "), txt(dim, ".") // a row of its own, though no number is to be had for it yet
		if i == 0 && m.soon() {
			k, key = strong, txt(keycap, "Enter")
		}
		if x.number > 0 {
			number = txt(keycap, itoa(x.number))
		}
		label := wrap(x.Label, w-nextIndent)
		r := row{txt(plain, " "), key, txt(plain, " "), number, txt(plain, " "), txt(k, label[0])}
		var item []row
		for _, l := range label[1:] {
			item, r = append(item, r), line(k, strings.Repeat(" ", nextIndent)+l)
		}
		if asks := x.wants(); asks != "" {
			if r.width()+2+measure.Width(asks) > w {
				item, r = append(item, r), line(plain, strings.Repeat(" ", nextIndent-2))
			}
			r = r.add(dim, "  "+asks)
		}
		out = append(out, append(item, r.withBody(x, w)))
	}
	return out
}

// nextIndent is where the words of an entry expected next begin.
const nextIndent = 9

// bodyColumn is where what an expected entry writes stands, if it has room there.
const bodyColumn = 48

// withBody is the row with what its entry writes, as far as that is to be had whole.
func (r row) withBody(x *listed, w int) row {
	for _, body := range []string{x.body, bellsText(x.Event.Bells)} {
		if x.ways != nil {
			break // which it is, is asked
		}
		for _, from := range []int{bodyColumn, r.width()} {
			if gap := from - r.width(); body != "" && gap >= 0 && from+2+measure.Width(body) <= w {
				return r.add(dim, strings.Repeat(" ", gap+2)+body)
			}
		}
	}
	return r
}

// wants says what will be asked before the entry is written.
func wants(x *block.Expectation) string {
	return strings.Join(block.WordsOf(block.So(x.Clears != "", "sure?"), block.So(x.Event.Kind == block.DutyOn, "who?"), block.So(x.AskTrain, "name?"),
		block.So(x.AskPN, "private number?"), block.So(x.AskCall, "what? minutes?"), block.So(x.AskNumber, "number?"), block.So(x.AskProof, "tail lamp?")), " ")
}

// sideFindings is how many findings stand on the wide desk; the rest is a key away.
const sideFindings = 4

// sideList is the right side of a wide desk.
func sideList(m *model, p *page) [][]row {
	w := p.w - nextWidth(p) - 1
	side := sideRows(m, p.t, w)
	if p.h > 30 {
		for _, r := range expectedRows(m, 6) {
			side = append(side, r.wrapped(w, 13))
		}
	}
	return side
}

// sideRows are what falls due and what waits for a remark, on a wide screen.
func sideRows(m *model, t *theme, w int) [][]row {
	out := each.Of(m.due, func(d block.DueItem) []row { return dueRow(m, d).wrapped(w, 11) })
	list := m.unexplained()
	for _, f := range list[:min(len(list), sideFindings)] {
		out = append(out, findingRow(m, f).wrapped(w, 3))
	}
	if n := len(list) - sideFindings; n > 0 {
		out = append(out, []row{line(dim, fmt.Sprintf("%s and %d more to explain (f)", t.more, n))})
	}
	if len(out) == 0 {
		return [][]row{{line(dim, "Nothing due, nothing to explain.")}}
	}
	return out
}

func dueRow(m *model, d block.DueItem) row {
	k, when := plain, "by "+m.clock(d.Pending.Due)
	if d.Pending.Due < m.now {
		k, when = care, "LATE "+m.clock(d.Pending.Due)+m.dayOf(d.Pending.Due)
	}
	return line(k, pad(when, 10)+" ").add(plain, dueWords(d))
}

func findingRow(m *model, f open) row {
	return row{txt(severityRoles[f.Severity], severitySigns[f.Severity]+" ")}.
		add(dim, fmt.Sprintf("%d %s ", f.entry, m.noted(f.At))).add(plain, f.Text)
}

// registerTitle heads the register, with what is scrolled and waits for a remark; eve: it
// begins with the day before the latest.
func registerTitle(m *model, eve bool) string {
	s := " REGISTER, TODAY "
	if day := m.latestDay(); day != 0 && day != m.today() {
		s = " REGISTER OF " + day.String() + ", NOTHING YET TODAY "
	}
	if eve {
		s = " REGISTER OF " + m.eve[0].Day.String() + " "
	}
	if m.top > 0 {
		s += fmt.Sprintf("(%d newer below) ", m.top)
	}
	var n [3]int
	for _, f := range m.unexplained() {
		n[f.Severity]++
	}
	if total := n[0] + n[1] + n[2]; total > 0 {
		s += fmt.Sprintf(" %d TO EXPLAIN", total)
		if n[rulebook.Danger] > 0 {
			s += fmt.Sprintf(" (%d DANGER)", n[rulebook.Danger])
		}
		s += " "
	}
	return s
}

// todayRows is the end of the register as the desk shows it: of today, and above it, while
// there is room and scrolled back, of the day before, with a rule where the day begins; eve
// says whether it begins with that.
func todayRows(m *model, t *theme, n, w int) (out []row, eve bool) {
	if len(m.day)+len(m.eve) == 0 {
		return []row{line(dim, "  No entry today yet.")}, false
	}
	begins := " " + m.latestDay().String() + " "
	if m.latestDay() == m.today() {
		begins = " TODAY," + begins
	}
	for i := len(m.eve) + len(m.day) - m.top - 1; i >= 0 && len(out) < n; i-- {
		if eve = i < len(m.eve); eve {
			out = append(out, entryRow(&m.eve[i], t, w))
			continue
		}
		out = append(out, entryRow(&m.day[i-len(m.eve)], t, w))
		if i == len(m.eve) && i > 0 && len(out)+1 < n {
			out = append(out, ruled(t, begins, w))
		}
	}
	slices.Reverse(out)
	return out, eve
}

// registerRows shows the entries up to the one of index last, n rows of
// them, newest at the bottom; the one of index pick is marked.
func registerRows(t *theme, entries []*register.Entry, n, w, last, pick int) []row {
	last = min(last, len(entries)-1)
	first := max(0, last-n+1)
	var out []row
	for i := first; i <= last; i++ {
		r := entryRow(entries[i], t, w-1)
		if i == pick {
			r = r.marked(w, t)
		}
		out = append(out, r)
	}
	return out
}

// entryRow is one entry: sign of its gravest finding, number, the line as
// written; a corrected one is struck through and marked.
func entryRow(e *register.Entry, t *theme, w int) row {
	sign, k := "  ", plain
	f := gravest(e.Findings)
	if f != nil {
		sign, k = severitySigns[f.Severity], severityRoles[f.Severity]
	}
	r := line(k, sign).add(dim, fmt.Sprintf("%5d ", e.Seq))
	if e.CorrectedBy > 0 {
		return r.add(struck, entryText(e)).ending(line(care, fmt.Sprintf("  ERROR, see %d", e.CorrectedBy)), t, w)
	}
	r = r.add(plain, entryText(e))
	if f == nil {
		return r
	}
	end := line(k, "  "+string(f.Rule))
	if len(e.Findings) > 1 {
		end = end.add(dim, fmt.Sprintf(" +%d", len(e.Findings)-1))
	}
	if len(e.Explained) > 0 {
		end = end.add(dim, fmt.Sprintf(", explained in %d", e.Explained[0]))
	}
	return r.ending(end, t, w)
}

// messageLines is how many rows the desk's last word may take.
const messageLines = 5

// messageRows are the desk's last word, in up to three rows, and what will
// change the next entry.
func messageRows(m *model, w int) []row {
	r := row{txt(plain, " ")}
	if m.shift < 0 {
		r = r.add(care, fmt.Sprintf("NEXT ENTRY AT %s, %d min ago, marked late", m.clock(m.then(m.now)), (m.now-m.then(m.now))/block.Minute)).add(plain, "  ")
	}
	if m.alter {
		r = r.add(care, "ALTER: pick the entry").add(plain, "  ")
	}
	if m.mode == modeQuit {
		return []row{line(care, " Leave the desk? y leaves, n stays.")}
	}
	lines := wrap(m.msg.text, w-2)
	k := gradeRoles[m.msg.grade]
	switch {
	case len(lines) == 0:
		return []row{r}
	case len(lines) == 1 && r.width()+measure.Width(lines[0]) <= w:
		return []row{r.add(k, lines[0])}
	}
	var out []row
	if len(r) > 1 {
		out = append(out, r)
	}
	for _, l := range lines[:min(messageLines, len(lines))] {
		out = append(out, row{txt(plain, " "), txt(k, l)})
	}
	if len(lines) > messageLines {
		out[len(out)-1] = row{txt(plain, " "), txt(k, pad(lines[messageLines-1], w-9)+" (r, f)")}
	}
	return out
}

// footer shows the keys of the mode, in one row or two.
func footer(m *model, w int) []row {
	var out []row
	r := row{}
	for _, h := range hints(m.mode) {
		if h.fits != nil && !h.fits(m) {
			continue
		}
		label := h.label
		switch {
		case h.do == doFit && m.meant != "":
			label = "take the name meant"
		case h.do == doFit && m.adds != "":
			label = "add it to the box"
		}
		next := append(r[:len(r):len(r)], txt(plain, " "), txt(keycap, h.keyWords()), txt(plain, " "+label+" "))
		if h.do == doEarlier {
			next = append(r[:len(r):len(r)], txt(plain, " "), txt(keycap, "-"), txt(plain, "/"), txt(keycap, "+"), txt(plain, " min "))
		}
		if next.width() > w {
			out = append(out, r)
			next = next[len(r):]
		}
		r = next
	}
	return append(out, r)
}
