package notation

import (
	"strings"
	"unicode"
)

// Word writes a name so that it is one field of a line: with spaces or signs it is
// quoted as in the notation, and - stands for none.
func Word(name string) string {
	if name == "" {
		return "-"
	}
	bare := name != "-" && !strings.ContainsFunc(name, func(r rune) bool {
		return unicode.IsSpace(r) || r == '"' || r == '\\' || r == '#' || r == ';'
	})
	if bare {
		return name
	}
	return Quoted(name)
}

// Quoted puts a name or a text in quotes and leaves what stands in it to whoever reads it.
func Quoted(text string) string { return `"` + escape.Replace(text) + `"` }

// Words cuts a line into its words, a name in quotation marks being one. The error is
// an *Error.
func Words(line string) ([]string, error) {
	s := scanner{line: line}
	for words := []string(nil); ; words = append(words, s.tok.text) {
		switch err := s.advance(); {
		case err != nil:
			return nil, err
		case s.tok.kind == tokenEnd && s.pos < len(line):
			return nil, &Error{Column: s.pos + 1, Problem: "a sign that ends the line; a name that has it is \"quoted\""}
		case s.tok.kind == tokenEnd:
			return words, nil
		}
	}
}
