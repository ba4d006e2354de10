package store

import (
	"crypto/sha256"
	"fmt"
	"slices"
	"strconv"
	"unicode"
	"unicode/utf8"

	"fairhand/register/calendar"
)

// The bytes that are hashed
//
// An entry is sealed by SHA-256 over these bytes, LF being 0x0A and SP 0x20:
//
//	fairhand entry 1 LF
//	hash of the entry before, 64 lower-case hex digits LF
//	seq SP at SP recorded SP day LF        decimal, no leading zeros, '-' if negative
//	writer LF
//	line LF
//
// The hash "before" entry 1, genesis, seals the heading of the register:
//
//	fairhand register 1 LF
//	railway LF box LF zone LF
//	created LF                             decimal
//
// and where the description of the box is kept (file version 2):
//
//	fairhand register 2 LF
//	railway LF box LF zone LF
//	created LF
//	SHA-256 of the description LF          64 lower-case hex digits
//
// It is text so that fifty years on the chain can be checked with an SQLite
// tool and sha256sum alone; TestChainWithOutsideTools does. No field may hold
// a control character, so LF ends each field and no two entries share bytes.
//
// How it may grow:
//
//  1. These bytes never change for entries already written. The tag on the
//     first line is part of the hash.
//  2. A new field means a new tag ("fairhand entry 2"), the field as a new line
//     at the end, and a new column that is NULL in older rows: a row with NULL
//     there is sealed by the older tag. fileVersion goes up by one, so that an
//     older program refuses the file by name (ErrTooNew) and never guesses.
//  3. A column is never dropped, renamed, or given another meaning or unit.
//  4. A change of the line's own grammar belongs to the book notation, not here.
const (
	entryTag   = "fairhand entry 1\n"
	headingTag = "fairhand register 1\n"
	headingTwo = "fairhand register 2\n"
)

// Limits of one entry. A line is what a person writes in one row of a book;
// the bound keeps a runaway import from filling memory.
const (
	maxText = 200             // bytes of a writer's name, a railway, a box, a zone
	maxLine = 16_384          // bytes of a line
	maxTime = 253_402_300_799 // Unix seconds at the end of year 9999
)

// Hash is a SHA-256 value.
type Hash [sha256.Size]byte

// String is the hash in lower-case hex, as printed in footers.
func (h Hash) String() string { return string(h.appendTo(nil)) }

// appendTo appends the hash in lower-case hex. It is done for every entry that is proved:
// hex.AppendEncode, digit by digit, would cost twice as much.
func (h *Hash) appendTo(text []byte) []byte {
	text = slices.Grow(text, 2*len(h))
	for _, b := range h {
		text = append(text, digits[b][0], digits[b][1])
	}
	return text
}

// digits are those of each byte.
var digits = func() (of [256][2]byte) {
	const hex = "0123456789abcdef"
	for b := range of {
		of[b] = [2]byte{hex[b>>4], hex[b&15]}
	}
	return of
}()

// Digest is the SHA-256 of a text in lower-case hex.
func Digest(text string) string { return Hash(sha256.Sum256([]byte(text))).String() }

// Row is one entry as kept.
type Row struct {
	Seq      int64        // 1, 2, 3 ...
	At       int64        // when it happened, Unix seconds UTC
	Recorded int64        // when it was written, Unix seconds UTC, by this machine's clock
	Day      calendar.Day // register day, yyyymmdd, local date of the box
	Writer   string       // who wrote it; empty if nobody was on duty
	Line     string       // one line of the book notation
	Prev     Hash         // hash of the entry before
	Hash     Hash         // seal over all of the above
}

// Intact reports whether the row's hash is the seal of its other fields.
func (r *Row) Intact() bool { return r.seal() == r.Hash }

func (r *Row) seal() Hash {
	var stack [512]byte
	return sha256.Sum256(appendEntry(stack[:0], r))
}

// appendEntry appends the bytes that are hashed.
func appendEntry(b []byte, r *Row) []byte {
	b = append(r.Prev.appendTo(append(b, entryTag...)), '\n')
	for i, n := range [...]int64{r.Seq, r.At, r.Recorded, int64(r.Day)} {
		if i > 0 {
			b = append(b, ' ')
		}
		b = strconv.AppendInt(b, n, 10)
	}
	b = append(b, '\n')
	b = append(b, r.Writer...)
	b = append(b, '\n')
	b = append(b, r.Line...)
	return append(b, '\n')
}

// Meta is the heading of a register: whose it is. It never changes.
type Meta struct {
	Railway string
	Box     string
	Zone    string // the box's time zone, such as Europe/London; kept, not interpreted
	Created int64  // Unix seconds UTC

	// Description is that of the box when the register was made, word for word; ""
	// in a register that was made without.
	Description string
}

// Genesis is the hash that stands before entry 1.
func (m Meta) Genesis() Hash {
	b := []byte(headingTag)
	fields := []string{m.Railway, m.Box, m.Zone, strconv.FormatInt(m.Created, 10)}
	if m.Description != "" {
		b = []byte(headingTwo)
		fields = append(fields, Digest(m.Description))
	}
	for _, s := range fields {
		b = append(b, s...)
		b = append(b, '\n')
	}
	return sha256.Sum256(b)
}

func (m Meta) check() error {
	for _, f := range []struct{ name, text string }{
		{"railway", m.Railway}, {"box", m.Box}, {"time zone", m.Zone},
	} {
		if err := checkText(f.name, f.text, maxText); err != nil {
			return err
		}
	}
	return nil
}

// Draft is an entry that has no number yet.
type Draft struct {
	At       int64        // when it happened, Unix seconds UTC
	Recorded int64        // when it is written, Unix seconds UTC
	Day      calendar.Day // register day, yyyymmdd, local date of the box
	Writer   string       // who writes it
	Line     string       // one line of the book notation
}

func (d Draft) check() error {
	if d.Writer != "" { // a box that nobody works still has a register
		if err := checkText("writer", d.Writer, maxText); err != nil {
			return err
		}
	}
	if err := checkText("line", d.Line, maxLine); err != nil {
		return err
	}
	for _, t := range [...]int64{d.At, d.Recorded} {
		if t < -maxTime || t > maxTime {
			return &Error{Kind: ErrDraft, Doing: fmt.Sprintf("time %d", t), Advice: "times are Unix seconds"}
		}
	}
	month, day := d.Day/100%100, d.Day%100
	if d.Day < 18000101 || d.Day > 99991231 || month < 1 || month > 12 || day < 1 || day > 31 {
		return &Error{Kind: ErrDraft, Doing: fmt.Sprintf("day %d", d.Day), Advice: "a register day is written yyyymmdd"}
	}
	return nil
}

// checkText holds the rule that makes the encoding unambiguous: UTF-8, one
// line, no control characters.
func checkText(name, s string, limit int) error {
	problem := ""
	switch {
	case s == "":
		problem = "is empty"
	case len(s) > limit:
		problem = fmt.Sprintf("is longer than %d bytes", limit)
	case printable(s):
	case !utf8.ValidString(s):
		problem = "is not UTF-8 text"
	default:
		for _, c := range s {
			if unicode.IsControl(c) {
				problem = fmt.Sprintf("holds the control character %U", c)
				break
			}
		}
	}
	if problem == "" {
		return nil
	}
	return &Error{Kind: ErrDraft, Doing: name + " " + problem, Advice: "give one line of plain text"}
}

// printable says whether a text is of printable ASCII alone, as nearly every line is.
func printable(s string) bool {
	for i := range len(s) {
		if s[i] < ' ' || s[i] > '~' {
			return false
		}
	}
	return true
}
