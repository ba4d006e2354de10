package notation

import (
	"fmt"
	"time"

	"fairhand/block"
)

// Stored reads the lines of a register, whose moments are kept beside them. It
// is not for use by several goroutines.
type Stored struct {
	line  timeline
	parse parser
}

// NewStored reads lines whose clock times are those of loc.
func NewStored(loc *time.Location) *Stored {
	return &Stored{line: timeline{zone: newZone(loc)}, parse: parser{cache: new(cache), times: true}}
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
	*ev = block.Event{}
	local, _ := s.line.zone.wall(int64(at))
	s.line.setDate(local - floorMod(local, day))
	s.line.prev, s.line.any = at, true
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
	return nil
}
