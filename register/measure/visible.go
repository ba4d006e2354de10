package measure

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Hidden says whether a character draws nothing of its own, moves the cursor or turns
// the direction of writing, so that a text with it reads otherwise than it is. Line
// ends and tabs are none of these.
func Hidden(r rune) bool {
	if r < 0x7F {
		return r < ' ' && r != '\n' && r != '\t'
	}
	return unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp, unicode.Co) || r == 0x115F || r == 0x1160 || r == 0x3164 || r == 0xFFA0 // Hangul fillers
}

// joins are the two characters that in some scripts decide how the letters on both
// sides are written (Unicode annex 31): between two such letters they are left.
func joins(before, r, after rune) bool {
	return (r == 0x200C || r == 0x200D) && inJoining(before) && inJoining(after)
}

func inJoining(r rune) bool {
	return r >= 0x0600 && r < 0x1100 && (unicode.IsLetter(r) || unicode.IsMark(r))
}

// Visible shows hidden characters as what they are, by their number: [U+202E]. Bytes
// that are no UTF-8 are shown as \x and their value.
func Visible(s string) string { return shown(s, "[U+%04X]") }

func shown(s, as string) string {
	if !strings.ContainsFunc(s, func(r rune) bool { return r == utf8.RuneError || Hidden(r) }) {
		return s
	}
	var out strings.Builder
	before := rune(0)
	for i, r := range s {
		_, n := utf8.DecodeRuneInString(s[i:])
		after, _ := utf8.DecodeRuneInString(s[i+n:])
		switch {
		case r == utf8.RuneError && n == 1:
			fmt.Fprintf(&out, `\x%02x`, s[i])
		case Hidden(r) && !joins(before, r, after):
			fmt.Fprintf(&out, as, r)
		default:
			out.WriteRune(r)
		}
		before = r
	}
	return out.String()
}

// Screen passes text on to a terminal or a reader, hidden characters made visible.
type Screen struct {
	To   io.Writer
	Raw  bool // passes everything on as it is: for bytes, and for programs
	JSON bool // writes them as JSON writes them in its strings, which changes no value
	Fold int  // cells after which a line goes on below, further in; 0: it does not
	In   int  // cells further in that it goes on; 0: two
	rest []byte
}

// End passes on a last line that has no end.
func (s *Screen) End() error {
	out := s.rest
	s.rest = nil
	_, err := s.To.Write(out)
	return err
}

// folded breaks the lines of a text that are too long at blanks; the lines below begin
// where it does and so many cells further in. A word is never divided, a hash or a path is to
// be copied whole; and so is a line that is a command.
func folded(text string, cells, further int) string {
	var out strings.Builder
	for line := range strings.Lines(text) {
		l := strings.TrimSuffix(line, "\n")
		body := strings.TrimLeft(l, " ")
		if Width(l) <= cells || strings.HasPrefix(body, "fairhand -") {
			out.WriteString(line)
			continue
		}
		in := len(l) - len(body)
		for i, part := range Hang(body, cells-in, further) {
			if i > 0 {
				out.WriteByte('\n')
			}
			out.WriteString(blanks(in) + strings.TrimRight(part, " "))
		}
		out.WriteString(line[len(l):])
	}
	return out.String()
}

// Write passes on what is whole; half a character waits for the other half.
func (s *Screen) Write(b []byte) (int, error) {
	if s.Raw {
		return s.To.Write(b)
	}
	text := append(s.rest, b...)
	end := len(text)
	for back := 1; back < utf8.UTFMax && back <= len(text); back++ {
		if c := text[len(text)-back]; utf8.RuneStart(c) {
			if !utf8.FullRune(text[len(text)-back:]) {
				end = len(text) - back
			}
			break
		}
	}
	if s.Fold > 0 && !s.JSON { // a line is judged when it is whole
		end = bytes.LastIndexByte(text, '\n') + 1
	}
	out := string(text[:end])
	s.rest = append([]byte(nil), text[end:]...)
	if s.JSON {
		out = shownJSON(out)
	} else {
		out = Visible(out)
		if s.Fold > 0 {
			out = folded(out, s.Fold, cmp.Or(s.In, 2))
		}
	}
	if _, err := io.WriteString(s.To, out); err != nil {
		return 0, err
	}
	return len(b), nil
}

func shownJSON(s string) string {
	if !strings.ContainsFunc(s, Hidden) {
		return s
	}
	var out strings.Builder
	for _, r := range s {
		switch {
		case !Hidden(r):
			out.WriteRune(r)
		case r > 0xFFFF:
			r -= 0x10000
			fmt.Fprintf(&out, `\u%04x\u%04x`, 0xD800+r>>10, 0xDC00+r&0x3FF)
		default:
			fmt.Fprintf(&out, `\u%04x`, r)
		}
	}
	return out.String()
}
