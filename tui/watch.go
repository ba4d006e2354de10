package tui

import (
	"context"
	"time"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/sheet"
	"fairhand/register/watch"
)

// What is wrong with the register itself stands among the notices until it is
// right again: entries are written all the same.

// standing are the alarms of the register at the moment.
func (c *clerk) standing() []sheet.Alarm {
	if c.watch == nil {
		return nil
	}
	return c.watch.Look(time.Unix(int64(c.now()), 0))
}

// watched does what follows for the watch from an entry that was written: the end of a
// turn asks for a copy.
func (c *clerk) watched(e *register.Entry) {
	if c.watch != nil && e.Event.Kind == block.DutyOff {
		c.watch.Copy()
	}
}

// tell writes what the watch has to tell into the book.
func (c *clerk) tell() {
	if c.watch == nil {
		return
	}
	for _, ev := range c.watch.Untold(c.now()) {
		_, _ = c.book.Log(ev) // the alarm stands in any case
	}
}

// watchBehind proves the whole register while the desk is worked at, which stands on
// what was proved at its opening, and makes the copies that are asked for; what is
// found is an alarm from then on. The channel is closed when the goroutine has ended.
func watchBehind(ctx context.Context, w *watch.Watch) <-chan struct{} {
	done := make(chan struct{})
	if w == nil {
		close(done)
		return done
	}
	go func() {
		defer close(done)
		w.Run(ctx)
	}()
	return done
}
