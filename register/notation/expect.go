package notation

import (
	"strconv"
	"unicode/utf8"

	"fairhand/register/each"
)

// unexpected is the error for the current token, which fits nothing that may
// stand at p.where.
func (p *parser) unexpected() *Error {
	err := &Error{Column: column(p.line, p.tok.start), Expected: p.where.expected(p.times), Got: p.found()}
	if p.last.end > 0 && p.where.node != compiled().root {
		err.Expected += " after " + p.raw(p.last)
	}
	err.Hint = p.hint()
	return err
}

// expected says what may stand here.
func (w where) expected(times bool) string {
	if w.node == compiled().root {
		return `a section name or a word that begins an entry ("train", "note" ...)`
	}
	list := each.Of(w.words(times), strconv.Quote)
	for _, s := range w.slots() {
		if s.value != valueChoice {
			list = append(list, s.noun)
		}
	}
	if w.rule != nil {
		list = append(list, "the end of the entry")
	}
	return orList(list)
}

// words are the words that may stand here.
func (w where) words(times bool) []string {
	var list []string
	switch {
	case w.node != nil:
		list = edgeWords(w.node.words)
	case w.rule != nil:
		for i, t := range w.rule.tail {
			if w.seen&(1<<i) == 0 && t.word != "" {
				list = append(list, t.word)
			}
		}
	}
	for _, s := range w.slots() {
		list = append(list, s.words...)
	}
	if w.rule != nil && times {
		list = append(list, wordWritten)
	}
	return list
}

// slots are the slots that may stand here.
func (w where) slots() []*slot {
	var list []*slot
	if w.slot != nil {
		list = append(list, w.slot)
	}
	if w.node != nil && w.node.slot != nil {
		list = append(list, w.node.slot)
	}
	if w.rule != nil {
		if last := w.rule.head[len(w.rule.head)-1].slot; w.seen == 0 && last != nil && last.value == valueBells {
			list = append(list, last) // one bell signal after another
		}
		for i, t := range w.rule.tail {
			if w.seen&(1<<i) == 0 && t.word == "" {
				list = append(list, t.slot)
			}
		}
	}
	return list
}

func edgeWords(edges []edge) []string {
	return each.Of(edges, func(e edge) string { return e.word })
}

// found names the current token for an error.
func (p *parser) found() string {
	if p.tok.kind != tokenEnd {
		return p.raw(p.tok)
	}
	if p.tok.start < len(p.line) {
		return `"` + p.line[p.tok.start:p.tok.start+1] + `"`
	}
	return "the end of the line"
}

// raw is a token as it stands in the line, in quotes, cut when it is long.
func (p *parser) raw(t token) string {
	const most = 40
	text := p.line[t.start:t.end]
	if t.kind == tokenQuoted {
		text = text[1 : len(text)-1]
	}
	if utf8.RuneCountInString(text) > most {
		text = string([]rune(text)[:most]) + "..."
	}
	return `"` + text + `"`
}
