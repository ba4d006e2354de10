package notation

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// maxNumber keeps a number within an int on every machine.
const maxNumber = 999_999_999

// parser walks the grammar along one line. where says how far it came, for
// errors and completion.
type parser struct {
	scanner
	cache *cache // nil: names are parts of the line itself
	times bool   // `written` may follow
	where where
	named bool // the token before was a bare name
}

// where is the place in the grammar that the current token must fit.
type where struct {
	node *node  // in the required beginning
	rule *rule  // or among the parts of a rule
	seen uint32 // the parts seen
	slot *slot  // or at this slot
	// reserved are the words that a name in slot must not be
	reserved []string
}

// body reads an entry from the current token on. It leaves the current token
// at `written` or at the end.
func (p *parser) body(ev *block.Event) *Error {
	p.named = false
	r, err := p.head(ev)
	if err != nil {
		return err
	}
	ev.Kind = r.Kind
	if r.counts {
		ev.Other = -1
	}
	if r.Kind == block.Correct {
		if err := checkInstead(ev.Text); err != nil {
			return p.problem(p.last.start, "the line inside the quotes cannot be read: "+err.Error())
		}
	}
	return p.tail(ev, r)
}

// checkEntry reads the text that is to stand instead of another entry: exactly
// one entry, with or without its times.
func checkEntry(text string) *Error {
	p := parser{scanner: scanner{line: text}, times: true}
	if err := p.advance(); err != nil {
		return err
	}
	if err := p.entry(new(block.Event), nil); err != nil {
		return err
	}
	if p.pos < len(p.line) {
		return p.problem(p.pos, "nothing may follow the entry here")
	}
	return nil
}

// head walks the required beginning of an entry.
func (p *parser) head(ev *block.Event) (*rule, *Error) {
	root := compiled().root
	n := root
	for n.rule == nil {
		p.where = where{node: n}
		if p.tok.kind == tokenWord {
			if next := n.after(p.tok.text); next != nil {
				n = next
				p.named = false
				if err := p.advance(); err != nil {
					return nil, err
				}
				continue
			}
		}
		if n.slot == nil || !p.fits(n.slot, n.reserved) {
			return nil, p.unexpected()
		}
		if n == root && p.tok.kind == tokenWord && strings.Contains(p.tok.text, ":") {
			return nil, p.unexpected() // more likely a time than a section
		}
		if err := p.value(ev, n.slot); err != nil {
			return nil, err
		}
		n = n.then
	}
	return n.rule, nil
}

// tail reads the parts of a rule, in any order, each at most once.
func (p *parser) tail(ev *block.Event, r *rule) *Error {
	seen := uint32(0)
	for {
		p.where = where{rule: r, seen: seen}
		if p.tok.kind == tokenEnd || p.times && p.isWord(wordWritten) {
			return nil
		}
		i := p.part(r, seen)
		if i < 0 {
			return p.unexpected()
		}
		seen |= 1 << i
		s := r.tail[i].slot
		if r.tail[i].word != "" {
			p.named = false
			if err := p.advance(); err != nil {
				return err
			}
			p.where = where{slot: s, reserved: r.reserved}
			if !p.fits(s, r.reserved) {
				return p.unexpected()
			}
		}
		if err := p.value(ev, s); err != nil {
			return err
		}
	}
}

// part is the index of the part that the current token begins, -1 for none.
func (p *parser) part(r *rule, seen uint32) int {
	for i := range r.tail {
		t := &r.tail[i]
		if seen&(1<<i) != 0 {
			continue
		}
		if t.word != "" {
			if p.isWord(t.word) {
				return i
			}
		} else if p.fits(t.slot, r.reserved) {
			return i
		}
	}
	return -1
}

func (p *parser) isWord(word string) bool {
	return p.tok.kind == tokenWord && p.tok.text == word
}

// fits tells whether the current token can fill the slot. Its characters are
// checked by value.
func (p *parser) fits(s *slot, reserved []string) bool {
	switch s.value {
	case valueText:
		return p.tok.kind == tokenQuoted
	case valueName:
		if p.tok.kind == tokenQuoted {
			return true
		}
		return p.tok.kind == tokenWord && !isBell(p.tok.text) && !slices.Contains(reserved, p.tok.text)
	case valueChoice:
		return p.tok.kind == tokenWord && slices.Contains(s.words, p.tok.text)
	case valueBells:
		return p.tok.kind == tokenWord && isBell(p.tok.text)
	case valueSpan:
		return p.tok.kind == tokenWord && isSpan(p.tok.text)
	}
	return p.tok.kind == tokenWord && allDigits(p.tok.text)
}

// value stores the current token, which fits, and moves on.
func (p *parser) value(ev *block.Event, s *slot) *Error {
	switch s.value {
	case valueName:
		if p.tok.kind == tokenQuoted && strings.Contains(p.tok.text, "\n") {
			return p.problem(p.tok.start, "a name cannot have a new line in it")
		}
		*s.field.text(ev) = p.cache.name(p.tok.text)
	case valueText:
		*s.field.text(ev) = p.cache.copy(p.tok.text)
	case valueDigits:
		*s.field.text(ev) = p.cache.copy(p.tok.text)
	case valueChoice:
		s.field.setChoice(ev, s.words[slices.Index(s.words, p.tok.text)])
	case valueBells:
		return p.bells(ev)
	case valueSpan:
		if err := p.span(ev, s); err != nil {
			return err
		}
	default:
		n, err := strconv.ParseInt(p.tok.text, 10, 64)
		if err != nil || n < s.least || n > maxNumber {
			return p.problem(p.tok.start, fmt.Sprintf("%s is not %s from %d to %d", p.raw(p.tok), s.noun, s.least, maxNumber))
		}
		s.field.setNumber(ev, n)
	}
	p.named = s.value == valueName && p.tok.kind == tokenWord
	return p.advance()
}

// span reads two numbers joined by a hyphen. That both are 0 says nothing.
func (p *parser) span(ev *block.Event, s *slot) *Error {
	from, to, _ := strings.Cut(p.tok.text, "-")
	a, errA := strconv.Atoi(from)
	b, errB := strconv.Atoi(to)
	if errA != nil || errB != nil || int64(max(a, b)) > maxNumber || a == 0 && b == 0 {
		return p.problem(p.tok.start, p.raw(p.tok)+" is not "+s.noun)
	}
	ev.Number, ev.Other = a, b
	return nil
}

func isSpan(s string) bool {
	from, to, ok := strings.Cut(s, "-")
	return ok && allDigits(from) && allDigits(to)
}

// bells reads one signal after another: bells, or words said.
func (p *parser) bells(ev *block.Event) *Error {
	start, end := p.tok.start, p.tok.end
	p.named = false
	if to := bellSpan(p.line, start); to > 0 {
		if list := p.cache.bells(p.line[start:to]); list != nil {
			ev.Bells = list
			p.tok.end, p.pos = to, to
			return p.advance()
		}
	}
	var list []block.Bell
	for p.tok.kind == tokenWord && isBell(p.tok.text) {
		code, err := rulebook.ParseSignal(p.tok.text[1:])
		if err != nil {
			fault := p.problem(p.tok.start+1, err.Error())
			if word := nearest(p.tok.text[1:], rulebook.SpokenWords()); word != "" {
				fault.Hint = fmt.Sprintf("did you mean %q?", word)
			} else if p.tok.end == p.tok.start+1 {
				fault.Hint = "the arrow and its beats stand together: " + p.tok.text + "2"
			}
			return fault
		}
		list = append(list, block.Bell{Sent: p.tok.text[0] == '>', Code: rulebook.Code(p.cache.name(string(code)))})
		end = p.tok.end
		if err := p.advance(); err != nil {
			return err
		}
	}
	p.cache.keepBells(p.line[start:end], list)
	ev.Bells = list
	return nil
}

// Hyphened puts the hyphens into beats typed without, as rulebook.CompactCode reads
// them: <31 as <3-1. Whatever stands in quotes is left alone.
func Hyphened(line string) string {
	var out strings.Builder
	quoted := false
	for i, word := range strings.Split(line, " ") {
		if i > 0 {
			out.WriteByte(' ')
		}
		if code, ok := compactBell(word); ok && !quoted {
			word = word[:1] + code
		}
		if strings.Count(word, `"`)%2 == 1 {
			quoted = !quoted
		}
		out.WriteString(word)
	}
	return out.String()
}

// compactBell is the code of a bell signal typed as digits alone.
func compactBell(word string) (string, bool) {
	if word == "" || !isBell(word) || !allDigits(word[1:]) {
		return "", false
	}
	code, err := rulebook.CompactCode(word[1:])
	return string(code), err == nil
}

// bellSpan is where the bell signals that begin at start end, -1 when there is
// anything unusual among them.
func bellSpan(line string, start int) int {
	end := -1
	for i := start; i < len(line) && (line[i] == '<' || line[i] == '>'); {
		i++
		for i < len(line) && (line[i] >= '0' && line[i] <= '9' || line[i] == '-') {
			i++
		}
		if i < len(line) && byteClass[line[i]] != byteEnd {
			return -1
		}
		end = i
		for i < len(line) && line[i] == ' ' {
			i++
		}
	}
	return end
}

func isBell(s string) bool { return s[0] == '<' || s[0] == '>' }

func allDigits(s string) bool {
	for i := 0; i < len(s); i++ {
		if s[i] < '0' || s[i] > '9' {
			return false
		}
	}
	return s != ""
}
