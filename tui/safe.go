package tui

import (
	"strings"
	"unicode"
)

// safe makes any text of the book fit to be drawn: what would move the cursor,
// change colours, turn the direction of writing or draw nothing is shown as a
// mark, and a line end as a slash. Square brackets and the like need no care:
// nothing drawn here is read for markup.
func safe(s string) string {
	if !strings.ContainsFunc(s, unsafeRune) {
		return s
	}
	var b strings.Builder
	for _, r := range s {
		switch {
		case r == '\n':
			b.WriteString(" / ")
		case r == '\t':
			b.WriteByte(' ')
		case unsafeRune(r):
			b.WriteRune(unicode.ReplacementChar)
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// unsafeRune tells control and format characters, line and paragraph
// separators, surrogates and private use.
func unsafeRune(r rune) bool {
	if r >= ' ' && r < 0x7f { // nearly every letter drawn
		return false
	}
	return unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp, unicode.Cs, unicode.Co)
}
