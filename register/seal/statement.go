package seal

import (
	"encoding/hex"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"fairhand/register/calendar"
	"fairhand/register/store"
)

// statementTag is the first line of a statement. Another form of the lines after
// it means another tag.
const statementTag = "fairhand seal 1"

// statementTwo is that of a statement that names the description of the box.
const statementTwo = "fairhand seal 2"

const stampForm = "2006-01-02T15:04:05Z"

// Statement is what a seal says: these entries of this register ended in this
// hash. The hash of the last entry covers all entries before it and the heading
// of the register.
type Statement struct {
	Railway string // may be empty
	Box     string
	First   int64        // number of the first entry the seal is about, such as the first of the turn
	Last    int64        // number of the last
	Hash    store.Hash   // of the last
	Day     calendar.Day // local date of the box
	At      time.Time    // when it was sealed; whole seconds, kept in UTC

	// Description is the SHA-256, in hex, of the description of the box in force at the
	// last entry; "" where the register keeps none.
	Description string
}

// Of makes the statement about a register from entry first to its head.
func Of(meta store.Meta, first int64, head store.Tail, day calendar.Day, at time.Time) Statement {
	return Statement{
		Railway: meta.Railway, Box: meta.Box, First: first, Last: head.Seq, Hash: head.Hash,
		Day: day, At: at.UTC().Truncate(time.Second),
	}
}

// Text is the statement as it is signed: lines ending in LF, a line without a
// value left out. The error names the field that cannot be written.
func (s Statement) Text() (string, error) {
	if err := s.check(); err != nil {
		return "", fmt.Errorf("the statement to be sealed: %w", err)
	}
	text := statementTag + "\n"
	if s.Description != "" {
		text = statementTwo + "\n"
	}
	for _, line := range [...][2]string{
		{"railway", s.Railway}, {"box", s.Box}, {"entries", fmt.Sprintf("%d to %d", s.First, s.Last)}, {"hash", s.Hash.String()},
		{"description", s.Description}, {"day", s.Day.String()}, {"sealed", s.At.UTC().Format(stampForm)},
	} {
		if line[1] != "" {
			text += line[0] + ": " + line[1] + "\n"
		}
	}
	return text, nil
}

func (s Statement) check() error {
	for _, f := range [...]struct{ name, value string }{{"railway", s.Railway}, {"box", s.Box}} {
		if !utf8.ValidString(f.value) || strings.ContainsFunc(f.value, unicode.IsControl) || strings.TrimSpace(f.value) != f.value {
			return fmt.Errorf("%s %q: it must be text without control characters or blanks at its ends", f.name, f.value)
		}
	}
	switch {
	case s.Box == "":
		return errors.New("box: the name of the box is missing")
	case s.First < 1 || s.Last < s.First:
		return fmt.Errorf("entries %d to %d: an empty register cannot be sealed", s.First, s.Last)
	case s.At.Nanosecond() != 0:
		return errors.New("sealed: the time must be in whole seconds")
	case s.At.Year() < 1 || s.At.UTC().Year() > 9999:
		return errors.New("sealed: the year must have four digits")
	}
	if _, err := calendar.Parse(s.Day.String()); err != nil {
		return fmt.Errorf("day %d: it must be a date as the number yyyymmdd", s.Day)
	}
	return nil
}

// ParseStatement reads what Text wrote, and nothing else: the text made again
// from what was read must be the same, byte for byte.
func ParseStatement(text string) (Statement, error) {
	var s Statement
	lines := strings.Split(text, "\n")
	if lines[0] != statementTag && lines[0] != statementTwo {
		return s, fmt.Errorf("not a seal of this version: its first line is %q and should be %q", firstOf(lines[0]), statementTag)
	}
	for _, line := range lines[1:] {
		if line == "" {
			continue
		}
		if err := s.take(line); err != nil {
			return Statement{}, fmt.Errorf("the seal's line %q: %w", firstOf(line), err)
		}
	}
	again, err := s.Text()
	if err != nil {
		return Statement{}, err
	}
	if again != text {
		return Statement{}, errors.New("the seal is not as it was written: its lines, their order or their ends were changed")
	}
	return s, nil
}

func (s *Statement) take(line string) (err error) {
	key, value, _ := strings.Cut(line, ": ")
	switch key {
	case "railway":
		s.Railway = value
	case "box":
		s.Box = value
	case "entries":
		first, last, _ := strings.Cut(value, " to ")
		if s.First, err = strconv.ParseInt(first, 10, 64); err == nil {
			s.Last, err = strconv.ParseInt(last, 10, 64)
		}
	case "hash":
		var raw []byte
		if raw, err = hex.DecodeString(value); err == nil && copy(s.Hash[:], raw) != len(s.Hash) {
			err = errors.New("a hash has 64 digits")
		}
	case "description":
		if s.Description = value; len(value) != 2*len(s.Hash) || strings.Trim(value, "0123456789abcdef") != "" {
			err = errors.New("a SHA-256 has 64 digits")
		}
	case "day":
		s.Day, err = calendar.Parse(value)
	case "sealed":
		s.At, err = time.Parse(stampForm, value)
	default:
		err = errors.New("no such line in a seal")
	}
	return err
}

// firstOf shortens text of unknown origin for an error.
func firstOf(s string) string {
	if len(s) > 60 {
		return s[:60] + "..."
	}
	return s
}
