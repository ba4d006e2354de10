package tui

import (
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/each"
	"fairhand/register/notation"
)

// The bell pad takes any signals of one neighbour's bell. Beats and then an arrow
// put the whole exchange on the line, with call attention where it is due; an arrow
// before beats is one signal, as in the notation; a train's name may follow. Enter
// writes what stands there.

// openPad opens the pad at the neighbour whose bell waits for an answer, of several the
// last that rang; else at the one with whom attention has just been called; else at the one
// whose bell is likeliest to be next.
func (m model) openPad() model {
	m.mode, m.edit, m.msg = modeBeats, editor{}, message{}
	next := slices.IndexFunc(m.next, func(x block.Expectation) bool {
		return x.Event.Kind == block.Bells && m.belledWith(m.box.SectionIndex(x.Event.Section))
	})
	if next >= 0 {
		m.section = m.box.SectionIndex(m.next[next].Event.Section)
	} else if !m.belledWith(m.section) {
		m.section = m.nextBell()
	}
	rang, asked := block.Time(0), false
	for i := range m.state.Bells {
		c := &m.state.Bells[i]
		if a := c.Asked; a.Open && !a.Sent && (!asked || a.At > rang) {
			m.section, rang, asked = i, a.At, true
		} else if c.Ready && !asked && c.ReadyAt >= m.state.LastAt && m.belledWith(i) { // the last thing written
			m.section, rang = i, c.ReadyAt
		}
	}
	return m
}

// belledWith says whether a section is worked by bells at the moment.
func (m *model) belledWith(i int) bool {
	return i >= 0 && !m.box.ByWord(i) && !m.state.Circuits[i].Message
}

// nextBell is the next section that is worked by bells; the next one where none is.
func (m *model) nextBell() int {
	n := len(m.box.Sections)
	for step := 1; step < n; step++ {
		if i := (m.section + step) % n; m.belledWith(i) {
			return i
		}
	}
	if m.belledWith(m.section) {
		return m.section
	}
	return (m.section + 1) % n
}

// pressBeats is the keys of the pad.
func (m model) pressBeats(p pressed) (model, cmd) {
	m.msg = message{}
	switch p.do {
	case doText:
		if !strings.ContainsAny(p.key, "0123456789- ") && !strings.ContainsAny(m.edit.String(), "<>") {
			return m.says("Beats are digits: 31 or 3-1. Then < received, or > sent.", warn)
		}
		m.edit = m.edit.put(p.key)
	case doSection:
		m.section = m.nextBell()
	case doDrop:
		return m.dropped(), cmd{}
	case doReceived, doSent:
		m.edit = m.arrow(p.do == doSent)
	case doRub:
		m.edit = rubbed(m.edit)
	case doAccept:
		e, problem := m.belled()
		if problem != "" {
			return m.says(problem+" Nothing was written.", warn)
		}
		if d := m.doubts([]block.Event{e}); d.words != "" && m.doubted != strings.TrimSpace(m.edit.String()) {
			return m.asks(d), cmd{beep: true}
		}
		return m, cmd{do: write, events: []block.Event{timed(e, m.then(p.at), p.at)}}
	default:
		m.edit = m.edit.do(p.do)
	}
	return m, cmd{}
}

// rubbed takes back a whole signal that stands before the cursor, and else a character: the
// answer to an offer that is refused goes by one key, and no half of it stays.
func rubbed(e editor) editor {
	text, _ := strings.CutSuffix(e.String(), " ")
	last := text[strings.LastIndexByte(text, ' ')+1:]
	if text == e.String() || e.at < len(e.text) || !strings.HasPrefix(last, "<") && !strings.HasPrefix(last, ">") {
		return e.do(doRub)
	}
	return edited(strings.TrimSuffix(text, last))
}

// arrow is the line after an arrow: beats alone become their exchange, beats at its
// end get the arrow, and else it begins the next signal.
func (m *model) arrow(sent bool) editor {
	text := strings.TrimRight(m.edit.String(), " ")
	words := strings.Fields(text)
	mark := arrowOf(sent)
	if n := len(words) - 1; n >= 0 && words[n][0] != '<' && words[n][0] != '>' {
		if code, err := rulebook.CompactCode(words[n]); err == nil && n == 0 {
			return edited(bellsText(m.exchange(code, sent)) + " ")
		}
		words[n] = mark + words[n]
		return edited(strings.Join(words, " "))
	}
	if text != "" {
		text += " "
	}
	return edited(text + mark)
}

// exchange is the bells of a whole exchange that begins with a code, from where the
// neighbour's bell stands. Where a code is in no book, or calls attention itself, it
// stands alone.
func (m *model) exchange(code rulebook.Code, sent bool) []block.Bell {
	one := []block.Bell{{Sent: sent, Code: code}}
	c := &m.state.Bells[m.section]
	in := m.inBook(m.section, code)
	danger := in != nil && sent && in.Means == rulebook.ObstructionDanger // as key o writes it
	if m.box.Booking != block.BookExchanges || in == nil || danger || code == "1" || c.Asked.Open && c.Asked.Sent != sent && c.Asked.Code == code {
		return one
	}
	out := append(one, block.Bell{Sent: !sent, Code: code})
	if !in.NoAttention && !(c.Ready && c.ReadyMe == sent) {
		out = append([]block.Bell{{Sent: sent, Code: "1"}, {Sent: !sent, Code: "1"}}, out...)
	}
	return out
}

// inBook is what the code book of a section has of a code; nil for one that it has not.
func (m *sight) inBook(section int, code rulebook.Code) *rulebook.CodeRow {
	book := m.box.CodeBook(section)
	if i := slices.IndexFunc(book, func(r rulebook.CodeRow) bool { return r.Code == code }); i >= 0 {
		return &book[i]
	}
	return nil
}

// arrowOf is how a signal sent or received is marked.
func arrowOf(sent bool) string {
	if sent {
		return ">"
	}
	return "<"
}

// bellsText is signals as they are typed.
func bellsText(bells []block.Bell) string {
	return each.Joined(bells, " ", func(b block.Bell) string { return arrowOf(b.Sent) + string(b.Code) })
}

// belled is the bells on the pad with the train named behind them, or what is wrong
// with them. A last word with a letter in it is a name: beats have none.
func (m *model) belled() (e block.Event, problem string) {
	e = block.Event{Kind: block.Bells, Section: m.neighbour()}
	words := strings.Fields(m.edit.String())
	for i, w := range words {
		switch {
		case w[0] == '<' || w[0] == '>':
		case i > 0 && i == len(words)-1 && strings.Trim(w, "0123456789-") != "":
			e.Train = w
			continue
		default:
			return e, w + ": < received or > sent?"
		}
		code, err := rulebook.CompactCode(w[1:])
		if err != nil {
			return e, "Not written: " + err.Error() + "."
		}
		e.Bells = append(e.Bells, block.Bell{Sent: w[0] == '>', Code: code})
	}
	if len(e.Bells) == 0 {
		return e, "Which beats? 31 or 3-1, then < received or > sent."
	}
	return e, ""
}

// beatsPanel shows the pad and what Enter would write.
func beatsPanel(m *model, p *page) []row {
	out := []row{
		ruled(p.t, " BELL: "+strings.ToUpper(m.neighbour())+" ", p.w),
		field("beats, 31 or 3-1:", m.edit, 0, p).add(plain, "  then ").add(keycap, "<").
			add(plain, " received or ").add(keycap, ">").add(plain, " sent"),
	}
	text := strings.TrimSpace(m.edit.String())
	if text == "" {
		return append(out, line(dim, " "+m.key("Tab")+": another neighbour. Several signals: <1 >1 <3-2"))
	}
	e, problem := m.belled()
	if code, err := rulebook.CompactCode(text); err == nil {
		for _, sent := range []bool{false, true} {
			out = append(out, row{txt(plain, " "), txt(keycap, arrowOf(sent)), txt(dim, "  puts  "), txt(plain, bellsText(m.exchange(code, sent)))})
		}
		return append(out, line(strong, " "+m.meaning(block.Event{Section: m.neighbour(), Bells: []block.Bell{{Code: code}}})))
	}
	if problem != "" {
		return append(out, line(care, " "+problem))
	}
	e = timed(e, m.then(m.now), m.now)
	out = append(out, row{txt(dim, " writes  "), txt(strong, notation.Format(e, m.zone))}, line(strong, " "+m.meaning(e)))
	if row := m.description(e.Section, string(e.Bells[len(e.Bells)-1].Code)); row != nil && e.Train == "" {
		out[len(out)-1] = out[len(out)-1].add(dim, "; its name may follow")
		if n := len(e.Bells); n > 1 && e.Bells[n-1].Sent && !e.Bells[n-2].Sent {
			out = append(out, line(dim, " Refused: "+m.key("Backspace")+" over "+bellsText(e.Bells[n-1:])+", so that it is not answered."))
		}
	}
	return out
}
