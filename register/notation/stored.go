package notation

import (
	"fmt"
	"hash/maphash"
	"strings"
	"time"

	"fairhand/block"
)

// Stored reads the lines of a register, whose moments are kept beside them. It
// is not for use by several goroutines.
type Stored struct {
	line  timeline
	parse parser
	read  readBefore
}

// NewStored reads lines whose clock times are those of loc.
func NewStored(loc *time.Location) *Stored {
	return &Stored{line: timeline{zone: newZone(loc)}, parse: parser{cache: new(cache), times: true}, read: readBefore{seed: maphash.MakeSeed()}}
}

// Event is Read into an event of its own.
func (s *Stored) Event(at block.Time, line string) (block.Event, error) {
	var ev block.Event
	if err := s.Read(&ev, at, line); err != nil {
		return block.Event{}, err
	}
	return ev, nil
}

// Read reads one stored line of the moment at into ev. A line whose own clock time
// says another moment is an error: one of the two was altered. The event's Bells
// are shared and must not be changed.
func (s *Stored) Read(ev *block.Event, at block.Time, line string) error {
	s.line.setEntry(at)
	if s.again(ev, line) && ev.At == at && hasYear(at) {
		return nil
	}
	*ev = block.Event{}
	s.parse.line = line
	s.parse.pos, s.parse.tok = 0, token{}
	some, err := s.parse.segment(ev, &s.line)
	if err != nil {
		return err
	}
	if !some || s.parse.pos < len(line) {
		return &Error{Column: 1, Problem: "a stored line is one entry"}
	}
	if ev.At != at {
		return &Error{Column: 1, Problem: fmt.Sprintf("the line says another moment than the record beside it (%d seconds apart): one of them was altered, or this computer knows other rules for the clock of the box", ev.At-at)}
	}
	s.read.keep(ev, line)
	return nil
}

// again reads a line of which all but its time was read before, and says whether it was.
func (s *Stored) again(ev *block.Event, line string) bool {
	word, rest, _ := strings.Cut(line, " ")
	kept := s.read.at(rest)
	if *kept == nil || (*kept).rest != rest {
		return false
	}
	c, ok := parseClock(word)
	if !ok {
		return false
	}
	at, problem := s.line.entry(c)
	*ev = (*kept).event
	ev.At = at
	return problem == ""
}

// readBefore keeps what lines were read as, by all of them but the time: the trains of a
// day come again the next, and the signals without a name come all day. It never grows: a
// newcomer takes the place of an older one.
type readBefore struct {
	seed  maphash.Seed
	lines [4096]*readLine
}

type readLine struct {
	rest  string // what follows the time
	event block.Event
}

func (r *readBefore) at(rest string) **readLine {
	return &r.lines[maphash.String(r.seed, rest)%uint64(len(r.lines))]
}

// keep remembers a line, unless it is long, and seldom comes again, or says when it was written.
func (r *readBefore) keep(ev *block.Event, line string) {
	_, rest, _ := strings.Cut(line, " ")
	if len(rest) > 100 || strings.Contains(rest, wordWritten) {
		return
	}
	place := r.at(rest)
	if *place == nil {
		*place = new(readLine)
	}
	**place = readLine{strings.Clone(rest), *ev}
}
