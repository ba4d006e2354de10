package tui

import (
	"errors"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/store"
)

// book is what the desk needs of a register; a *register.Book has it.
type book interface {
	Box() *block.Box
	State() *block.State
	Recent() []register.Entry
	Now() block.Time
	Parse(line string) ([]block.Event, error)
	Preview(ev block.Event) (block.State, []block.Finding)
	Log(ev block.Event) (register.Entry, error)
	Store() *store.Store
}

// clerk does what update asks for and says how it went.
type clerk struct {
	book book
	base sight // box and zone
	now  func() block.Time
}

// look is a fresh look at the book.
func (c *clerk) look() seen {
	s := c.base
	s.state, s.day, s.now = c.book.State(), c.book.Recent(), c.now()
	present := *s.state // what is regular depends on the time, not only on the last entry's
	present.Now = max(present.Now, s.now)
	s.next = block.Expected(s.box, &present)
	s.due = block.Due(s.box, s.state, s.now+dueAhead)
	return seen{s}
}

// run runs a command. What it gives is to be passed to update, before a fresh look.
func (c *clerk) run(do cmd) msg {
	if do.do != write {
		return nil
	}
	events := do.events
	if do.line != "" {
		var err error
		if events, err = c.book.Parse(do.line); err != nil {
			return unread{err}
		}
	}
	if !do.sure {
		if danger := c.danger(events); len(danger) > 0 {
			return held{events, danger}
		}
	}
	return c.write(events)
}

// danger is what would be found of danger if the events were written.
func (c *clerk) danger(events []block.Event) []block.Finding {
	var danger []block.Finding
	var state block.State
	for i, ev := range events {
		var found []block.Finding
		if i == 0 {
			state, found = c.book.Preview(ev)
		} else {
			ev.Seq = state.LastSeq + 1
			state, found = block.Apply(c.base.box, state, &ev)
		}
		for _, f := range found {
			if f.Severity == block.Danger {
				danger = append(danger, f)
			}
		}
	}
	return danger
}

func (c *clerk) write(events []block.Event) wrote {
	w := wrote{of: len(events)}
	for _, ev := range events {
		tail := c.book.Store().Tail().Seq
		e, err := c.book.Log(ev)
		if err != nil {
			w.err = err
			w.behind = errors.Is(err, store.ErrConflict)
			w.onDisk = !w.behind && c.book.Store().Tail().Seq > tail
			return w
		}
		w.entries = append(w.entries, e)
	}
	return w
}
