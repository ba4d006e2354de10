package reading

import (
	"cmp"
	"time"

	"fairhand/block"
	"fairhand/register/calendar"
	"fairhand/register/each"
	"fairhand/register/store"
)

// Entry is one entry of a book as it stands.
type Entry struct {
	// Row is what a register keeps. Of a book in notation it has the number in
	// the book, counted from 1, the moments and the day, and neither line nor
	// writer nor hashes.
	store.Row

	Place       int          // line of a book in notation, from 1
	Event       block.Event  // as it stands: the corrected event when CorrectedBy is set
	first       *block.Event // as first written; nil for one that stands so
	CorrectedBy int64        // number of the entry that corrects it, 0 for none
	Corrects    *Correction  // what an entry that corrects another does; nil for others
	Remarks     []Remark     // entries that explain it, also those written later
	Before      []Version    // as it stood before each of its corrections, oldest first

	Mark any // what a reader sets before Replay.Ordered, for himself after it

	// Set by Replay.Ordered.
	Nth     int64      // its turn in the order of reading, from 1
	Odd     bool       // its time does not follow that of the entry above it
	Early   bool       // so it is read before entries that stand above it in the book
	Slip    bool       // so, and it does not say that it was written late
	Others  int        // how many next to it are so with it, and are told of with it; -1 where it is one of them
	Relief  string     // who had signed on since its time, and was to write
	Redated bool       // its date was corrected, to one too far from where it stands to be read there
	As      block.Time // a slip of the pen, read as if it gave this time; 0 for its own
}

// Written is the entry as first written.
func (e *Entry) Written() *block.Event { return cmp.Or(e.first, &e.Event) }

// ExplainedBy is the numbers of the entries that explain it.
func (e *Entry) ExplainedBy() []int64 {
	return each.Of(e.Remarks, func(r Remark) int64 { return r.Seq })
}

// Begins says whether the entry ends the day that the book was in and begins its
// own: a later one, or any other to which the clock was set.
func (e *Entry) Begins(day calendar.Day) bool {
	return !e.Odd && (e.Day > day || e.Day != day && e.Event.Kind == block.ClockSet)
}

// Version is an entry as it stood until an entry corrected it.
type Version struct {
	Event block.Event
	Until int64 // number of that entry
}

// Remark is an entry that explains what was found about another.
type Remark struct {
	Seq  int64
	At   block.Time
	Text string
}

// WrittenAt is when an event was written: at once, unless it says otherwise.
// Published books lie before 1970, where a moment is less than none.
func WrittenAt(ev *block.Event) block.Time {
	if ev.Written == 0 {
		return ev.At
	}
	return max(ev.At, ev.Written)
}

// days gives register days one after another, most of which are the same.
type days struct {
	loc      *time.Location
	from, to block.Time // of the day last given
	day      calendar.Day
}

func (d *days) of(at block.Time) calendar.Day {
	if at < d.from || at >= d.to {
		d.day = calendar.Of(at, d.loc)
		d.from = block.Time(d.day.Midnight(d.loc).Unix())
		d.to = block.Time(d.day.Add(1).Midnight(d.loc).Unix())
	}
	return d.day
}
