package tui

import (
	"cmp"
	"fmt"
	"strconv"
	"strings"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/each"
	"fairhand/register/measure"
	"fairhand/register/notation"
)

// bookPage is the register of the day over the whole screen, with what was
// found about the selected entry.
func bookPage(m *model, p *page) {
	p.put(ruled(p.t, dayTitle(m), p.w))
	entries := m.entries()
	this := []row{line(dim, " No entry.")}
	if m.pick < len(entries) {
		this = entryWhole(m, entries[m.pick], p.w)
	}
	room := p.left() - max(7, min(1+len(this), p.left()-leastRegister))
	last := max(m.pick+room/2, room-1)
	rows := registerRows(p.t, entries, room, p.w, last, m.pick)
	p.put(rows...)
	for range room - len(rows) {
		p.put(row{})
	}
	p.put(ruled(p.t, " THIS ENTRY ", p.w))
	p.put(this...)
}

// entryWhole is the entry chosen in the register with nothing cut: its words where the row
// above has not got them all, who wrote it, how it stands, and the gravest of what was found.
func entryWhole(m *model, e *register.Entry, w int) (out []row) {
	put := func(r row) { out = append(out, r.wrapped(w, 2)...) }
	if m.mode == modeBook && e.CorrectedBy == 0 && measure.Width(entryText(e)) > w-12 {
		put(line(plain, " "+entryText(e)))
	}
	put(row{txt(dim, fmt.Sprintf(" Written by %s at %s", orNobody(e.Writer), m.clock(block.Time(e.Recorded))))})
	if e.CorrectedBy > 0 {
		put(row{txt(struck, " "+e.Line), txt(care, "  ERROR")})
		put(row{txt(dim, " stands as  "), txt(strong, notation.Format(e.Event, m.zone))})
	}
	if f := gravest(e.Findings); f != nil {
		put(row{txt(severityRoles[f.Severity], " "+severityWord(f.Severity)+" "), txt(strong, " "+f.Text)})
		put(line(plain, " expected: "+f.Expected))
	} else if e.CorrectedBy == 0 {
		put(line(dim, " Nothing was found about it."))
	}
	return out
}

// entryText is an entry as it is read: its line, and of a correction the text
// without the signs of quotes within quotes, as it was written: a later one may have
// put another in its place.
func entryText(e *register.Entry) string {
	head, text, _ := strings.Cut(e.Line, ` "`)
	switch e.Event.Kind {
	case block.Described: // what is otherwise, before by what it is proved
		return strings.Replace(head, " "+e.Event.Subject, "", 1) + ": " + e.Event.Text + ", " + e.Event.Subject
	case block.Correct:
		if wrote, err := strconv.Unquote(`"` + text); err == nil {
			return head + ": " + wrote
		}
		return head + ": " + e.Event.Text
	}
	return e.Line
}

func orNobody(name string) string { return cmp.Or(name, "nobody on duty") }

// dayTitle says which day is shown, and which of its entries.
func dayTitle(m *model) string {
	s := registerTitle(m, false)
	if m.shown != nil {
		s = " REGISTER OF " + m.shown.Date.String() + " "
	}
	if m.found {
		s += " only with findings "
	}
	if m.only > 0 {
		s += " only " + m.box.Sections[m.only-1].Neighbour + " "
	}
	if m.glance {
		s += " findings are being read "
	}
	if m.find != "" {
		s += fmt.Sprintf(" only with %q ", m.find)
	}
	return s
}

// findingsPage lists what waits for a remark, with the selected one in full.
func findingsPage(m *model, p *page) {
	list := m.unexplained()
	p.put(ruled(p.t, fmt.Sprintf(" FINDINGS TO EXPLAIN: %d ", len(list)), p.w))
	if len(list) == 0 {
		p.put(line(plain, " None. Every finding of today has its remark."))
		return
	}
	pick := min(m.pick, len(list)-1)
	items := each.Of(list, func(f open) []row { return findingRow(m, f).wrapped(p.w-2, 3) })
	p.list(items, pick, max(3, p.left()/3))
	p.put(ruled(p.t, " THIS FINDING: "+strings.ToUpper(severityWord(list[pick].Severity))+" ", p.w))
	if e := m.entry(list[pick].entry); e != nil {
		p.put(row{txt(dim, " Entry      "), txt(plain, entryText(e))}.wrapped(p.w, 12)...)
	}
	reason(m, p, &list[pick].Finding, 0)
}

// duePage lists what falls due, and below it every train in a section: one that falls due
// later, or that nothing gives a time for, is looked for here too.
func duePage(m *model, p *page) {
	under := underwayRows(m, p.w)
	p.put(ruled(p.t, " DUE IN THE NEXT QUARTER OF AN HOUR ", p.w))
	if len(m.due) == 0 {
		p.put(line(plain, " Nothing."))
	}
	items := each.Of(m.due, func(d block.DueItem) []row { return dueRow(m, d).wrapped(p.w-2, 11) })
	p.list(items, m.pick, max(1, p.left()-min(len(under), p.left()/2)))
	p.put(under...)
}

// underwayRows are the trains in the sections, each with when it is due out and by what.
func underwayRows(m *model, w int) []row {
	list := block.Underways(m.box, m.state)
	if len(list) == 0 {
		return nil
	}
	out := []row{line(head, " TRAINS IN SECTION")}
	for _, u := range list {
		r := line(plain, " ").add(strong, pad(u.Train, 8)+" ").add(plain, fmt.Sprintf("%s, %s, since %s", u.Section, u.Line, m.noted(u.Since)+m.dayOf(u.Since)))
		switch {
		case u.Due != 0 && u.Due < m.now:
			r = r.add(plain, ", ").add(care, "LATE, was due out by "+m.clock(u.Due)+m.dayOf(u.Due))
		case u.Due != 0:
			r = r.add(plain, ", due out by "+m.clock(u.Due))
		}
		if u.Basis != "" {
			r = r.add(care, "; "+u.Basis)
		}
		out = append(out, r.wrapped(w, 4)...)
	}
	return out
}

// helpText is the help: the keys of the mode it was called from, then everything else, from
// the key table and from the grammar of the book.
func helpText(of mode) []row {
	out := []row{line(head, " KEYS HERE ("+of.String()+")")}
	out = append(out, keyHelp(of)...)
	out = append(out, row{},
		line(head, " WHAT FAIRHAND IS"),
		line(plain, " A register and a reminder. It protects nothing: instruments, tokens, signals"),
		line(plain, " and the railway's own rule book decide. What is marked !! could put trains or"),
		line(plain, " people together, ! is against the book, - is worth knowing. Nothing is ever"),
		line(plain, " refused, and nothing is ever rubbed out. An entry keeps its second; minutes are"),
		line(plain, " rounded as box.yaml says: to the nearest, 10:41:40 stands on a page at 10:42."), row{})
	if of != modeDesk {
		out = append(out, line(head, " KEYS OF THE DESK"))
		out = append(out, keyHelp(modeDesk)...)
		out = append(out, row{})
	}
	out = append(out, line(head, " ENTRIES AS A LINE"))
	for _, l := range strings.Split(notation.HelpText(), "\n") {
		out = append(out, folded(" "+l)...)
	}
	out = append(out, line(head, " "+strings.ToUpper(newForms().Title)))
	for _, f := range newForms().Forms {
		out = append(out, line(plain, "   "+f.Pattern), line(plain, "       "+f.Says), line(plain, "       "+f.Example))
	}
	return out
}

func keyHelp(of mode) []row {
	var out []row
	for i := range keyTable {
		if r := &keyTable[i]; r.modes.has(of) {
			keys := strings.Join(r.keys, " ")
			if r.do == doNth {
				keys = "1 to 9"
			}
			for i, l := range wrap(r.help, helpWidth-18) {
				if i > 0 {
					keys = ""
				}
				out = append(out, row{txt(strong, "   "+pad(keys, 14)+" "), txt(plain, l)})
			}
		}
	}
	return out
}

// helpWidth is the width of help, whatever that of the window.
const helpWidth = minWidth - 1

// folded breaks a line of the reference that is too long, deeper in than it was.
func folded(l string) []row {
	indent := len(l) - len(strings.TrimLeft(l, " "))
	var out []row
	for i, part := range wrap(l, helpWidth-indent-4) {
		if i > 0 && len(out) == 1 {
			indent += 4
		}
		out = append(out, line(plain, strings.Repeat(" ", indent)+part))
	}
	if out == nil {
		return []row{{}}
	}
	if len(l) <= helpWidth {
		return []row{line(plain, l)}
	}
	return out
}
