package notation

import (
	"fmt"
	"slices"
	"unicode"
	"unicode/utf8"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// The notation writes years of four digits, in whatever zone.
const (
	firstMoment block.Time = -62135596800 + day // 0001-01-02 00:00:00 UTC
	lastMoment  block.Time = 253402300799 - day // 9999-12-30 23:59:59 UTC
)

func hasYear(t block.Time) bool { return t >= firstMoment && t <= lastMoment }

// Check tells whether the notation can hold an event: whether Format writes a
// line that reads back as the same event. It judges the form, never whether
// the entry is right. The error names the field.
func Check(ev block.Event) error {
	rules := compiled().rules
	if int(ev.Kind) >= len(rules) || rules[ev.Kind] == nil {
		return fmt.Errorf("an entry of kind %d has no form in the notation; see fairhand help notation", ev.Kind)
	}
	r := rules[ev.Kind]
	for _, t := range []block.Time{ev.At, ev.Written} {
		if !hasYear(t) {
			return r.wrong("the time %d is outside the years 1 to 9999", t)
		}
	}
	for f := range fieldCount {
		if r.fields&(1<<f) == 0 && f.set(&ev) {
			return r.wrong("%s has no place in it", fieldNames[f])
		}
	}
	for _, e := range r.head {
		if e.slot == nil {
			continue
		}
		if e.slot.value != valueNumber && !e.slot.given(&ev) {
			return r.wrong("%s is missing", fieldNames[e.slot.field])
		}
		if err := e.slot.check(&ev, r, false); err != nil {
			return err
		}
	}
	for i, t := range r.tail {
		if i > 0 && t.quoted() && t.slot.given(&ev) && r.tail[0].quoted() && !r.tail[0].slot.given(&ev) {
			return r.wrong("%s would be read as %s, which is missing", fieldNames[t.slot.field], fieldNames[r.tail[0].slot.field])
		}
		if err := t.slot.check(&ev, r, true); err != nil {
			return err
		}
	}
	return nil
}

func (r *rule) wrong(format string, args ...any) error {
	return fmt.Errorf("entry %q: %s", r.Pattern, fmt.Sprintf(format, args...))
}

// set tells whether a field that the kind does not have holds something.
func (f field) set(ev *block.Event) bool {
	switch f {
	case fieldNumber, fieldOther, fieldTarget:
		return f.number(ev) != 0
	case fieldBells:
		return len(ev.Bells) > 0
	case fieldProof, fieldFar, fieldLarge:
		return f.choice(ev) != ""
	}
	return *f.text(ev) != ""
}

// check is the test of one slot, which may be optional and then not given.
func (s *slot) check(ev *block.Event, r *rule, optional bool) error {
	name := fieldNames[s.field]
	switch s.value {
	case valueNumber:
		n := s.field.number(ev)
		absent := optional && (n == 0 || s.field == fieldOther && n == -1)
		if !absent && (n < s.least || n > maxNumber) {
			return r.wrong("%s is %d; it must be from %d to %d", name, n, s.least, maxNumber)
		}
	case valueSpan:
		if n := min(ev.Number, ev.Other); n < 0 || int64(max(ev.Number, ev.Other)) > maxNumber {
			return r.wrong("%d-%d is not %s", ev.Number, ev.Other, s.noun)
		}
	case valueBells:
		for _, b := range ev.Bells {
			if _, err := rulebook.ParseSignal(string(b.Code)); err != nil {
				return r.wrong("%v", err)
			}
		}
	case valueChoice:
		if w := s.field.choice(ev); w != "" && !slices.Contains(s.words, w) {
			return r.wrong("%s is %q; it must be %s", name, w, orList(s.words))
		}
	case valueDigits:
		if w := *s.field.text(ev); w != "" && !allDigits(w) {
			return r.wrong("%s is %q; it must be digits", name, w)
		}
	default:
		return s.checkText(*s.field.text(ev), r)
	}
	return nil
}

// checkText tests the characters of a name or text.
func (s *slot) checkText(text string, r *rule) error {
	name := fieldNames[s.field]
	if !utf8.ValidString(text) {
		return r.wrong("%s is not UTF-8 text: %q", name, text)
	}
	for _, c := range text {
		if unicode.IsControl(c) && (c != '\n' || s.value != valueText) {
			return r.wrong("%s has control character U+%04X in it: %q", name, c, text)
		}
	}
	if r.Kind == block.Correct {
		if err := checkInstead(text); err != nil {
			return r.wrong("the line that is to stand instead cannot be read: %v", err)
		}
	}
	return nil
}
