// Package measure says how much room text takes where every letter stands in a
// cell of its own: on a screen and on a page printed in one width of type. Its unit
// is the cell: a Chinese letter takes two, an accent none, a Devanagari vowel sign one
// beside its letter and none above or below it (Unicode annexes 11 and 29).
package measure

import (
	"iter"
	"strings"

	"github.com/rivo/uniseg"
)

// Width is the number of cells a text takes.
func Width(s string) int {
	for i := range len(s) {
		if !printable(s[i]) {
			return uniseg.StringWidth(s)
		}
	}
	return len(s)
}

// printable says whether a byte is a letter of one cell by itself, unless what follows joins
// it: nearly all that a register holds, told without the tables of Unicode.
func printable(c byte) bool { return c >= ' ' && c <= '~' }

// Widest is the width of the widest of some texts.
func Widest(texts ...string) int {
	w := 0
	for _, s := range texts {
		w = max(w, Width(s))
	}
	return w
}

// Letters goes through a text by what a reader calls letters, each with its cells.
func Letters(s string) iter.Seq2[string, int] {
	return func(yield func(string, int) bool) {
		rest, state := s, -1
		for len(rest) > 0 {
			if printable(rest[0]) && (len(rest) == 1 || printable(rest[1])) {
				if !yield(rest[:1], 1) {
					return
				}
				rest, state = rest[1:], -1
				continue
			}
			var letter string
			var cells int
			letter, rest, cells, state = uniseg.FirstGraphemeClusterInString(rest, state)
			if !yield(letter, cells) {
				return
			}
		}
	}
}

// Clip is the longest beginning of a text that takes at most so many cells.
func Clip(s string, cells int) string {
	n := 0
	for letter, w := range Letters(s) {
		if cells -= w; cells < 0 {
			break
		}
		n += len(letter)
	}
	return s[:n]
}

// Short is the text, or as much of it as fits before a mark that there is more.
func Short(s string, cells int, more string) string {
	if Width(s) <= cells {
		return s
	}
	return Clip(s, cells-Width(more)) + more
}

// Pad fills a text with blanks after it; one that is too wide stays as it is.
func Pad(s string, cells int) string { return s + blanks(cells-Width(s)) }

// PadLeft fills a text with blanks before it.
func PadLeft(s string, cells int) string { return blanks(cells-Width(s)) + s }

func blanks(n int) string { return strings.Repeat(" ", max(n, 0)) }

// oneLine turns what would begin a new line, or jump, into blanks.
var oneLine = strings.NewReplacer("\n", " ", "\t", " ", "\r", " ")

// Wrap breaks a text into lines, the first of so many cells and each other of rest.
// A break takes the place of one blank, so nothing else of the text changes; a word
// that is wider has a line of its own. There is at least one line.
func Wrap(s string, first, rest int) []string {
	var lines []string
	line, used, room := "", 0, first
	for i, word := range strings.Split(oneLine.Replace(s), " ") {
		w := Width(word)
		switch {
		case i == 0:
			line, used = word, w
		case used+1+w <= room:
			line, used = line+" "+word, used+1+w
		default:
			lines = append(lines, line)
			line, used, room = word, w, rest
		}
	}
	return append(lines, line)
}

// Hang is Wrap to one width, with the lines after the first moved in by so many cells.
func Hang(s string, cells, in int) []string {
	lines := Wrap(s, cells, cells-in)
	for i := range lines[1:] {
		lines[i+1] = blanks(in) + lines[i+1]
	}
	return lines
}

// Fit breaks a text into lines none of which takes more than so many cells: a wider
// word is divided as well, runs of blanks become one. No text gives no line.
func Fit(s string, cells int) []string {
	var words []string
	for _, word := range strings.Fields(s) {
		for Width(word) > cells {
			part := Clip(word, cells)
			if part == "" {
				break // not one letter fits
			}
			words, word = append(words, part), word[len(part):]
		}
		words = append(words, word)
	}
	if len(words) == 0 {
		return nil
	}
	return Wrap(strings.Join(words, " "), cells, cells)
}

// Table puts rows of cells into columns, two blanks apart, each as wide as its
// widest cell; lines do not end in blanks.
func Table(rows [][]string) []string {
	var widths []int
	for _, r := range rows {
		for i, c := range r {
			if i == len(widths) {
				widths = append(widths, 0)
			}
			widths[i] = max(widths[i], Width(c))
		}
	}
	lines := make([]string, len(rows))
	for n, r := range rows {
		for i, c := range r {
			lines[n] += Pad(c, widths[i]+2)
		}
		lines[n] = strings.TrimRight(lines[n], " ")
	}
	return lines
}
