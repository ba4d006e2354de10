package tui

import (
	"github.com/gdamore/tcell/v2"

	"fairhand/block/rulebook"
)

// role says what a piece of text is; the theme says how that looks. No meaning
// hangs on a role alone: each has a word, a letter or a sign beside it.
type role uint8

// The roles.
const (
	plain  role = iota
	dim         // what is there every day
	strong      // what is read from across the room
	head        // headings
	keycap      // a key to press
	joy         // written
	care        // irregular, late, unusual
	peril       // danger
	struck      // corrected
	chosen      // the selected row
	cursor
	roleCount
)

// glyphs are the marks a screen is drawn with.
type glyphs struct {
	rule, wall, joinLeft, joinRight       string
	normal, offered, given, taken, barred string // a line by its state
	toRight, toLeft                       string
	more, none                            string
}

var (
	lineGlyphs  = glyphs{"─", "│", "┤", "├", "─", "·", "┄", "═", "╳", "→", "←", "…", "–"}
	asciiGlyphs = glyphs{"-", "|", "|", "|", "-", ":", ".", "=", "x", ">", "<", "~", "-"}
)

// theme is how the desk looks.
type theme struct {
	style [roleCount]tcell.Style
	glyphs
}

// The looks of the desk: colours where the terminal has them, high contrast, no
// colours, and plain, which has reverse alone.
const (
	Auto     = "auto"
	Contrast = "contrast"
	Never    = "never"
	Plain    = "plain"
)

// Looks are all of them, the usual one first.
var Looks = []string{Auto, Contrast, Never, Plain}

// newTheme makes the theme. The terminal's own colours are the ground, dark or light, which
// nobody here knows: yellow or green letters cannot be read on white, so that a colour is a
// ground with ink of its own, and only what is to be seen has one. Without colour only bold,
// dim, reverse, underline and strike-through are used. High contrast has a ground of its own
// and nothing dim; plain has what every terminal can show.
func newTheme(ascii bool, look string) theme {
	d := tcell.StyleDefault
	t := theme{glyphs: lineGlyphs}
	if ascii {
		t.glyphs = asciiGlyphs
	}
	t.style = [roleCount]tcell.Style{
		plain: d, dim: d.Dim(true), strong: d.Bold(true), head: d.Bold(true).Underline(true),
		keycap: d.Reverse(true), joy: d.Bold(true), care: d.Bold(true), peril: d.Bold(true).Reverse(true),
		struck: d.StrikeThrough(true).Dim(true), chosen: d.Reverse(true), cursor: d.Reverse(true),
	}
	switch look {
	case Never:
	case Plain:
		for i := range t.style {
			_, _, attr := t.style[i].Decompose()
			t.style[i] = d.Reverse(attr&tcell.AttrReverse != 0)
		}
	case Contrast:
		ground := d.Foreground(tcell.ColorWhite).Background(tcell.ColorBlack)
		for i := range t.style {
			t.style[i] = ground.Bold(true)
		}
		t.style[plain], t.style[dim] = ground, ground
		t.style[head] = ground.Bold(true).Underline(true)
		t.style[struck] = ground.StrikeThrough(true)
		t.style[care] = t.style[care].Foreground(tcell.ColorYellow)
		t.style[peril] = d.Foreground(tcell.ColorBlack).Background(tcell.ColorYellow).Bold(true)
		for _, r := range []role{keycap, chosen, cursor} {
			t.style[r] = d.Foreground(tcell.ColorBlack).Background(tcell.ColorWhite).Bold(true)
		}
	default:
		t.style[head] = d.Bold(true)
		t.style[care] = d.Foreground(tcell.ColorBlack).Background(tcell.ColorOlive)
		t.style[peril] = d.Foreground(tcell.ColorWhite).Background(tcell.ColorMaroon).Bold(true)
	}
	return t
}

// The sign and the word of each severity: they, not the colour, carry the meaning.
var (
	severitySigns = [...]string{"- ", "! ", "!!"}
	severityWords = [...]string{"advice", "Irregular", "DANGER"}
	severityRoles = [...]role{dim, care, peril}
	gradeRoles    = [...]role{plain, joy, care, peril}
)

func severityWord(s rulebook.Severity) string { return severityWords[s] }
