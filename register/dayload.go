package register

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"

	"fairhand/block"
	"fairhand/register/calendar"
	"fairhand/register/reading"
	"fairhand/register/store"
)

// ErrNoEntries is returned for a day on which nothing was written.
var ErrNoEntries = errors.New("the register has no entries")

// LoadDay reads one register day with everything that is known by
// now, corrections of later days included. Every entry of the register is proved
// first, and the day is replayed from a state that follows from them (Prove). Of a
// damaged register the day is made from what can be read, with Alarms. For a day
// without entries errors.Is(err, ErrNoEntries) holds.
func (r *Reader) LoadDay(ctx context.Context, day calendar.Day) (*Day, error) {
	d, err := r.loadProved(ctx, day)
	if fault := r.met(err); fault != nil {
		return r.loadDamaged(ctx, day, fault)
	}
	return d, err
}

// LoadDayUpTo is LoadDay of the register as it was when it ended with entry last: what a
// page that names this entry must show.
func (r *Reader) LoadDayUpTo(ctx context.Context, day calendar.Day, last int64) (d *Day, err error) {
	switch tail := r.st.Tail().Seq; {
	case last == tail:
		return r.LoadDay(ctx, day)
	case last > tail || last < 1:
		return nil, fmt.Errorf("%s has entries 1 to %d; there is no entry %d", r.st.Path(), tail, last)
	}
	dir, err := os.MkdirTemp("", "fairhand-up-to")
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(dir)) }()
	path := filepath.Join(dir, RegisterName)
	if _, err := r.st.Volume(ctx, path, last, nil); err != nil {
		return nil, err
	}
	then, err := Look(path, r.File())
	if err != nil {
		return nil, err
	}
	defer then.Close()
	return then.LoadDay(ctx, day)
}

func (r *Reader) loadProved(ctx context.Context, day calendar.Day) (*Day, error) {
	if err := r.Prove(ctx); err != nil { // before the index by day is asked anything
		return nil, err
	}
	rows, err := r.st.Day(day)
	if err != nil {
		return nil, err
	}
	if len(rows) == 0 {
		return nil, fmt.Errorf("%w on %s; fairhand audit lists the days it has", ErrNoEntries, day)
	}
	after, state, err := r.ProvedBefore(ctx, rows[0].Seq)
	if err != nil {
		return nil, err
	}
	d, err := r.loadDay(ctx, day, rows, after, state)
	if err != nil {
		return nil, err
	}
	return d, r.provedTo(ctx, d.Head.Seq)
}

// SketchDay reads a day as LoadDay does, from a state kept in the file: for the
// memory of the desk at its opening, never for anything that is shown as the page
// of that day.
func (r *Reader) SketchDay(ctx context.Context, day calendar.Day) (*Day, error) {
	rows, err := r.st.Day(day)
	if err != nil || len(rows) == 0 {
		return nil, cmp.Or(err, ErrNoEntries)
	}
	var d *Day
	err = r.fromKept(rows[0].Seq, func(after int64, state block.State) (err error) {
		d, err = r.loadDay(ctx, day, rows, after, state)
		return err
	})
	return d, err
}

func (r *Reader) loadDay(ctx context.Context, day calendar.Day, rows []store.Row, after int64, state block.State) (*Day, error) {
	ty := r.tally(day, rows, after, state)
	if err := r.replayDay(ctx, ty, reading.Span{After: after}); err != nil {
		return nil, err
	}
	if err := r.later(ty); err != nil {
		return nil, err
	}
	return ty.finish(), nil
}

// tally begins to gather a day of which these are the entries, from the state after
// an entry.
func (r *Reader) tally(day calendar.Day, rows []store.Row, after int64, state block.State) *tally {
	last := rows[len(rows)-1]
	ty := newTally(r.BoxAt(after), r.Location(), day, state)
	ty.d.Last = store.Tail{Seq: last.Seq, Hash: last.Hash}
	ty.d.Head, ty.d.Described = r.st.Tail(), r.Described(last.Seq)
	ty.left = len(rows)
	return ty
}

// replayDay takes the entries of a span through the tally, and goes on
// beyond the last of the day for as long as something of that day may still be
// found undone or answered, and no further than the register reached when it began.
func (r *Reader) replayDay(ctx context.Context, ty *tally, span reading.Span) error {
	span.To = ty.d.Head.Seq
	for e, err := range ty.run.Ordered(r.Entries(ctx, span)) {
		if err != nil {
			return err
		}
		if ty.left == 0 && !ty.waiting() {
			break
		}
		ty.give(e)
	}
	return nil
}

// later reads the entries of later days that correct or explain entries of this
// one.
func (r *Reader) later(ty *tally) error {
	var seqs []int64
	for _, e := range ty.d.Entries {
		seqs = append(seqs, e.Explained...)
		if e.CorrectedBy != 0 {
			seqs = append(seqs, e.CorrectedBy)
		}
	}
	seqs = slices.DeleteFunc(seqs, func(seq int64) bool { _, own := ty.index[seq]; return own })
	if len(seqs) == 0 {
		return nil
	}
	slices.Sort(seqs)
	rd, err := r.reg.Reader(seqs[0] - 1)
	if err != nil {
		return err
	}
	for _, seq := range slices.Compact(seqs) {
		rows, err := r.st.Range(seq, seq)
		if err != nil {
			return err
		}
		later, err := asTheyStand(rd, rows)
		if err != nil {
			return err
		}
		ty.d.Later = append(ty.d.Later, later...)
	}
	return nil
}
