package tui

import (
	"fmt"
	"slices"

	"fairhand/register"
)

// maxHits is how many entries a search shows. Whoever gets more asks too widely.
const maxHits = 500

// hunt is a search of all years, and what it has come to.
type hunt struct {
	id   int // of the search the answers belong to; a new one has a new number
	text string
	hits []register.Entry // newest first
	read int64
	of   int64
	on   bool // still going on

	audit bool // it is no search: the hits are what an audit found
}

// hunted is a part of what a search finds.
type hunted struct {
	id   int
	part register.SearchPart
	done bool
	err  error
}

// seek begins a search of all years.
func (m model) seek(text string) (model, cmd) {
	m.hunt = hunt{id: m.hunt.id + 1, text: text, on: true, of: 1}
	m.mode, m.edit, m.pick, m.msg = modeFound, editor{}, 0, message{}
	return m, cmd{do: search, text: text, id: m.hunt.id}
}

// gather takes a part of what a search finds.
func (m model) gather(h hunted) (model, cmd) {
	if h.id != m.hunt.id || !m.hunt.on {
		return m, cmd{}
	}
	if h.part.Of > 0 {
		m.hunt.read, m.hunt.of = h.part.Read, h.part.Of
	}
	m.hunt.hits = append(slices.Clip(m.hunt.hits), h.part.Hits...)
	if h.err != nil {
		m.msg = message{"The search ended: " + h.err.Error(), warn}
	}
	if len(m.hunt.hits) >= maxHits && !h.done {
		m.hunt.hits, m.hunt.on = m.hunt.hits[:maxHits], false
		m.msg = message{fmt.Sprintf("The newest %d are shown. More words find fewer.", maxHits), calm}
		return m, cmd{do: stopSearch}
	}
	m.hunt.on = !h.done
	return m, cmd{}
}

// foundPage lists what a search of all years has found, with its progress.
func foundPage(m *model, p *page) {
	h := &m.hunt
	title := fmt.Sprintf(" ALL YEARS, %q: %d FOUND ", h.text, len(h.hits))
	if h.audit {
		title = fmt.Sprintf(" %d FOUND BY THE AUDIT: %s ", len(h.hits), m.exam.what)
	}
	if h.on {
		title += fmt.Sprintf(" reading, %d%% (%s: stop) ", h.read*100/max(1, h.of), m.key("Esc"))
	} else if h.read < h.of {
		title += fmt.Sprintf(" stopped at %d%% ", h.read*100/max(1, h.of))
	}
	p.put(ruled(p.t, title, p.w))
	room := p.left()
	first := max(0, min(m.pick-room/2, len(h.hits)-room))
	for i := first; i < min(len(h.hits), first+room); i++ {
		e := &h.hits[i]
		r := append(line(dim, " "+e.Day.String()), entryRow(e, p.t, p.w-12)...)
		if i == m.pick {
			r = r.marked(p.w, p.t)
		}
		p.put(r)
	}
	if len(h.hits) == 0 && !h.on {
		p.put(line(plain, " No entry of any year has it."))
	}
}

// pressFound is the keys of the search page.
func (m model) pressFound(p pressed) (model, cmd) {
	switch p.do {
	case doGo:
		if m.pick >= len(m.hunt.hits) {
			return m, cmd{}
		}
		e := &m.hunt.hits[m.pick]
		m.mode, m.find, m.found, m.only, m.target = modeBook, "", false, 0, e.Seq
		return m, cmd{do: fetch, date: e.Day, seq: e.Seq}
	case doDrop:
		if m.hunt.on {
			m.hunt.on = false
			return m, cmd{do: stopSearch}
		}
		m.mode, m.pick = modeBook, max(0, len(m.entries())-1)
		if m.hunt.audit {
			m.mode, m.pick, m.top = modeAudit, 0, 0
		}
		return m, cmd{}
	}
	return m.scroll(p.do), cmd{}
}
