package audit

import (
	"slices"

	"fairhand/block"
	"fairhand/register/calendar"
	"fairhand/register/reading"
)

// Each is handed, one by one, what a Report counts and of which it keeps the most
// telling: for whoever keeps all of it. What is nil is not called; what is handed
// over is good until the call returns. All of it is of the days asked for, in the
// order of reading.
type Each struct {
	Entry   func(w *Worked)
	Finding func(turn int64, f *Finding)         // of the turn that an entry began; also one that stands no more
	Turn    func(turn int64, t *Turn)            // when it is over; its findings come by Finding
	Train   func(t *block.Train, onHand bool)    // when its row is closed, or still on hand at the end
	Hour    func(line block.BoxLine, h HourUsed) // an hour of a line comes again where a late entry adds to it
}

// Worked is an entry with who wrote it.
type Worked struct {
	Entry  *reading.Entry
	Turn   int64          // the entry that began the turn
	Person string         // empty for nobody signed on
	State  *block.State   // after it
	Box    *block.Box     // in force then
	Late   block.Time     // from the moment to the writing, as Keeping counts it
	Trains []*block.Train // that it concerned, as they stand now

	// Of an entry by which somebody signed: the days it says were examined, as Signed
	// takes them, as far as they were written by an entry. 0 for others, and for one that
	// does not fit the register.
	ExaminedFrom, ExaminedTo calendar.Day
	ExaminedHead             int64
}

// HourUsed is how long a line was occupied in one hour of the clock.
type HourUsed struct {
	Day     calendar.Day
	Hour    int        // as the clock shows its beginning
	From    block.Time // its beginning
	Seconds int64
}

func (e *Each) entry(a *auditor, en *reading.Entry, d *duty, st *block.State) {
	if e.Entry != nil {
		w := Worked{Entry: en, Turn: d.id, Person: d.Name, State: st, Box: a.run.Box(), Late: a.keep.when(en, copied(en, st)) - block.Time(en.At),
			Trains: slices.Collect(st.Concerned())}
		if en.Event.Kind == block.Sign {
			w.ExaminedFrom, w.ExaminedTo, w.ExaminedHead = a.signed.covered(en.Event.Seq)
		}
		e.Entry(&w)
	}
	if e.Train != nil {
		for _, t := range st.Closed {
			e.Train(t, false)
		}
	}
}

// rest hands over the trains on hand at the end.
func (e *Each) rest(st *block.State) {
	if e.Train != nil {
		for _, t := range st.Trains {
			e.Train(t, true)
		}
	}
}
