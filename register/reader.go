package register

import (
	"context"
	"encoding/json"
	"iter"
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
	Dir     string // the box directory
	file    *boxfile.File
	st      *store.Store
	reg     reading.Register
	program string // tag of the snapshots it believes
	proof   *proof

	// Progress is told from time to time, by whoever proves the register, how many
	// of how many entries are done; nil for none. Set it before the first use.
	Progress func(done, total int64)
}

func newReader(dir string, file *boxfile.File, st *store.Store) *Reader {
	return &Reader{Dir: dir, file: file, st: st, reg: reading.Of(st, file.Location), program: programTag(file.Box), proof: newProof()}
}

// Box is the box's description.
func (r *Reader) Box() *block.Box { return r.file.Box }

// Location is the zone of the box's clock.
func (r *Reader) Location() *time.Location { return r.file.Location }

// File is the box file as read.
func (r *Reader) File() *boxfile.File { return r.file }

// Store is the register on disk, for reading.
func (r *Reader) Store() *store.Store { return r.st }

// Entries gives the entries of a span as they stand.
func (r *Reader) Entries(ctx context.Context, s reading.Span) iter.Seq2[*reading.Entry, error] {
	return r.reg.Entries(ctx, s)
}

// DayOf is the register day of a moment.
func (r *Reader) DayOf(at block.Time) calendar.Day { return calendar.Of(at, r.file.Location) }

// keptBefore gives the state that the book tells after entry number after, the
// newest kept one before entry number before: where a replay of before and what
// follows may begin at the desk, where there is no time to prove them all. Without
// one it is the state of an empty book, and after is 0. Corrections written later
// are in it.
func (r *Reader) keptBefore(before int64) (after int64, state block.State, err error) {
	n, ok := r.st.SnapshotBefore(r.program, before)
	if ok && json.Unmarshal(n.State, &state) == nil {
		return n.Seq, state, nil
	}
	return 0, block.NewState(r.file.Box), nil
}
