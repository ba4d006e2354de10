package notation

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// tokenKind is what a token is.
type tokenKind uint8

const (
	tokenEnd    tokenKind = iota // end of the line, a semicolon or a comment
	tokenWord                    // bare
	tokenQuoted                  // text is what stood between the quotes
)

// token is one word or quoted text of a line.
type token struct {
	kind       tokenKind
	start, end int // bytes of the line, quotes included
	text       string
}

// How a byte behaves in a bare word.
const (
	byteWord    uint8 = iota // part of the word
	byteEnd                  // ends it
	byteRefused              // may not stand there
	byteWide                 // begins or continues a character beyond ASCII
)

var byteClass = func() (class [256]uint8) {
	for b := range class {
		switch {
		case b == ' ' || b == '\t' || b == ';':
			class[b] = byteEnd
		case b < ' ' || b == '"' || b == 0x7f:
			class[b] = byteRefused
		case b > 0x7f:
			class[b] = byteWide
		}
	}
	return class
}()

// scanner cuts one line into tokens.
type scanner struct {
	line string
	pos  int   // after tok
	tok  token // the token being looked at
	last token // the one before it in the same entry
}

// advance reads the next token into tok.
func (s *scanner) advance() *Error {
	s.last = s.tok
	i := s.pos
	for i < len(s.line) && (s.line[i] == ' ' || s.line[i] == '\t') {
		i++
	}
	if i == len(s.line) || s.line[i] == ';' || s.line[i] == '#' {
		s.tok, s.pos = token{kind: tokenEnd, start: i, end: i}, i
		return nil
	}
	if s.line[i] == '"' {
		return s.quoted(i)
	}
	start := i
	for i < len(s.line) {
		c := byteClass[s.line[i]]
		if c == byteEnd {
			break
		}
		switch c {
		case byteRefused:
			return s.refuse(i)
		case byteWide:
			r, n := utf8.DecodeRuneInString(s.line[i:])
			if r == utf8.RuneError && n == 1 || !unicode.IsGraphic(r) || unicode.IsSpace(r) {
				return s.refuse(i)
			}
			i += n - 1
		}
		i++
	}
	s.tok, s.pos = token{kind: tokenWord, start: start, end: i, text: s.line[start:i]}, i
	return nil
}

// quoted reads a quoted token that begins at start.
func (s *scanner) quoted(start int) *Error {
	i, escaped := start+1, false
	for ; i < len(s.line) && s.line[i] != '"'; i++ {
		switch c := s.line[i]; {
		case c == '\\':
			if i+1 == len(s.line) || !strings.ContainsRune(`"\n`, rune(s.line[i+1])) {
				return s.problem(i, `a backslash in quotes stands only in \", \\ and \n; write \\ for a backslash`)
			}
			i++
			escaped = true
		case c >= 0x80:
			r, n := utf8.DecodeRuneInString(s.line[i:])
			if r == utf8.RuneError && n == 1 || unicode.IsControl(r) {
				return s.refuse(i)
			}
			i += n - 1
		case c < ' ' || c == 0x7f:
			return s.refuse(i)
		}
	}
	if i == len(s.line) {
		return s.problem(start, "the quote that opens here is never closed")
	}
	text := s.line[start+1 : i]
	i++
	if i < len(s.line) && byteClass[s.line[i]] != byteEnd {
		return s.problem(i, `a closing quote must be followed by a space; write \" for a quote inside quotes`)
	}
	if text == "" {
		return s.problem(start, "there is nothing between the quotes")
	}
	if escaped {
		text = unescape.Replace(text)
	}
	s.tok, s.pos = token{kind: tokenQuoted, start: start, end: i, text: text}, i
	return nil
}

var (
	escape   = strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\n", `\n`)
	unescape = strings.NewReplacer(`\\`, `\`, `\"`, `"`, `\n`, "\n")
)

// refuse is the error for the character at byte i.
func (s *scanner) refuse(i int) *Error {
	r, n := utf8.DecodeRuneInString(s.line[i:])
	switch {
	case r == utf8.RuneError && n == 1:
		return s.problem(i, fmt.Sprintf("byte 0x%02x is not UTF-8 text; save the file as UTF-8", s.line[i]))
	case r == '"':
		return s.problem(i, "a quote may only begin a word; put a space before it, or quote the whole name")
	case unicode.IsControl(r):
		return s.problem(i, fmt.Sprintf("control character U+%04X cannot stand in a book", r))
	}
	return s.problem(i, fmt.Sprintf("character U+%04X cannot stand outside quotes", r))
}

func (s *scanner) problem(at int, problem string) *Error {
	return &Error{Column: column(s.line, at), Problem: problem}
}

// segmentDone moves past a semicolon; more is false at the end of the line.
func (s *scanner) segmentDone() (more bool) {
	s.tok = token{}
	if s.pos < len(s.line) && s.line[s.pos] == ';' {
		s.pos++
		return true
	}
	s.pos = len(s.line)
	return false
}
