package notation

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"fairhand/block/rulebook"
)

// paperWords are words as they stand in the columns of paper books, each beside the word
// of the notation or, where the notation writes bells, the signal. Common practice.
var paperWords = map[string]string{
	"arr":      "arrived",
	"arrd":     "arrived",
	"dep":      "departed",
	"dept":     "departed",
	"left":     "departed",
	"comp":     "complete",
	"cwtl":     "complete",
	"tail":     "complete",
	"notl":     "no-tail-lamp",
	"entered":  "2",
	"entering": "2",
	"tes":      "2",
	"toos":     "2-1",
	"tos":      "2-1",
	"accepted": "3-1",
	"offered":  "3-1",
}

// onPaper is what the notation says for a word of a paper book; "" for any other word.
func onPaper(word string) string {
	return paperWords[strings.ToLower(strings.ReplaceAll(strings.Trim(word, ","), ".", ""))]
}

// hint guesses what was meant by the current token or the one before it.
func (p *parser) hint() string {
	if p.tok.kind == tokenEnd {
		return ""
	}
	if p.where.slot == &clockSlot {
		return p.clockHint()
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
	if p.tok.kind == tokenWord {
		may := p.where.words(p.times)
		if said := onPaper(p.tok.text); word == "" && slices.Contains(may, said) {
			word = said
		}
		word = cmp.Or(word, nearest(p.tok.text, may))
	}
	switch {
	case p.anotherBegins():
		return `two entries on one line are parted by ";"`
	case word != "":
		return fmt.Sprintf("did you mean %q?", word)
	case begun && '0' <= p.last.text[0] && p.last.text[0] <= '9':
		return cmp.Or(meantTime(p.last.text), "a time is written 10:41")
	}
	return cmp.Or(p.bellHint(), p.formHint(), p.nameHint())
}

// clockHint is for what stands where a clock time must.
func (p *parser) clockHint() string {
	typed := p.tok.text
	if next := strings.ReplaceAll(strings.ToLower(strings.TrimSpace(p.line[p.tok.end:]))+" ", ".", ""); strings.HasPrefix(next, "pm ") || strings.HasPrefix(next, "am ") {
		typed += next[:2] // 2:45 p.m.
	}
	if rest, ok := strings.CutPrefix(By24Hours(typed), "24"); ok {
		if _, ok := parseClock("00" + rest); ok {
			return "a day ends at 23:59: the line date of the next day, then 00" + rest
		}
	}
	return meantTime(typed)
}

// meantTime asks after a time that is written otherwise than in a book; "" for other text.
func meantTime(typed string) string {
	as := By24Hours(typed)
	if _, ok := parseClock(as); !ok || as == typed {
		return ""
	}
	return fmt.Sprintf("did you mean %s?", as)
}

// anotherBegins tells whether a second entry begins on the line where the first could
// have ended: after a comma, with the first word of a form, or with a section and bells.
func (p *parser) anotherBegins() bool {
	if p.where.rule == nil || p.tok.kind == tokenEnd {
		return false
	}
	rest := strings.TrimSpace(p.line[p.tok.end:])
	first, comma := strings.CutSuffix(p.tok.text, ",")
	return rest != "" && (comma && slices.Contains(p.where.words(p.times), first) ||
		slices.Contains(edgeWords(compiled().root.words), p.tok.text) || isBell(rest))
}

// bellHint is for a signal written as a word or without its arrow.
func (p *parser) bellHint() string {
	if p.tok.kind != tokenWord || !slices.ContainsFunc(p.where.slots(), func(s *slot) bool { return s.value == valueBells }) {
		return ""
	}
	beats := cmp.Or(onPaper(p.tok.text), p.tok.text)
	if c := beats[0]; c < '0' || c > '9' {
		return ""
	}
	if _, err := rulebook.ParseSignal(beats); err != nil {
		return ""
	}
	return fmt.Sprintf("a bell signal has an arrow: <%s when received, >%s when sent", beats, beats)
}

// nameHint is for a name without the word that it comes after, or without its quotes.
func (p *parser) nameHint() string {
	if p.tok.kind != tokenWord {
		return ""
	}
	if p.where.rule != nil && strings.ToLower(p.tok.text) != p.tok.text { // a name has a capital
		var after []string
		for i, t := range p.where.rule.tail {
			if p.where.seen&(1<<i) == 0 && t.word != "" && t.slot.value == valueName {
				after = append(after, fmt.Sprintf("%s after %q", t.slot.noun, t.word))
			}
		}
		if len(after) > 0 && !p.named {
			return orList(after)
		}
	}
	if p.named {
		return fmt.Sprintf("a name of several words is quoted: %q", p.last.text+" "+p.tok.text)
	}
	return ""
}

// formHint is for a line that begins otherwise than its form: two of its words, one after
// the other, tell the form.
func (p *parser) formHint() string {
	if p.where.node != compiled().root.then {
		return ""
	}
	words := strings.Fields(p.line[p.tok.start:])
	for i := range len(words) - 1 {
		if form := meantForm(words[i], words[i+1]); form != "" {
			return fmt.Sprintf("did you mean %q?", form)
		}
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
			if train, word := typed[0], typed[1]; (word == head[2] || onPaper(word) == head[2]) && strings.ContainsAny(train, "0123456789") {
				head[1] = train
				return strings.Join(head, " ")
			}
		}
	}
	return ""
}
