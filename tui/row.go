package tui

import (
	"slices"
	"strings"

	"github.com/gdamore/tcell/v2"

	"fairhand/register/measure"
)

// span is a piece of a row. Make it with txt, which passes the text through safe.
type span struct {
	text string
	role role
}

func txt(r role, s string) span { return span{safe(s), r} }

// row is one line of the screen.
type row []span

// line makes a row of one piece.
func line(r role, s string) row { return row{txt(r, s)} }

func (r row) add(k role, s string) row { return append(r, txt(k, s)) }

// width is the number of cells the row takes.
func (r row) width() (n int) {
	for _, s := range r {
		n += measure.Width(s.text)
	}
	return n
}

// text is the words of the row.
func (r row) text() (words string) {
	for _, s := range r {
		words += s.text
	}
	return words
}

// fit makes the row exactly w cells wide: cut with a mark, or filled.
func (r row) fit(w int, more string) row {
	if n := r.width(); n <= w {
		return append(r[:len(r):len(r)], span{strings.Repeat(" ", w-n), plain})
	}
	out, left := row{}, w-1
	last := plain
	for _, s := range r {
		cut := measure.Clip(s.text, left)
		out = append(out, span{cut, s.role})
		left -= measure.Width(cut)
		last = s.role
		if cut != s.text {
			break
		}
	}
	return append(out, span{more, last}, span{strings.Repeat(" ", left), plain})
}

// ending is the row with an end that is never cut: the row gives way to it.
func (r row) ending(end row, t *theme, w int) row {
	if room := w - end.width(); r.width() > room && room > 0 {
		r = r.fit(room, t.more)
	}
	return append(r[:len(r):len(r)], end...)
}

// wrapped is the row broken at spaces into rows of at most w cells, those after the
// first moved in: each piece keeps its role.
func (r row) wrapped(w, in int) []row {
	r = r.trimmed()
	if r.width() <= w {
		return []row{r}
	}
	var out []row
	rest := slices.Clone(r)
	for i, l := range divided(measure.Wrap(r.text(), w, w-in), w, w-in) {
		one := row{}
		if i > 0 {
			one = line(plain, strings.Repeat(" ", in))
			if len(rest) > 0 { // the blank that the break takes the place of
				rest[0].text = strings.TrimPrefix(rest[0].text, " ")
			}
		}
		for len(l) > 0 && len(rest) > 0 {
			n := min(len(l), len(rest[0].text))
			one = append(one, span{l[:n], rest[0].role})
			l, rest[0].text = l[n:], rest[0].text[n:]
			if rest[0].text == "" {
				rest = rest[1:]
			}
		}
		out = append(out, one)
	}
	return out
}

// divided are lines of which a word wider than its line, such as the path of a file, goes on in
// the next: nothing of it is cut.
func divided(lines []string, first, rest int) (out []string) {
	room := first
	for _, l := range lines {
		for measure.Width(l) > room {
			part := measure.Clip(l, room)
			if part == "" {
				break // not one letter fits
			}
			out, l, room = append(out, part), l[len(part):], rest
		}
		out, room = append(out, l), rest
	}
	return out
}

// trimmed is the row without blanks at its end.
func (r row) trimmed() row {
	r = slices.Clone(r)
	for n := len(r) - 1; n >= 0; n-- {
		if r[n].role == plain {
			r[n].text = strings.TrimRight(r[n].text, " ")
		}
		if r[n].text != "" {
			return r[:n+1]
		}
	}
	return row{}
}

// marked is the row as the selected one of a list: reversed, with a mark at the
// end so that it does not hang on the colours alone.
func (r row) marked(w int, t *theme) row {
	return r.fit(w-1, t.more).as(chosen).add(chosen, t.toLeft)
}

// as gives every piece of the row one role.
func (r row) as(k role) row {
	out := make(row, len(r))
	for i, s := range r {
		out[i] = span{s.text, k}
	}
	return out
}

// pad fills or cuts text to w cells.
func pad(s string, w int) string { return measure.Pad(measure.Clip(safe(s), w), w) }

// padMarked is pad with a mark where text is cut.
func padMarked(s string, w int, more string) string {
	if measure.Width(safe(s)) > w {
		return pad(measure.Clip(safe(s), w-1)+more, w)
	}
	return pad(s, w)
}

// wrap breaks text into lines of at most w cells, at spaces where it can.
func wrap(s string, w int) []string { return measure.Fit(safe(s), w) }

// paint puts a row on the screen.
func paint(screen tcell.Screen, x, y, w int, r row, t *theme) {
	for _, s := range r {
		for letter, cw := range measure.Letters(s.text) {
			if cw == 0 || w < cw {
				continue
			}
			runes := []rune(letter)
			screen.SetContent(x, y, runes[0], runes[1:], t.style[s.role])
			x, w = x+cw, w-cw
		}
	}
}

// safe makes any text of the book fit to be drawn: what draws nothing, moves the cursor or
// turns the direction of writing is shown as what it is, as everywhere else, and a line
// end as a slash. Square brackets and the like need no care: nothing drawn here is read
// for markup.
func safe(s string) string {
	if strings.ContainsAny(s, "\n\t") {
		s = strings.NewReplacer("\n", " / ", "\t", " ").Replace(s)
	}
	return measure.Visible(s)
}
