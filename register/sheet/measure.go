package sheet

import (
	"strings"

	"github.com/rivo/uniseg"
)

// Width is how many columns of type a text takes.
func Width(s string) int { return uniseg.StringWidth(s) }

// Pad fills a text with blanks behind it.
func Pad(s string, width int) string { return s + strings.Repeat(" ", max(width-Width(s), 0)) }

// PadLeft fills a text with blanks before it.
func PadLeft(s string, width int) string { return strings.Repeat(" ", max(width-Width(s), 0)) + s }

// Clip is the longest beginning of a text that takes at most so many columns.
func Clip(s string, width int) string {
	rest, state, n := s, -1, 0
	for len(rest) > 0 {
		var cluster string
		var w int
		cluster, rest, w, state = uniseg.FirstGraphemeClusterInString(rest, state)
		if width -= w; width < 0 {
			break
		}
		n += len(cluster)
	}
	return s[:n]
}

// Wrap breaks a text into lines, the first of at most so many columns and each
// other of at most rest. A break takes the place of one space, so nothing else of
// the text changes; a word that is longer has a line of its own.
func Wrap(s string, first, rest int) []string {
	var lines []string
	line, used, room := "", 0, first
	for i, w := range strings.Split(strings.NewReplacer("\n", " ", "\t", " ", "\r", " ").Replace(s), " ") {
		n := Width(w)
		switch {
		case i == 0:
			line, used = w, n
		case used+1+n <= room:
			line, used = line+" "+w, used+1+n
		default:
			lines = append(lines, line)
			line, used, room = w, n, rest
		}
	}
	return append(lines, line)
}
