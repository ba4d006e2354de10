package register

import (
	"errors"
	"fmt"
	"time"

	"fairhand/block"
)

// Limits of what the computer's clock may do without being asked about.
const (
	clockStep = 5 * 60           // seconds that it may go back, or away from what has passed while the program ran
	clockGap  = 8 * 24 * 60 * 60 // seconds after the last entry: a box may be shut for a week
	clockLong = 45 * 24 * 60 * 60
)

// ErrClock is in what Log returns when the computer's clock is in doubt.
var ErrClock = errors.New("is the computer's clock right?")

// ClockError asks whether the computer's clock is right: it has gone back, or much
// further on than the book has.
type ClockError struct {
	Now, Last time.Time // that it reads, and that the last entry was written at by it
	Jumped    bool      // while the program ran; it may have slept
}

// Dates gives both in full, and within a day of one another with how far each is from
// universal time where that is not the same: on the night the clocks go back 01:10 comes
// after 01:50.
func (e *ClockError) Dates(clock string) (now, last string) {
	form := "Monday 2 January 2006 " + clock
	if e.Now.Sub(e.Last).Abs() < 24*time.Hour && e.Now.Format("-07") != e.Last.Format("-07") {
		form += "-07:00"
	}
	return e.Now.Format(form), e.Last.Format(form)
}

const toTheMinute = "15:04"

func (e *ClockError) Error() string {
	now, last := e.Dates(toTheMinute)
	text := fmt.Sprintf("%v It reads %s, and the last entry was written at %s", ErrClock, now, last)
	if e.Jumped {
		text += "; it jumped while the program ran, or the computer slept"
	}
	return text + ". If it is wrong, set it first. If it is right, book that: clock right"
}

// Is makes errors.Is(err, ErrClock) true.
func (e *ClockError) Is(target error) bool { return target == ErrClock }

// ClockDoubt is the question that the computer's clock raises; nil for none.
func (b *Book) ClockDoubt() *ClockError {
	now, last := b.now(), b.lastRecorded()
	if last == 0 {
		return nil
	}
	e := &ClockError{Now: now.In(b.Location()), Last: time.Unix(last, 0).In(b.Location())}
	wall, passed := now.Round(0).Sub(b.seen.Round(0)), now.Sub(b.seen) // Round takes the reading away that goes on evenly
	e.Jumped = !b.seen.IsZero() && (wall-passed).Abs() > clockStep*time.Second
	if at := now.Unix(); e.Jumped || at < last-clockStep || at > last+clockGap {
		return e
	}
	return nil
}

// ClockIsRight books that the computer's clock is right, when it is in doubt. Where
// it was set, or was wrong before, the time of the book goes on from what it reads:
// what was written by it before spoils nothing that follows. Where only time has
// passed nothing else changes.
func (b *Book) ClockIsRight() error {
	doubt := b.ClockDoubt()
	if doubt == nil {
		return nil
	}
	now := doubt.Now.Unix()
	reads, wrote := doubt.Dates(toTheMinute)
	ev := block.Event{Kind: block.ClockConfirmed, At: block.Time(now),
		Text: fmt.Sprintf("it reads %s; the entry before was written at %s by the same clock", reads, wrote)}
	last, back := doubt.Last.Unix(), int64(b.state.ClockBack)
	if doubt.Jumped || now < last || now-last > clockLong && last < back && back <= now {
		ev.Kind = block.ClockSet
	}
	_, err := b.write(ev, now)
	return err
}
