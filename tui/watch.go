package tui

import (
	"context"
	"time"

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

// standingNotices are those alarms, before everything else.
func standingNotices(m *model) []notice {
	var out []notice
	for _, a := range m.amiss {
		out = append(out, notice{peril, a.String()})
	}
	return out
}

// proveBehind proves the whole register while the desk is worked at, which stands on
// what was proved at its opening; what is found is an alarm from then on. The channel
// is closed when the goroutine has ended.
func proveBehind(ctx context.Context, w *watch.Watch) <-chan struct{} {
	done := make(chan struct{})
	if w == nil {
		close(done)
		return done
	}
	go func() {
		defer close(done)
		_ = w.Prove(ctx) // it ends with the desk; damage is an alarm
	}()
	return done
}
