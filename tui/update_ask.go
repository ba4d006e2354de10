package tui

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register"
)

// pressAsk is the keys while a name, beats or a number is asked for.
func (m model) pressAsk(p pressed) (model, cmd) {
	switch p.do {
	case doText:
		m.edit = m.edit.put(p.key)
	case doRefuse:
		if m.canRingElsewhere() {
			return m.nextCrossing()
		}
		if !m.ask.refusable() {
			return m.says("Only an offer can stand without its answer.", warn)
		}
		m.ask.refused = !m.ask.refused
	case doDrop:
		return m.dropped(), cmd{}
	case doAccept:
		e, problem := m.answer()
		if problem != "" {
			return m.says(problem, warn)
		}
		d := m.doubts([]block.Event{e})
		if d.words == "" && m.ask.exp.AskTrain && strings.Contains(e.Train, " ") && !strings.Contains(m.edit.String(), `"`) { // keys meant for the desk end up here
			d.words = fmt.Sprintf("Is %q the name of one train?", e.Train)
		}
		if d.words != "" && m.doubted != strings.TrimSpace(m.edit.String()) {
			return m.asks(d), cmd{beep: true}
		}
		if m.ask.exp.AskProof { // a name first, then its lamp
			m.ask.exp.Event, m.ask.exp.AskTrain, m.edit = e, false, editor{}
			return m.question(p.at)
		}
		return m.asked(e, p.at)
	default:
		m.edit = m.edit.do(p.do)
	}
	return m, cmd{}
}

// refusable says whether what is asked about is a train offered, written with the
// answer that accepts it.
func (a *asking) refusable() bool {
	b := a.exp.Event.Bells
	return a.exp.Act == block.ActOffer && len(b) > 1 && b[len(b)-1].Sent != b[len(b)-2].Sent && b[len(b)-1].Sent != a.exp.Mine
}

// dropped gives up what was being entered.
func (m model) dropped() model {
	return m.done().saying("Dropped. Nothing was written.", calm)
}

// answer is the expected entry with what has been typed so far, or what is wrong
// with that.
//
// One line answers everything that is asked: beats that are a description in
// this section's code book come first, the rest is the train's name; digits
// alone are the number where a token's number is asked. A name in quotes is
// always a name.
func (m *model) answer() (e block.Event, problem string) {
	x := &m.ask.exp
	e = x.Event
	if m.ask.refused && len(e.Bells) > 1 {
		e = unanswered(e)
	}
	text := strings.TrimSpace(m.edit.String())
	if x.AskPN || len(e.Bells) > 0 && e.Bells[0].Code.Spoken() {
		if text, problem = m.numbers(&e, text); problem != "" {
			return e, problem
		}
	}
	switch {
	case text == "" && x.Untold && x.AskTrain:
		return e, "The train's name is wanted. Nothing was written."
	case text == "" && x.Untold:
		return e, "The token's number is wanted, as it stands on the token. Nothing was written."
	case text == "":
		return e, ""
	case strings.ContainsAny(text[:1], "<>"):
		return e, "An arrow is no name. Nothing was written."
	case text[0] == '-':
		return e, "Beats begin with a digit, a name that does not in quotes. Nothing was written."
	}
	if x.AskCall {
		return called(e, text)
	}
	if x.AskNumber {
		n, err := strconv.Atoi(text)
		if err != nil || n < 1 {
			return e, fmt.Sprintf("The number of the token is wanted, not %q. Nothing was written.", text)
		}
		e.Number = n
		return e, ""
	}
	if x.AskCode && text[0] != '"' {
		first, rest, _ := strings.Cut(text, " ")
		if row := m.description(e.Section, first); row != nil {
			e.Bells = register.Recoded(e.Bells, row.Code)
			text = strings.TrimSpace(rest)
		}
	}
	if name := strings.Trim(text, `"`); name != "" {
		if !x.AskTrain {
			return e, fmt.Sprintf("%q is no description in the code book for %s. Nothing was written.", text, e.Section)
		}
		e.Train = name
	}
	return e, ""
}

// numbers takes off an answer the private number that goes with line clear given in
// words. Words are about a train by its number, which nobody guesses.
func (m *model) numbers(e *block.Event, text string) (rest, problem string) {
	x, words := &m.ask.exp, strings.Fields(text)
	if x.AskTrain && len(words) == 0 {
		return "", "The train's number is wanted. Nothing was written."
	}
	if !x.AskPN || m.ask.refused {
		e.PN, e.Subject = "", ""
		return text, ""
	}
	n := len(words)
	if n == 0 || n == 1 && x.AskTrain && e.Bells[0].Code.Spoken() || strings.Trim(words[n-1], "0123456789") != "" {
		return "", "The private number is wanted, in digits, after the train's where that is asked. Nothing was written."
	}
	e.PN = words[n-1]
	if e.Subject != "" {
		e.Subject = block.InWords(e.PN)
	}
	return strings.Join(words[:n-1], " "), ""
}

// called is a user's call as it is told: what is to cross, then the minutes, and
// the word large.
func called(e block.Event, text string) (block.Event, string) {
	words := strings.Fields(text)
	said := false
	e.Large = false
	for n := len(words); n > 0; n = len(words) {
		last := words[n-1]
		if minutes, err := strconv.Atoi(last); err == nil && minutes > 0 && minutes < 1000 {
			e.Number, said = minutes, true
		} else if last == "large" {
			e.Large = true
		} else {
			break
		}
		words = words[:n-1]
	}
	if len(words) > 0 {
		e.Subject = strings.Trim(strings.Join(words, " "), `"`)
		if !said { // those of the last call are another's
			return e, "How many minutes it takes is wanted behind it: " + e.Subject + " 4. Nothing was written."
		}
	}
	return e, ""
}

// description is the row of a section's code book for beats as typed, when they
// describe a train; for a signal that is no offer, any beats of the book.
func (m *model) description(section, typed string) *rulebook.CodeRow {
	code, err := rulebook.CompactCode(typed)
	i := m.box.SectionIndex(section)
	if err != nil || i < 0 {
		return nil
	}
	var found *rulebook.CodeRow
	for _, r := range m.box.CodeBook(i) {
		if r.Code != code {
			continue
		}
		if r.Means == rulebook.Offer {
			return &r
		}
		if m.alter && found == nil {
			found = &r
		}
	}
	return found
}

// pressSure is the keys while an entry that clears something by way of exception
// is asked about.
func (m model) pressSure(p pressed) (model, cmd) {
	if p.do != doAccept {
		return m.dropped(), cmd{}
	}
	m.ask.exp.Clears = ""
	return m.question(p.at)
}

// pressProof is the keys while the tail lamp is asked for.
func (m model) pressProof(p pressed) (model, cmd) {
	e := m.placed()
	switch p.do {
	case doComplete:
		e.Proof = block.Complete
	case doNoLamp:
		e.Proof = block.NoTailLamp
	case doLampOut:
		e.Proof = block.TailLampOut
	case doPlace:
		if m.ask.exp.Event.Kind == block.TrainArrived {
			m.place++
		}
		return m, cmd{}
	default:
		return m.dropped(), cmd{}
	}
	return m.asked(e, p.at)
}

// placed is the expected movement at the place chosen.
func (m *model) placed() block.Event {
	e := m.ask.exp.Event
	if n := len(m.box.Places); m.place > 0 && n > 0 {
		at := slices.IndexFunc(m.box.Places, func(p block.Place) bool { return p.Name == e.Place })
		e.Place = m.box.Places[(at+m.place)%n].Name
	}
	return e
}

// canRefuse says whether Tab means something where a name is asked for.
func canRefuse(m *model) bool { return m.ask.refusable() }
