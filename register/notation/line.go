package notation

import (
	"strings"
	"time"

	"fairhand/block"
)

// ParseLine reads a line given at the desk or on a command line at the moment
// now: none, one or several entries. The time of an entry may be left out and
// is then now. A clock time means the latest such moment that is not more than
// ten minutes after now, so 23:58 typed at 00:05 is yesterday; :MM is taken
// within the hour in the same way. A date directive before a semicolon makes
// what follows it an entry of a book, with the rules of the package comment.
// The error is an *Error, and there are no events with it.
func ParseLine(loc *time.Location, now block.Time, line string) ([]block.Event, error) {
	t := timeline{zone: newZone(loc), live: true, lax: true, now: now}
	return parseLine(&t, line)
}

// ParseCorrection reads the text of a block.Correct entry: the entry that
// stands instead of the one of the moment at. It is on the same date unless it
// begins with another (2026-10-24), and at the same moment when it gives no time. The error is an *Error whose column
// counts within the text.
func ParseCorrection(loc *time.Location, at block.Time, text string) (block.Event, error) {
	t := timeline{zone: newZone(loc), now: at}
	t.setEntry(at)
	if err := checkInstead(text); err != nil {
		return block.Event{}, err
	}
	date, entry := cutDate(text)
	if date != "" {
		wall, _ := parseDate(date)
		at += block.Time(wall - t.day)
		t.setDate(wall)
		t.now, t.prev, t.any, t.given = at, at, true, true
	}
	t.lax = true
	evs, err := parseLine(&t, entry)
	if err != nil {
		return block.Event{}, err
	}
	return evs[0], nil
}

// cutDate takes the date off the beginning of a correction.
func cutDate(text string) (date, entry string) {
	date, entry, ok := strings.Cut(text, " ")
	if _, is := parseDate(date); !ok || !is {
		return "", text
	}
	return date, entry
}

// checkInstead is checkEntry of a line that stands instead of another.
func checkInstead(text string) *Error {
	date, entry := cutDate(text)
	err := checkEntry(entry)
	if err != nil && date != "" {
		err.Column += len(date) + 1
	}
	return err
}

func parseLine(t *timeline, line string) (evs []block.Event, _ error) {
	p := parser{scanner: scanner{line: strings.TrimRight(line, "\r\n")}, times: true}
	for {
		var ev block.Event
		some, err := p.segment(&ev, t)
		if err != nil {
			return nil, err
		}
		if some {
			evs = append(evs, ev)
		}
		if !p.segmentDone() {
			return evs, nil
		}
	}
}

// segment reads what stands up to the next semicolon: an entry, a date, or
// nothing. It tells whether it was an entry. Without a timeline the times are
// only checked for their form.
func (p *parser) segment(ev *block.Event, t *timeline) (some bool, _ *Error) {
	p.where = where{node: compiled().root}
	if err := p.advance(); err != nil || p.tok.kind == tokenEnd {
		return false, err
	}
	if p.isWord(wordDate) {
		return false, p.date(t)
	}
	return true, p.entry(ev, t)
}

// date reads the rest of a date line.
func (p *parser) date(t *timeline) *Error {
	p.where = where{slot: &dateSlot}
	if err := p.advance(); err != nil {
		return err
	}
	wall, ok := parseDate(p.tok.text)
	if !ok {
		return p.unexpected()
	}
	if t != nil {
		t.setDate(wall)
	}
	p.where = where{}
	if err := p.advance(); err != nil {
		return err
	}
	if p.tok.kind != tokenEnd {
		return &Error{Column: column(p.line, p.tok.start), Expected: "the end of the line after the date", Got: p.found()}
	}
	return nil
}

// The times and dates of a line have slots for their errors only.
var (
	dateSlot  = slot{noun: "a date such as 2026-05-05", value: valueNumber}
	clockSlot = slot{noun: "a time such as 10:41", value: valueNumber}
)

// entry reads an entry with its times from the current token on.
func (p *parser) entry(ev *block.Event, t *timeline) *Error {
	if err := p.clock(ev, t); err != nil {
		return err
	}
	start := p.tok.start
	if err := p.body(ev); err != nil {
		return err
	}
	written := p.isWord(wordWritten)
	if written {
		if err := p.written(ev, t); err != nil {
			return err
		}
	}
	if p.tok.kind != tokenEnd {
		return &Error{Column: column(p.line, p.tok.start), Expected: "the end of the entry", Got: p.found()}
	}
	if t == nil {
		return nil
	}
	if !hasYear(ev.At) || !hasYear(ev.Written) {
		return p.problem(start, "the date is outside the years 1 to 9999")
	}
	if problem := t.step(ev.At, written); problem != "" {
		return p.problem(start, problem)
	}
	return nil
}

// clock reads the time before an entry.
func (p *parser) clock(ev *block.Event, t *timeline) *Error {
	given := p.tok.kind == tokenWord && looksLikeClock(p.tok.text)
	if !given && t == nil {
		return nil
	}
	if !given && t.lax {
		ev.At = t.now
		return nil
	}
	c, ok := parseClock(p.tok.text)
	if !given || !ok {
		p.where = where{slot: &clockSlot}
		return p.unexpected()
	}
	if t != nil {
		at, problem := t.entry(c)
		if problem != "" {
			return p.problem(p.tok.start, problem)
		}
		ev.At = at
	}
	return p.advance()
}

// written reads the word `written` and what follows it.
func (p *parser) written(ev *block.Event, t *timeline) *Error {
	p.where = where{slot: &clockSlot}
	if err := p.advance(); err != nil {
		return err
	}
	at := p.tok.start
	date, dated := parseDate(p.tok.text)
	if dated {
		if err := p.advance(); err != nil {
			return err
		}
	}
	c, ok := parseClock(p.tok.text)
	if p.tok.kind != tokenWord || !ok || c.noHour {
		return p.unexpected()
	}
	if t != nil {
		problem := ""
		if dated {
			ev.Written, problem = t.on(date, c)
		} else {
			ev.At, ev.Written, problem = t.written(ev.At, c)
		}
		if problem != "" {
			return p.problem(at, problem)
		}
	}
	p.where = where{}
	return p.advance()
}
