package notation

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
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

// meantTime asks after a time that is written otherwise than in a book; "" for other text.
func meantTime(typed string) string {
	as := By24Hours(typed)
	if _, ok := parseClock(as); !ok || as == typed {
		return ""
	}
	return fmt.Sprintf("did you mean %s?", as)
}

// hint guesses what was meant by the current token or the one before it.
func (p *parser) hint() string {
	if p.tok.kind == tokenEnd {
		return ""
	}
	if p.where.slot == &clockSlot {
		typed := p.tok.text
		if next := strings.ReplaceAll(strings.ToLower(strings.TrimSpace(p.line[p.tok.end:]))+" ", ".", ""); strings.HasPrefix(next, "pm ") || strings.HasPrefix(next, "am ") {
			typed += next[:2] // 2:45 p.m.
		}
		if meant := meantTime(typed); meant != "" {
			return meant
		}
	}
	root := compiled().root
	begun := p.where.node == root.then && p.last.kind == tokenWord // read as a section
	word := ""
	if begun {
		if form := meantForm(p.last.text, p.tok.text); form != "" {
			return fmt.Sprintf("did you mean %q?", form)
		}
		word = nearest(p.last.text, edgeWords(root.words))
	}
	if word == "" && p.tok.kind == tokenWord {
		word = nearest(p.tok.text, p.where.words(p.times))
	}
	switch {
	case word != "":
		return fmt.Sprintf("did you mean %q?", word)
	case begun && '0' <= p.last.text[0] && p.last.text[0] <= '9':
		return cmp.Or(meantTime(p.last.text), "a time is written 10:41")
	case p.named && p.tok.kind == tokenWord:
		return fmt.Sprintf("a name of several words is quoted: %q", p.last.text+" "+p.tok.text)
	}
	return ""
}

// meantForm is the beginning of the form that has both of the first words of a line, in
// another order ("on duty"), or one of them beside the name of a train ("2P07 passed",
// "passed 2P07"); "" for no such form.
func meantForm(first, second string) string {
	for _, r := range compiled().rules {
		if r == nil {
			continue
		}
		var head []string
		for _, e := range r.head {
			if head = append(head, e.word); e.slot != nil {
				head[len(head)-1] = e.slot.word
			}
		}
		if slices.Contains(head, first) && slices.Contains(head, second) {
			return strings.Join(head, " ")
		}
		if len(head) < 3 || head[1] != "TRAIN" {
			continue
		}
		for _, typed := range [][2]string{{first, second}, {second, first}} {
			if train, word := typed[0], typed[1]; word == head[2] && strings.ContainsAny(train, "0123456789") {
				head[1] = train
				return strings.Join(head, " ")
			}
		}
	}
	return ""
}

// expected says what may stand here.
func (w where) expected(times bool) string {
	if w.node == compiled().root {
		return `a section name or a word that begins an entry ("train", "note" ...)`
	}
	var list []string
	for _, word := range w.words(times) {
		list = append(list, strconv.Quote(word))
	}
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
	words := make([]string, len(edges))
	for i, e := range edges {
		words[i] = e.word
	}
	return words
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
