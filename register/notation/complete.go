package notation

import (
	"slices"
	"strings"
	"unicode/utf8"

	"fairhand/block"
)

// Names are the names the desk knows, for completion only: the notation
// accepts any others.
type Names struct {
	Sections  []string
	Lines     []string
	Trains    []string
	Places    []string
	Crossings []string
	People    []string
	Gear      []string // signals, levers, points, instruments
	Gangs     []string // parties on a line
	Parties   []string // who messages go to and come from
	Tokens    []string // token numbers
	Codes     []CodeName
}

// CodeName is a bell code and what it means in the rule set of the box.
type CodeName struct {
	Beats string
	Means string
}

// Suggestion is something that may stand next in a line.
type Suggestion struct {
	Text string // as it is written; empty for a slot whose values are not known
	Says string // what it is
	Line string // the line with Text in the place of the word half typed
}

// Complete tells what may come next in a half-typed line: the word that touches
// the end is taken as the beginning of the next one. There is nothing to
// suggest after a mistake.
func Complete(line string, names Names) []Suggestion {
	start, ok := partial(line)
	if !ok {
		return nil
	}
	p := parser{scanner: scanner{line: line[:start]}, times: true}
	if !p.upToEnd() {
		return nil
	}
	c := completion{line: line[:start], typed: line[start:], where: p.where, names: &names}
	c.typed, c.quoted = strings.CutPrefix(c.typed, `"`)
	c.addWords()
	for _, s := range p.where.slots() {
		c.addSlot(s)
	}
	return c.list
}

// partial is where the word begins that touches the end of the line.
func partial(line string) (start int, ok bool) {
	s := scanner{line: line}
	for {
		err := s.advance()
		switch {
		case err != nil:
			// An open quote is a name half typed; anything else is a mistake.
			at := byteAt(line, err.Column)
			return at, at < len(line) && line[at] == '"' && (at == 0 || byteClass[line[at-1]] == byteEnd) &&
				!strings.Contains(line[at+1:], `"`)
		case s.tok.kind != tokenEnd && s.tok.end == len(line):
			return s.tok.start, true
		case s.tok.kind == tokenEnd && !s.segmentDone():
			return len(line), true
		}
	}
}

// byteAt is the byte of the line at which a column begins.
func byteAt(line string, column int) int {
	i := 0
	for ; column > 1 && i < len(line); column-- {
		_, n := utf8.DecodeRuneInString(line[i:])
		i += n
	}
	return i
}

// upToEnd parses the line and tells whether it is right as far as it goes, so
// that p.where is what may follow.
func (p *parser) upToEnd() bool {
	for {
		var ev block.Event
		_, err := p.segment(&ev, nil)
		if p.tok.kind != tokenEnd || err != nil && err.Expected == "" {
			return false
		}
		if p.tok.start == len(p.line) {
			return true
		}
		if err != nil || !p.segmentDone() { // unfinished before a semicolon; or a comment
			return false
		}
	}
}

// completion gathers the suggestions for one line.
type completion struct {
	line   string // before the word half typed
	typed  string // the word half typed, without its quote
	quoted bool
	where  where
	names  *Names
	list   []Suggestion
}

func (c *completion) add(text, says string) {
	c.list = append(c.list, Suggestion{Text: text, Says: says, Line: c.line + text})
}

// begins tells whether text continues what is typed, in capitals or not.
func (c *completion) begins(text string) bool {
	return len(text) >= len(c.typed) && strings.EqualFold(text[:len(c.typed)], c.typed)
}

// addWords suggests the words of the table.
func (c *completion) addWords() {
	if c.quoted {
		return
	}
	for _, w := range c.where.words(true) {
		if c.begins(w) {
			c.add(w, c.saysOf(w))
		}
	}
	if c.where.node == compiled().root && c.begins(wordDate) {
		c.add(wordDate, "the date of the entries after it")
	}
}

// saysOf is the help for a word: of its form, or of what follows it.
func (c *completion) saysOf(word string) string {
	if word == wordWritten {
		return "when it was written, if later"
	}
	if n := c.where.node; n != nil {
		for _, e := range n.words {
			if e.word == word {
				return e.says
			}
		}
	}
	if r := c.where.rule; r != nil {
		for _, t := range r.tail {
			if t.word == word || slices.Contains(t.slot.words, word) {
				return t.slot.noun
			}
		}
	}
	return ""
}

// addSlot suggests the names known for a slot, or tells what belongs there.
func (c *completion) addSlot(s *slot) {
	if s.value == valueChoice {
		return // its words are suggested already
	}
	if s.value == valueBells {
		c.addBells()
		return
	}
	reserved := c.where.reserved
	if c.where.node != nil {
		reserved = c.where.node.reserved
	}
	known := []string(nil)
	if s.names != nil {
		known = s.names(c.names)
	}
	for _, name := range known {
		if !c.begins(name) {
			continue
		}
		if s.value != valueName {
			c.add(name, s.noun)
			continue
		}
		c.add(string(appendName(nil, name, reserved, c.where.node == compiled().root)), s.noun)
	}
	if len(known) == 0 && c.typed == "" {
		c.list = append(c.list, Suggestion{Says: s.noun, Line: c.line})
	}
}

// addBells suggests the two directions, and after one the codes.
func (c *completion) addBells() {
	if c.quoted {
		return
	}
	if c.typed == "" {
		c.add("<", "bell signal received")
		c.add(">", "bell signal sent")
		return
	}
	if !isBell(c.typed) {
		return
	}
	for _, code := range c.names.Codes {
		if text := c.typed[:1] + code.Beats; c.begins(text) {
			c.add(text, code.Means)
		}
	}
}
