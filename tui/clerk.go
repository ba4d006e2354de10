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
	LoadDay(day int32) (*register.Day, error)
	DayOf(at block.Time) int32
}

// clerk does what update asks for and says how it went.
type clerk struct {
	book book
	base sight // box and zone
	now  func() block.Time

	eve   []register.Entry // the register day before the latest
	eveOf int32            // the latest, when eve was read
}

// look is a fresh look at the book.
func (c *clerk) look() seen {
	s := c.base
	c.readEve()
	s.eve = c.eve
	s.state, s.day, s.now = c.book.State(), c.book.Recent(), c.now()
	present := *s.state // what is regular depends on the time, not only on the last entry's
	present.Now = max(present.Now, s.now)
	s.next = block.Expected(s.box, &present)
	s.due = block.Due(s.box, s.state, s.now+dueAhead)
	return seen{s}
}

// readEve reads the register day before the latest once a day: what was found
// shortly before midnight must not be forgotten after it. A day that cannot be
// read is left out here; the register page says why.
func (c *clerk) readEve() {
	day := c.book.Recent()
	if len(day) == 0 || day[0].Day == c.eveOf {
		return
	}
	c.eve, c.eveOf = nil, day[0].Day
	if f, ok := c.fetch(c.eveOf, -1).(fetched); ok && f.day != nil {
		c.eve = f.day.Entries
	}
}

// run runs a command. What it gives is to be passed to update, before a fresh look.
func (c *clerk) run(do cmd) msg {
	if do.do == fetch {
		return c.fetch(do.date, do.step)
	}
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

// fetch reads a day, or the nearest with entries before or after it. With
// today the page is wanted: the entries the desk has already.
func (c *clerk) fetch(date int32, step int) msg {
	today := c.book.DayOf(c.now())
	days := []int32{date}
	var err error
	switch {
	case step < 0:
		days, err = c.book.Store().Days(0, date-1)
	case step > 0:
		days, err = c.book.Store().Days(date+1, today)
	}
	switch {
	case err != nil:
		return fetched{err: err}
	case len(days) == 0 && step < 0:
		return fetched{err: errors.New("there is no earlier day in the register")}
	case len(days) == 0:
		return fetched{}
	case step < 0:
		date = days[len(days)-1]
	default:
		date = days[0]
	}
	day, err := c.book.LoadDay(date)
	return fetched{day, err}
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
