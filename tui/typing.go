package tui

import (
	"cmp"
	"fmt"
	"strings"

	"fairhand/block"
	"fairhand/register/measure"
	"fairhand/register/notation"
)

// panels are what is being entered, drawn above the register: none on the desk itself.
// The last row always shows what would be written.
var panels = map[mode]func(*model, *page) []row{
	modeAsk: askPanel, modeProof: proofPanel, modeSure: surePanel, modeObstruct: obstructPanel,
	modeMove: movePanel, modeWhere: movePanel, modeWhich: whichPanel, modeStrike: strikePanel, modeClock: clockPanel,
	modePIN: secretPanel, modeLocked: secretPanel, modeBeats: beatsPanel, modeLine: entryPanel, modeQuit: quitPanel,
}

func typingPanel(m *model, p *page) []row {
	draw := panels[m.mode]
	if draw == nil {
		return nil
	}
	var out []row
	for _, r := range draw(m, p) {
		if r.width() > p.w { // what is to be read before a key is pressed is not cut
			out = append(out, r.wrapped(p.w, 4)...)
		} else {
			out = append(out, r)
		}
	}
	return out
}

// field is a prompt and the text typed, with the cursor; bad is the column of a
// mistake, from 1, or 0. What there is no room for is marked as cut on either side.
func field(prompt string, e editor, bad int, p *page) row {
	r := row{txt(strong, " "+prompt+" ")}
	room := p.w - r.width()
	from := e.begins(bad, room)
	if from > 0 {
		r, room = r.add(dim, p.t.more), room-1
	}
	for i := from; i <= len(e.text); i++ {
		k := plain
		switch {
		case i == e.at:
			k = cursor
		case bad > 0 && i == bad-1:
			k = peril
		}
		cell := span{e.cell(i), k}
		if room -= measure.Width(cell.text); room < min(1, len(e.text)-i) {
			return r.add(dim, p.t.more)
		}
		r = append(r, cell)
	}
	return r
}

// cell is a character as it is shown, and behind the last a blank for the cursor.
func (e editor) cell(i int) string {
	if i < len(e.text) {
		return safe(string(e.text[i]))
	}
	return " "
}

// begins is the first character shown, so that the cursor or a mistake is among those for
// which there is room, beside the marks of what is cut.
func (e editor) begins(bad, room int) (from int) {
	at := e.at
	if bad > 0 {
		at = min(bad-1, len(e.text))
	}
	wide := min(1, len(e.text)-at)
	for i := range at + 1 {
		wide += measure.Width(e.cell(i))
	}
	for ; from < at && wide+min(1, from) > room; from++ {
		wide -= measure.Width(e.cell(from))
	}
	return from
}

// caret points at a mistake below the field.
func caret(prompt string, e editor, bad int, p *page) row {
	in := measure.Width(prompt) + 2
	from := e.begins(bad, p.w-in)
	in += min(from, 1)
	for i := from; i < min(bad-1, len(e.text)); i++ {
		in += measure.Width(e.cell(i))
	}
	return line(plain, strings.Repeat(" ", in)).add(care, "^ here")
}

// wouldWrite is the entry as it would be written.
func wouldWrite(m *model, e block.Event) row {
	return row{txt(dim, " writes  ")}.add(strong, notation.Format(timed(e, m.ask.was, m.now), m.zone))
}

func askPanel(m *model, p *page) []row {
	x := &m.ask.exp
	parts := block.WordsOf(block.So(x.AskCode, "beats if they differ"), block.So(x.AskTrain, "the train's name"), block.So(x.AskPN, "the private number"),
		block.So(x.AskCall, "what is to cross, minutes, large ("+m.key("Enter")+": as below"+m.elsewhere()+")"),
		block.So(x.Untold && x.AskNumber, "the token's number"), block.So(x.AskNumber && !x.Untold, "the token's number ("+m.key("Enter")+": "+itoa(x.Event.Number)+")"))
	out := []row{
		ruled(p.t, " "+sentence(x.Label)+" ", p.w),
		field(strings.Join(parts, ", then ")+":", m.edit, 0, p),
	}
	e, problem := m.answer()
	if problem != "" {
		return append(out, line(care, " "+strings.TrimSuffix(problem, " Nothing was written."))) // no key was pressed yet
	}
	r := wouldWrite(m, e)
	if m.ask.refused {
		r = r.add(care, "  NOT ACCEPTED")
	}
	out = append(out, r)
	if means := m.meaning(e); means != "" {
		out = append(out, line(dim, " "+means))
	}
	return out
}

// meaning reads out the last signal of a bell entry.
func (m *model) meaning(e block.Event) string {
	i := m.box.SectionIndex(e.Section)
	if i < 0 || len(e.Bells) == 0 {
		return ""
	}
	code := e.Bells[len(e.Bells)-1].Code
	if r := m.inBook(i, code); r != nil {
		return string(code) + " is " + strings.TrimPrefix(r.Words, "is ")
	}
	return string(code) + " is not in the code book for " + e.Section
}

func proofPanel(m *model, p *page) []row {
	e := m.placed()
	e.Proof = block.ProofNone
	return []row{
		ruled(p.t, " TAIL LAMP OF "+e.Train+"? ", p.w),
		row{txt(plain, "  ")}.add(keycap, "c").add(strong, " seen, complete    ").add(keycap, "n").
			add(strong, " NONE    ").add(keycap, "o").add(strong, " carried, but OUT"),
		wouldWrite(m, e).add(dim, " + your answer"),
	}
}

// surePanel asks once about an entry that clears something by way of exception.
func surePanel(m *model, p *page) []row {
	x := &m.ask.exp
	out := []row{ruled(p.t, " SURE? "+sentence(x.Label)+" ", p.w)}
	for _, l := range wrap(x.Clears, p.w-2) {
		out = append(out, line(care, " "+l))
	}
	return append(out, wouldWrite(m, x.Event),
		row{txt(plain, "  "), txt(keycap, "y"), txt(strong, " yes, it is so    "), txt(keycap, "n"), txt(strong, " no, write nothing")})
}

func entryPanel(m *model, p *page) []row {
	title, prompt := m.purposeWords()
	bad := 0
	if m.fault != nil {
		bad = m.fault.Column
	}
	out := []row{ruled(p.t, title, p.w)}
	if m.purpose == forExplain {
		if e := m.entry(m.target); e != nil {
			out = append(out, entryRow(e, p.t, p.w))
			for _, f := range e.Findings { // one remark answers them all
				out = append(out, line(severityRoles[f.Severity], " "+f.Text).wrapped(p.w, 1)...)
			}
		}
	}
	out = append(out, field(prompt, m.edit, bad, p))
	if bad > 0 {
		out = append(out, caret(prompt, m.edit, bad, p))
	}
	if m.purpose == forRelief {
		return append(out, reliefRows(m)...)
	}
	return append(out, offerRows(m, p)...)
}

// purposes are what stands above a line of each purpose, %d the entry it is about, and
// before it.
var purposes = [...]struct{ title, prompt string }{
	forEntry:   {" ENTRY ", "line"},
	forCorrect: {" CORRECT ENTRY %d: IT STAYS, STRUCK THROUGH ", "instead"},
	forExplain: {" REMARK ON WHAT WAS FOUND ABOUT ENTRY %d ", "remark"},
	forTime:    {" WHEN DID IT HAPPEN? ", "clock time of the next entry, 1041, or 41"},
	forDate:    {" WHICH DAY? ", "date, as 2026-05-05"},
	forSearch:  {" SEARCH THE ENTRIES OF THE DAY SHOWN ", "train, token, person or any text"},
	forYears:   {" SEARCH ALL YEARS ", "train, token, person or any text"},
	forQuery:   {" QUERY: ", "what is asked"},
	forRemark:  {" REMARK OF THE RELIEF ", "remark"},
	forRelief:  {" WHO SIGNS ON? ", "number or name"},
	forPeriod:  {" WHICH DAYS ARE EXAMINED? ", "a date, a month, a year, or the first and the last"},
	forStrike:  {" STRIKE OUT ENTRY %d: WHY? ", "reason"},
	forSign:    {" SIGN THE BOOK: BY WHOM, AND WITH WHAT REMARK ", "line"},
	forPIN:     {" WHOSE PIN IS SET? ", "name"},
}

// purposeWords is the title of the entry line and what is typed in it, by its purpose.
func (m *model) purposeWords() (title, prompt string) {
	w, who := purposes[m.purpose], ""
	title = strings.Replace(w.title, "%d", fmt.Sprint(m.target), 1)
	switch {
	case m.purpose == forCorrect && !m.lines: // there an empty line leaves it as it stands
		title += "(EMPTY: IT NEVER HAPPENED) "
	case m.purpose == forQuery:
		title += m.taking.asked.Text + " "
	case m.purpose == forPIN:
		who = m.state.Writer()
	case m.purpose == forRelief:
		who = m.soleRelief()
	}
	if who != "" {
		w.prompt += " (" + m.key("Enter") + ": " + who + ")"
	}
	return title, w.prompt + ":"
}

// offerRows shows what may come next in the line.
func offerRows(m *model, p *page) []row {
	if len(m.offers) == 0 || m.fault != nil {
		return nil
	}
	r := row{txt(dim, " next: ")}
	said := ""
	for i, o := range m.offers {
		word := cmp.Or(o.Text, o.Says)
		k := plain
		if i == m.fitting {
			k, said = chosen, o.Says
		}
		if r.width()+len(word)+6 > p.w && i != m.fitting {
			r = r.add(dim, p.t.more)
			break
		}
		r = r.add(k, word).add(plain, "  ")
	}
	return []row{r, line(dim, "       "+cmp.Or(said, m.offers[0].Says))}
}

func quitPanel(m *model, p *page) []row {
	out := []row{
		ruled(p.t, " LEAVE THE DESK? ", p.w),
		row{txt(strong, "  Everything written is on disk. "), txt(keycap, "y"), txt(plain, " leave   "), txt(keycap, "n"), txt(plain, " stay")},
	}
	if m.back.typing() && !m.edit.empty() {
		out = append(out, row{txt(care, "  Half typed, NOT written: "), txt(strong, m.edit.String())})
	}
	if m.back == modeStop {
		out = append(out, line(care, "  An entry waits for your decision and is NOT written."))
	}
	return out
}
