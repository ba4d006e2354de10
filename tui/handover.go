package tui

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/each"
)

// The turn is handed over on the sheet that the register makes from the state.
// The relief ticks or queries its items; nothing is written until he signs on.
// Then everything is written in one go, in this order: what was taken over and
// queried, his remarks, his duty on, and directly below it the duty off of
// whoever was on duty. With duty on first there is no moment at which nobody is
// on duty, which the rules would find; and what was taken over stands before it,
// so that handover-incomplete speaks of the rest alone.

// mark is what the relief says of an item. It holds for the words he has read:
// when the item changes it has to be ticked again.
type mark struct {
	queried bool
	remark  string
}

// takeover is what a relief has said so far.
type takeover struct {
	marks   map[string]mark // by markKey
	remarks []string
	asked   register.SheetItem // the item a query is being typed about
}

// sheetLine is a row of the sheet: a heading, or an item.
type sheetLine struct {
	title string
	item  register.SheetItem
}

func markKey(i register.SheetItem) string { return i.Name + "\n" + i.Text }

// sheetLines are the items of the sheet with their headings, in its order.
func sheetLines(s *register.Sheet) []sheetLine {
	var out []sheetLine
	for _, p := range s.Parts {
		out = append(out, sheetLine{title: p.Title})
		for _, i := range p.Items {
			out = append(out, sheetLine{item: i})
		}
	}
	return out
}

// counted is how many live items there are, how many were taken over, and how
// many were queried: what is queried is not taken over.
func (m *model) counted() (live, taken, queried int) {
	for _, l := range sheetLines(&m.sheet) {
		if l.item.Name == "" {
			continue
		}
		live++
		switch k, ok := m.taking.marks[markKey(l.item)]; {
		case ok && k.queried:
			queried++
		case ok:
			taken++
		}
	}
	return live, taken, queried
}

// pressHandover is the keys of the handover page.
func (m model) pressHandover(p pressed) (model, cmd) {
	lines := sheetLines(&m.sheet)
	here := sheetLine{}
	if m.pick < len(lines) {
		here = lines[m.pick]
	}
	switch p.do {
	case doTick, doUntick:
		_, marked := m.taking.marks[markKey(here.item)]
		switch {
		case here.item.Name == "" || marked && p.do == doTick:
			return m.nextLive(), cmd{}
		case marked:
			return m.unticked(here.item), cmd{}
		}
		return m.tick(here.item, mark{}).nextLive(), cmd{}
	case doQuery:
		if here.title != "" {
			return m, cmd{}
		}
		m.taking.asked = here.item
		return m.line(forQuery, here.item.Seq, m.taking.marks[markKey(here.item)].remark), cmd{}
	case doWriteIt:
		events := m.told(p.at)
		if len(events) == 0 {
			return m.says("Nothing is ticked. Nothing was written.", warn)
		}
		return m, cmd{do: write, events: events}
	}
	return m.pressList(p)
}

// soleRelief is the one signaller of the box who is not on duty, when somebody is and
// there is no other to choose; "" otherwise.
func (m *model) soleRelief() string {
	off := slices.DeleteFunc(m.signallers(), m.onDuty)
	if len(off) != 1 || len(m.state.OnDuty) == 0 {
		return ""
	}
	return off[0]
}

// unticked takes the mark of an item back.
func (m model) unticked(i register.SheetItem) model {
	m.taking.marks = maps.Clone(m.taking.marks)
	delete(m.taking.marks, markKey(i))
	return m
}

// tick marks an item.
func (m model) tick(i register.SheetItem, k mark) model {
	marks := maps.Clone(m.taking.marks)
	if marks == nil {
		marks = map[string]mark{}
	}
	marks[markKey(i)] = k
	m.taking.marks = marks
	return m
}

// nextLive goes to the next item that is not ticked, below or else from the top.
// When all are ticked it stays.
func (m model) nextLive() model {
	lines := sheetLines(&m.sheet)
	for n := range lines {
		i := (m.pick + 1 + n) % len(lines)
		if l := lines[i].item; l.Name != "" {
			if _, ok := m.taking.marks[markKey(l)]; !ok {
				m.pick = i
				return m
			}
		}
	}
	return m
}

// told are the entries of what was taken over, queried and remarked.
func (m *model) told(at block.Time) []block.Event {
	var out []block.Event
	for _, l := range sheetLines(&m.sheet) {
		k, ok := m.taking.marks[markKey(l.item)]
		if !ok || l.title != "" {
			continue
		}
		e := block.Event{Kind: block.Carried, Subject: l.item.Name, At: at}
		if e.Subject == "" {
			e.Subject = l.item.Text
		} else {
			e.Text = strings.TrimPrefix(l.item.Text, l.item.Name+": ")
		}
		if k.queried {
			e.Kind, e.Text = block.Queried, k.remark
		}
		out = append(out, e)
	}
	for _, r := range m.taking.remarks {
		out = append(out, block.Event{Kind: block.Note, Text: r, At: at})
	}
	return out
}

// handoverPage is the sheet, with a box to tick before each live item.
func handoverPage(m *model, p *page) {
	live, taken, queried := m.counted()
	title := fmt.Sprintf(" HANDOVER: %d OF %d TAKEN OVER ", taken, live)
	if queried > 0 {
		title = fmt.Sprintf(" HANDOVER: %d OF %d TAKEN OVER, %d QUERIED ", taken, live, queried)
	}
	if live == 0 {
		title = " HANDOVER: NOTHING IS LIVE "
	}
	p.put(ruled(p.t, title, p.w))
	foot := handoverFoot(m, p)
	lines := sheetLines(&m.sheet)
	items := each.Of(lines, func(l sheetLine) []row { return sheetRow(m, l).wrapped(p.w-2, 9) })
	p.list(items, m.pick, p.left()-len(foot))
	for p.left() > len(foot) {
		p.put(row{})
	}
	p.put(foot...)
}

// sheetRow is one line of the sheet. The words of a live item stand out, what is
// there for information does not.
func sheetRow(m *model, l sheetLine) row {
	if l.title != "" {
		return line(head, " "+l.title)
	}
	box, k := "     ", plain
	if l.item.Name != "" {
		box, k = " [ ] ", strong
	}
	said := ""
	if mk, ok := m.taking.marks[markKey(l.item)]; ok {
		box, k = " [x] ", plain
		if mk.queried {
			box, k, said = " [?] ", care, "  QUERY: "+mk.remark
		}
	}
	r := line(k, box+l.item.Text).add(care, said)
	if l.item.Seq > 0 {
		r = r.add(dim, fmt.Sprintf("  (%d)", l.item.Seq))
	}
	return r
}

// handoverFoot says what signing on will write.
func handoverFoot(m *model, p *page) []row {
	live, taken, queried := m.counted()
	out := []row{ruled(p.t, "", p.w)}
	for _, r := range m.taking.remarks {
		out = append(out, row{txt(dim, " remark  "), txt(plain, r)})
	}
	off := namesOf(m.state.OnDuty, func(o *block.OnDuty) string { return "duty off " + o.Name })
	r := row{txt(dim, " s writes  ")}
	if n := len(m.told(m.now)); n > 0 {
		r = r.add(strong, entryCount(n)+", ")
	}
	r = r.add(strong, "duty on RELIEF")
	if len(off) > 0 {
		r = r.add(strong, ", "+strings.Join(off, ", "))
	}
	if left := live - taken - queried; left > 0 {
		r = r.add(care, fmt.Sprintf("   %d NOT TAKEN OVER", left))
	}
	return append(out, r)
}

func entryCount(n int) string {
	if n == 1 {
		return "1 entry"
	}
	return itoa(n) + " entries"
}

// enterHandover takes a line typed on the handover page, or who signs on.
func (m model) enterHandover(text string, at block.Time) (model, cmd) {
	switch m.purpose {
	case forQuery:
		if text == "" {
			return m.says("What is asked about it? Nothing is noted yet.", warn)
		}
		m = m.tick(m.taking.asked, mark{true, text})
		m.mode, m.edit = m.from, editor{}
		return m.nextLive(), cmd{}
	case forRemark:
		if text != "" {
			m.taking.remarks = append(slices.Clip(m.taking.remarks), text)
		}
		m.mode, m.edit = m.from, editor{}
		return m, cmd{}
	}
	return m.relieve(cmp.Or(text, m.soleRelief()), at)
}
