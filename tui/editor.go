package tui

import (
	"strconv"
	"strings"
	"unicode"
)

// editor is one line of text being typed, with its cursor before the rune at.
type editor struct {
	text []rune
	at   int
}

func edited(s string) editor { r := []rune(s); return editor{r, len(r)} }

func (e editor) String() string { return string(e.text) }

func (e editor) empty() bool { return strings.TrimSpace(string(e.text)) == "" }

// put inserts text at the cursor; line ends and tabs become spaces and other
// control characters are left out, because the book refuses them.
func (e editor) put(s string) editor {
	var clean []rune
	for _, r := range s {
		switch {
		case r == '\n' || r == '\t':
			clean = append(clean, ' ')
		case !unicode.IsControl(r) && r != unicode.ReplacementChar:
			clean = append(clean, r)
		}
	}
	text := append(append(append([]rune{}, e.text[:e.at]...), clean...), e.text[e.at:]...)
	return editor{text, e.at + len(clean)}
}

// do moves the cursor or deletes.
func (e editor) do(a doer) editor {
	from, to := e.at, e.at
	switch a {
	case doLeft:
		e.at = max(0, e.at-1)
	case doRight:
		e.at = min(len(e.text), e.at+1)
	case doHome:
		e.at = 0
	case doEnd:
		e.at = len(e.text)
	case doRub:
		from = max(0, e.at-1)
	case doDelete:
		to = min(len(e.text), e.at+1)
	case doRubWord:
		for from > 0 && e.text[from-1] == ' ' {
			from--
		}
		for from > 0 && e.text[from-1] != ' ' {
			from--
		}
	case doRubAll:
		from = 0
	}
	if from == to {
		return e
	}
	return editor{append(append([]rune{}, e.text[:from]...), e.text[to:]...), from}
}

func itoa(n int) string { return strconv.Itoa(n) }
