package notation

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"fairhand/register/each"
	"fairhand/register/near"
)

// Error is a line that cannot be read. Either Expected and Got, or Problem,
// says what is wrong.
type Error struct {
	Line     int    // number of the line in the book, from 1; 0 for a single line
	Column   int    // where on the line, in characters, from 1
	Expected string // what could have stood there
	Got      string // what stood there
	Problem  string // what is wrong, when it is not about one word for another
	Hint     string // what was perhaps meant or to be done, "" for nothing
}

// Error is one line such as
//
//	line 12, column 27: expected a place name after "at", found "complete"
func (e *Error) Error() string {
	var b strings.Builder
	if e.Line > 0 {
		fmt.Fprintf(&b, "line %d, ", e.Line)
	}
	fmt.Fprintf(&b, "column %d: %s", e.Column, e.Message())
	return b.String()
}

// Message is the error without its place.
func (e *Error) Message() string {
	text := e.Problem
	if text == "" {
		text = fmt.Sprintf("expected %s, found %s", e.Expected, e.Got)
	}
	if e.Hint != "" {
		text += " (" + e.Hint + ")"
	}
	return text
}

// Errors are the errors of a whole book, in the order of its lines.
type Errors []*Error

// Error is every error on a line of its own.
func (e Errors) Error() string {
	return each.Joined(e, "\n", (*Error).Error)
}

// Unwrap gives the errors to errors.Is and errors.As.
func (e Errors) Unwrap() []error {
	return each.Of(e, func(one *Error) error { return one })
}

// column is the column, in characters from 1, of a byte of the line.
func column(line string, at int) int {
	return utf8.RuneCountInString(line[:min(at, len(line))]) + 1
}

// orList joins words to "a, b or c".
func orList(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " or " + words[last]
}

// Nearest is the name that got was probably meant to be, whatever its capitals; ""
// when none is near.
func Nearest(got string, names []string) string {
	small := each.Of(names, strings.ToLower)
	if word := nearest(got, small); word != "" {
		return names[slices.Index(small, word)]
	}
	return ""
}

// nearest is the word that got was probably meant to be, "" when none is near:
// one slip in a short word, two in a longer one.
func nearest(got string, words []string) string {
	got = strings.ToLower(got)
	best, bestSlips := "", 3
	for _, w := range words {
		allowed := 2
		if len(w) < 5 {
			allowed = 1
		}
		if len(w) < 2 || len(got) > len(w)+2 {
			continue
		}
		if n := near.Slips(got, w); n <= allowed && n < bestSlips {
			best, bestSlips = w, n
		}
	}
	return best
}
