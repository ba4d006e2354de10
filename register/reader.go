package register

import (
	"context"
	"encoding/json"
	"fmt"
	"iter"
	"path/filepath"
	"sync/atomic"
	"time"

	"fairhand/block"
	"fairhand/register/boxfile"
	"fairhand/register/calendar"
	"fairhand/register/reading"
	"fairhand/register/store"
)

// Reader reads a register. It never changes: any number of goroutines may read by
// it while the book's own goroutine writes.
type Reader struct {
	Dir     string                       // the box directory
	file    atomic.Pointer[boxfile.File] // in force at the end of the book
	st      *store.Store
	loc     *time.Location
	reg     reading.Register
	program string // tag of the snapshots it believes
	proof   *proof

	// Progress is told from time to time, by whoever proves the register, how many
	// of how many entries are done; nil for none. Set it before the first use.
	Progress func(done, total int64)
}

func newReader(dir string, st *store.Store, loc *time.Location) *Reader {
	if zone, err := time.LoadLocation(st.Meta().Zone); err == nil {
		loc = zone
	}
	return &Reader{Dir: dir, st: st, loc: loc, reg: reading.Of(st, loc), proof: &proof{turn: make(chan struct{}, 1)}}
}

// Box is the box as described at the end of the book. Sections and lines have the
// same numbers in every description of a register, of which this has the most.
func (r *Reader) Box() *block.Box { return r.File().Box }

// Location is the zone of the clock that the register is kept by.
func (r *Reader) Location() *time.Location { return r.loc }

// File is the description of the box in force at the end of the book.
func (r *Reader) File() *boxfile.File { return r.file.Load() }

// Store is the register on disk, for reading.
func (r *Reader) Store() *store.Store { return r.st }

// Entries gives the entries of a span as they stand.
func (r *Reader) Entries(ctx context.Context, s reading.Span) iter.Seq2[*reading.Entry, error] {
	return r.reg.Entries(ctx, s)
}

// DayOf is the register day of a moment.
func (r *Reader) DayOf(at block.Time) calendar.Day { return calendar.Of(at, r.Location()) }

// fromKept works from the state that the book tells after an entry, the newest kept one
// before entry number before: where a replay of before and what follows may begin at the
// desk, where there is no time to prove them all; once they are proved, the newest that
// follows from them. Without one it is the state of an empty book, and after is 0; so it
// is where no replay can go on from what is kept, as from trains in sections that the box
// does not have, which StandsOn tells then. Corrections written later are in it.
func (r *Reader) fromKept(before int64, work func(after int64, state block.State) error) error {
	if end, proved := r.provedEnd(before); proved {
		return work(end.seq, end.state)
	}
	n, ok := r.st.SnapshotBefore(r.program, before)
	var state block.State
	if ok && json.Unmarshal(n.State, &state) == nil {
		broke, err := endsOf(func() error { return work(n.Seq, state) })
		if broke == nil {
			r.believed(n)
			return err
		}
		r.judge(n, broke)
	}
	return work(0, r.empty())
}

// empty is the state before the first entry.
func (r *Reader) empty() block.State { return block.NewState(r.BoxAt(0)) }

// Look opens a register file to be read, wherever it lies and however it is named:
// a register, a copy of one or an archive volume. file describes the box where the
// register keeps no description itself, and may be nil. Nothing is proved yet. The
// caller closes it.
func Look(path string, file *boxfile.File) (*Reader, error) {
	st, err := store.OpenReadOnly(path)
	if err != nil {
		return nil, err
	}
	r, err := look(st, file)
	if err != nil {
		st.Close()
		return nil, err
	}
	return r, nil
}

func look(st *store.Store, file *boxfile.File) (*Reader, error) {
	m := st.Meta()
	loc, err := time.LoadLocation(m.Zone)
	if err != nil {
		return nil, fmt.Errorf("%s was kept by the clock of %s, which this computer does not know: %w", st.Path(), m.Zone, err)
	}
	r := newReader(filepath.Dir(st.Path()), st, loc)
	d, err := r.reg.Described(st.Tail().Seq)
	switch {
	case err != nil:
		return nil, err
	case d != nil:
		file = d.File
	case file == nil:
		return nil, fmt.Errorf("%s keeps no description of the box, and no box file lies beside it", st.Path())
	}
	if file.Box.Name != m.Box {
		return nil, fmt.Errorf("%s is the register of %s, and the box file describes %s: use the box file it was made with", st.Path(), m.Box, file.Box.Name)
	}
	r.file.Store(file)
	return r, nil
}

// Close lets the register go.
func (r *Reader) Close() error { return r.st.Close() }
