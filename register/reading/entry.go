package reading

import (
	"time"

	"fairhand/block"
	"fairhand/register/store"
)

// Entry is one entry of a book as it stands.
type Entry struct {
	// Row is what a register keeps. Of a book in notation it has the number in
	// the book, counted from 1, the moments and the day, and neither line nor
	// writer nor hashes.
	store.Row

	Place       int         // line of a book in notation, from 1
	Event       block.Event // as it stands: the corrected event when CorrectedBy is set
	Written     block.Event // as first written
	CorrectedBy int64       // number of the entry that corrects it, 0 for none
	Corrects    *Correction // what an entry that corrects another does; nil for others
	Remarks     []Remark    // entries that explain it, also those written later
	Before      []Version   // as it stood before each of its corrections, oldest first
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

// DayOf is the register day, yyyymmdd, of a moment by the clock of loc.
func DayOf(at block.Time, loc *time.Location) int32 {
	y, m, d := time.Unix(int64(at), 0).In(loc).Date()
	return int32(y*10000 + int(m)*100 + d)
}

// days gives register days one after another, most of which are the same.
type days struct {
	loc      *time.Location
	from, to block.Time // of the day last given
	day      int32
}

func (d *days) of(at block.Time) int32 {
	if at < d.from || at >= d.to {
		y, m, day := time.Unix(int64(at), 0).In(d.loc).Date()
		d.from = block.Time(time.Date(y, m, day, 0, 0, 0, 0, d.loc).Unix())
		d.to = block.Time(time.Date(y, m, day+1, 0, 0, 0, 0, d.loc).Unix())
		d.day = int32(y*10000 + int(m)*100 + day)
	}
	return d.day
}
