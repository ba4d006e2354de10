package tui

import (
	"fmt"
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register"
)

// nextRows are the entries expected next, each with its key and with the line
// it would write.
func nextRows(m *model, t *theme) []row {
	if len(m.listed) == 0 {
		return []row{line(dim, "  Nothing. Any entry: e. Any bell: b.")}
	}
	var out []row
	for i, x := range m.listed {
		r := line(plain, "       ")
		first := i == 0 && m.soon()
		if first {
			r = row{txt(plain, " "), txt(keycap, "Enter"), txt(plain, " ")}
		}
		if x.number > 0 {
			r = r.add(keycap, itoa(x.number)).add(plain, " ")
		} else {
			r = r.add(plain, "  ")
		}
		k := plain
		if first {
			k = strong
		}
		r = r.add(k, x.Label)
		if w := wants(&x.Expectation); w != "" {
			r = r.add(dim, "  "+w)
		}
		for r.width() < 48 {
			r = r.add(plain, " ")
		}
		out = append(out, r.add(dim, "  "+x.body))
	}
	return out
}

// wants says what will be asked before the entry is written.
func wants(x *block.Expectation) string {
	var list []string
	if x.Clears != "" {
		list = append(list, "sure?")
	}
	if x.Event.Kind == block.DutyOn {
		list = append(list, "who?")
	}
	if x.AskTrain {
		list = append(list, "name?")
	}
	if x.AskPN {
		list = append(list, "private number?")
	}
	if x.AskCall {
		list = append(list, "what? minutes?")
	}
	if x.AskNumber {
		list = append(list, "number?")
	}
	if x.AskProof {
		list = append(list, "tail lamp?")
	}
	return strings.Join(list, " ")
}

// sideFindings is how many findings stand on the wide desk; the rest is a key away.
const sideFindings = 4

// sideList is the right side of a wide desk.
func sideList(m *model, p *page) []row {
	side := sideRows(m, p.t)
	if p.h > 30 {
		side = append(side, expectedRows(m, 6)...)
	}
	return side
}

// sideRows are what falls due and what waits for a remark, on a wide screen.
func sideRows(m *model, t *theme) []row {
	var out []row
	for _, d := range m.due {
		out = append(out, dueRow(m, d))
	}
	list := m.unexplained()
	for _, f := range list[:min(len(list), sideFindings)] {
		out = append(out, findingRow(m, f))
	}
	if n := len(list) - sideFindings; n > 0 {
		out = append(out, line(dim, fmt.Sprintf("%s and %d more to explain (f)", t.more, n)))
	}
	if len(out) == 0 {
		return []row{line(dim, "Nothing due, nothing to explain.")}
	}
	return out
}

func dueRow(m *model, d block.DueItem) row {
	k, when := plain, "by "+m.clock(d.Pending.Due)
	if d.Pending.Due < m.now {
		k, when = care, "LATE "+m.clock(d.Pending.Due)
	}
	return line(k, pad(when, 10)+" ").add(plain, dueWords(d))
}

func findingRow(m *model, f open) row {
	return row{txt(severityRoles[f.Severity], severitySigns[f.Severity]+" ")}.
		add(dim, fmt.Sprintf("%d %s ", f.entry, m.clock(f.At))).add(plain, f.Text)
}

// registerTitle heads the register, with what is scrolled and waits for a remark.
func registerTitle(m *model) string {
	s := " REGISTER, TODAY "
	if day := m.latestDay(); day != 0 && day != m.today() {
		s = " REGISTER OF " + day.String() + ", NOTHING YET TODAY "
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

// todayRows is the end of today's register, as the desk shows it.
func todayRows(m *model, t *theme, n, w int) []row {
	if len(m.day) == 0 {
		return []row{line(dim, "  No entry today yet.")}
	}
	var all []*register.Entry
	for i := max(0, len(m.day)-m.top-n); i < len(m.day)-m.top; i++ {
		all = append(all, &m.day[i])
	}
	return registerRows(t, all, n, w, len(all)-1, -1)
}

// registerRows shows the entries up to the one of index last, n rows of
// them, newest at the bottom; the one of index pick is marked.
func registerRows(t *theme, entries []*register.Entry, n, w, last, pick int) []row {
	last = min(last, len(entries)-1)
	first := max(0, last-n+1)
	var out []row
	for i := first; i <= last; i++ {
		r := entryRow(entries[i])
		if i == pick {
			r = r.marked(w, t)
		}
		out = append(out, r)
	}
	return out
}

// entryRow is one entry: sign of its gravest finding, number, the line as
// written; a corrected one is struck through and marked.
func entryRow(e *register.Entry) row {
	sign, k := "  ", plain
	f := gravest(e.Findings)
	if f != nil {
		sign, k = severitySigns[f.Severity], severityRoles[f.Severity]
	}
	r := line(k, sign).add(dim, fmt.Sprintf("%5d ", e.Seq))
	if e.CorrectedBy > 0 {
		return r.add(struck, entryText(e)).add(care, fmt.Sprintf("  ERROR, see %d", e.CorrectedBy))
	}
	r = r.add(plain, entryText(e))
	if f != nil {
		r = r.add(k, "  "+string(f.Rule))
		if len(e.Findings) > 1 {
			r = r.add(dim, fmt.Sprintf(" +%d", len(e.Findings)-1))
		}
		if len(e.Explained) > 0 {
			r = r.add(dim, fmt.Sprintf(", explained in %d", e.Explained[0]))
		}
	}
	return r
}

// messageRows are the desk's last word, in up to three rows, and what will
// change the next entry.
func messageRows(m *model, w int) []row {
	r := row{txt(plain, " ")}
	if m.shift < 0 {
		r = r.add(care, fmt.Sprintf("NEXT ENTRY AT %s, %d min ago, marked late", m.clock(m.now+block.Time(m.shift)*block.Minute), -m.shift)).add(plain, "  ")
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
	case len(lines) == 1 && r.width()+len(lines[0]) <= w || m.msg.grade < warn:
		return []row{r.add(k, m.msg.text)}
	}
	var out []row
	if len(r) > 1 {
		out = append(out, r)
	}
	for _, l := range lines[:min(3, len(lines))] {
		out = append(out, row{txt(plain, " "), txt(k, l)})
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
		next := append(r[:len(r):len(r)], txt(plain, " "), txt(keycap, h.keyWords()), txt(plain, " "+h.label+" "))
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
