package notation

import (
	"slices"
	"strconv"
	"time"
	"unicode"
	"unicode/utf8"

	"fairhand/block"
)

// Format writes an entry as one line, with its clock time in loc but without its
// date. Call Check first when the event was not read by this package: what
// the notation has no place for is left out, and characters that it refuses are
// written as U+FFFD.
func Format(ev block.Event, loc *time.Location) string {
	t := timeline{zone: newZone(loc)}
	return string(t.append(nil, &ev))
}

// FormatBody writes an entry without its times.
func FormatBody(ev block.Event) string { return string(appendBody(nil, &ev)) }

// Writer writes the entries of a book with the date lines between them, so
// that a Reader gives the same entries back.
type Writer struct {
	line timeline
}

// NewWriter writes times as clock times of loc.
func NewWriter(loc *time.Location) *Writer {
	return &Writer{line: timeline{zone: newZone(loc)}}
}

// Append appends the line of an entry and its newline, and before it a date
// line where the reader needs one.
func (w *Writer) Append(dst []byte, ev block.Event) []byte {
	t := &w.line
	wall, _ := t.zone.wall(int64(ev.At))
	if date := midnight(wall); !t.dated || date != t.day || t.any && ev.Written == 0 && ev.At < t.prev-jumpOK {
		t.setDate(date)
		dst = append(appendDate(append(append(dst, wordDate...), ' '), date), '\n')
	}
	t.prev, t.any = ev.At, true
	return append(t.append(dst, &ev), '\n')
}

// append appends an entry with its times.
func (t *timeline) append(dst []byte, ev *block.Event) []byte {
	dst = append(t.appendMoment(dst, ev.At), ' ')
	dst = appendBody(dst, ev)
	if ev.Written == 0 {
		return dst
	}
	dst = append(append(append(dst, ' '), wordWritten...), ' ')
	start := len(dst)
	dst = t.appendMoment(dst, ev.Written)
	c, _ := parseClock(string(dst[start:]))
	wall, _ := t.zone.wall(int64(ev.Written))
	if first, _ := t.after(ev.At, c); first == ev.Written && !(t.dated && wall >= t.day+day) { // below an early entry it would be the day before
		return dst
	}
	dst = append(appendDate(dst[:start], wall), ' ')
	return t.appendMoment(dst, ev.Written)
}

// appendMoment appends a clock time, with its offset when the clock shows it twice.
func (t *timeline) appendMoment(dst []byte, at block.Time) []byte {
	wall, offset := t.zone.wall(int64(at))
	dst = appendClock(dst, wall)
	if _, n := t.zone.moments(wall); n == 2 {
		dst = appendOffset(dst, offset)
	}
	return dst
}

func appendClock(dst []byte, wall int64) []byte {
	s := floorMod(wall, day)
	dst = append(appendTwo(dst, s/hour), ':')
	dst = appendTwo(dst, s/60%60)
	if s%60 != 0 {
		dst = appendTwo(append(dst, ':'), s%60)
	}
	return dst
}

func appendOffset(dst []byte, offset int) []byte {
	sign := byte('+')
	if offset < 0 {
		sign, offset = '-', -offset
	}
	dst = appendTwo(append(dst, sign), int64(offset)/hour)
	return appendTwo(append(dst, ':'), int64(offset)/60%60)
}

func appendTwo(dst []byte, n int64) []byte { return append(dst, '0'+byte(n/10), '0'+byte(n%10)) }

func appendDate(dst []byte, wall int64) []byte {
	return time.Unix(wall, 0).UTC().AppendFormat(dst, time.DateOnly)
}

// appendBody walks the rule of the kind and writes what it finds in ev.
func appendBody(dst []byte, ev *block.Event) []byte {
	g := compiled()
	if int(ev.Kind) >= len(g.rules) || g.rules[ev.Kind] == nil {
		return dst
	}
	r := g.rules[ev.Kind]
	for i, e := range r.head {
		if i > 0 {
			dst = append(dst, ' ')
		}
		if e.slot == nil {
			dst = append(dst, e.word...)
			continue
		}
		dst = e.slot.append(dst, ev, e.at.reserved, e.at == g.root)
	}
	for _, t := range r.tail {
		if !t.slot.given(ev) {
			continue
		}
		dst = append(dst, ' ')
		if t.word != "" {
			dst = append(append(dst, t.word...), ' ')
		}
		dst = t.slot.append(dst, ev, r.reserved, false)
	}
	return dst
}

// append appends the value of the slot.
func (s *slot) append(dst []byte, ev *block.Event, reserved []string, first bool) []byte {
	switch s.value {
	case valueName:
		return appendName(dst, *s.field.text(ev), reserved, first)
	case valueText:
		return appendQuoted(dst, *s.field.text(ev))
	case valueDigits:
		return append(dst, *s.field.text(ev)...)
	case valueChoice:
		return append(dst, s.field.choice(ev)...)
	case valueSpan:
		return strconv.AppendInt(append(strconv.AppendInt(dst, int64(ev.Number), 10), '-'), int64(ev.Other), 10)
	case valueBells:
		for i, b := range ev.Bells {
			if i > 0 {
				dst = append(dst, ' ')
			}
			way := byte('<')
			if b.Sent {
				way = '>'
			}
			dst = append(append(dst, way), b.Code...)
		}
		return dst
	}
	return strconv.AppendInt(dst, s.field.number(ev), 10)
}

// appendName appends a name where the reserved words could come after it; first
// says that it begins the entry.
func appendName(dst []byte, name string, reserved []string, first bool) []byte {
	if !bareName(name) || slices.Contains(reserved, name) || first && compiled().root.after(name) != nil {
		return appendQuoted(dst, name)
	}
	return append(dst, name...)
}

// bareName tells whether a name reads back without quotes wherever it is not a
// reserved word. It asks for a little more than the reader does.
func bareName(s string) bool {
	for i := 0; i < len(s); i++ {
		switch c := s[i]; {
		case c >= utf8.RuneSelf:
			return bareWide(s)
		case byteClass[c] != byteWord || c == '#' || c == '\\' || c == ':' || c == '<' || c == '>':
			return false
		}
	}
	return s != ""
}

// bareWide is bareName for a name with characters beyond ASCII.
func bareWide(s string) bool {
	for _, r := range s {
		if r < utf8.RuneSelf {
			if !bareName(string(r)) {
				return false
			}
		} else if !unicode.IsLetter(r) && !unicode.IsMark(r) && !unicode.IsDigit(r) {
			return false
		}
	}
	return utf8.ValidString(s)
}

func appendQuoted(dst []byte, s string) []byte {
	dst = append(dst, '"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			dst = append(dst, '\\', byte(r))
		case r == '\n':
			dst = append(dst, `\n`...)
		case unicode.IsControl(r):
			dst = utf8.AppendRune(dst, utf8.RuneError)
		default:
			dst = utf8.AppendRune(dst, r)
		}
	}
	return append(dst, '"')
}
