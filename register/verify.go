package register

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"time"

	"fairhand/block"
	"fairhand/register/boxfile"
	"fairhand/register/reading"
	"fairhand/register/store"
)

// Verified is a register found to be whole.
type Verified struct {
	store.Report
	Meta store.Meta

	// What a replay of every line came to, each under the description of the box then
	// in force; Replayed is false when none is kept and no box file was given, and then
	// lines were read but not judged.
	Replayed bool
	Counted
	Corrected int // entries that a later one corrects

	// Forged are the entries of which a state is kept that is in order in itself and
	// not what the entries come to. Without a box file none is looked for.
	Forged []int64

	// Descriptions are those the register was worked under, the oldest first: each is
	// what its entry, or the heading, says it is. Of the box file given it is told
	// whether it is the last of them: one that is not comes into force with the next entry.
	Descriptions []reading.Description
	BoxChanged   bool

	PINs []block.PIN // by what the PINs in force are known; the file beside it is not read
}

// Verify proves a register file from its first entry to its last: the chain of
// hashes (store.Verify), then that each line can be read, says the same moment
// and the same register day as the record beside it, and, with a box file, that
// the rules can be replayed over it. The file is only read.
//
// A fault of the chain is a *store.DamagedError, and is told before any other.
// each is handed every entry once it is proved, before what follows is known to be sound,
// and progress is told how many entries of how many are done; both may be nil.
func Verify(ctx context.Context, path string, file *boxfile.File, each func(*store.Row), progress func(done, total int64)) (Verified, error) {
	st, err := store.OpenReadOnly(path)
	if err != nil {
		return Verified{}, err
	}
	defer st.Close()
	v := Verified{Meta: st.Meta()}
	if file != nil && file.Box.Name != v.Meta.Box {
		_, fault := st.Verify(nil) // which may be why: its heading is proved with it
		return v, errors.Join(fault, fmt.Errorf("%s is the register of %s, and the box file describes %s: use the box file it was made with", path, v.Meta.Box, file.Box.Name))
	}
	loc, err := time.LoadLocation(v.Meta.Zone)
	if err != nil {
		return v, fmt.Errorf("%s was kept by the clock of %s, which this computer does not know: %w", path, v.Meta.Zone, err)
	}
	if progress == nil {
		progress = func(int64, int64) {}
	}
	if each == nil {
		each = func(*store.Row) {}
	}
	report, err := st.VerifyReading(func(tail int64, days *store.DayCheck) error {
		return (&verifying{&v, st, loc, tail, days, each, progress}).lines(ctx, file)
	})
	if err != nil && ctx.Err() == nil {
		if _, fault := st.Verify(nil); fault != nil { // what cannot be read is not what was written
			err = fault
		}
	}
	v.Report = report
	return v, err
}

// verifying is a register while it is read, up to entry number tail.
type verifying struct {
	*Verified
	st       *store.Store
	loc      *time.Location
	tail     int64
	days     *store.DayCheck
	each     func(*store.Row)
	progress func(done, total int64)
}

// lines reads and replays every line, each once it is proved.
func (v *verifying) lines(ctx context.Context, file *boxfile.File) error {
	var run *reading.Replay
	var hold reading.Hold
	reg := reading.Of(v.st, v.loc)
	box, err := v.described(reg, file)
	if err != nil {
		return err
	}
	states := kept{}
	if v.Replayed = box != nil; v.Replayed {
		run = reading.NewReplay(box, block.NewState(box))
		for n := range v.st.Snapshots(programTag(box)) {
			states[n.Seq] = n.State
		}
	}
	entries := reg.Entries(ctx, reading.Span{To: v.tail, Proved: true})
	if run != nil {
		entries = run.Ordered(entries)
	}
	for e, err := range entries {
		if err != nil {
			return err
		}
		v.days.Add(&e.Row)
		v.each(&e.Row)
		if e.CorrectedBy != 0 {
			v.Corrected++
		}
		if e.Seq%1000 == 0 {
			v.progress(e.Seq, v.tail)
		}
		if run != nil {
			states.compare(run.Reached(), run)
			v.count(hold.Take(run.Take(e), run.Look()))
		}
	}
	v.progress(v.tail, v.tail)
	v.count(hold.Rest())
	if run != nil {
		states.compare(v.tail, run)
		v.Forged = slices.Sorted(maps.Keys(states))
		v.PINs = run.Look().PINs
	}
	return nil
}

// described reads the descriptions kept and gives the first, or that of the box file
// where none is kept; nil where there is neither.
func (v *Verified) described(reg reading.Register, file *boxfile.File) (*block.Box, error) {
	var err error
	if v.Descriptions, err = reg.Descriptions(); err != nil {
		return nil, err
	}
	n := len(v.Descriptions)
	v.BoxChanged = n > 0 && file != nil && file.Text != v.Descriptions[n-1].Text
	switch {
	case n > 0:
		return v.Descriptions[0].Box, nil
	case file != nil:
		return file.Box, nil
	}
	return nil, nil
}

// kept are the states kept in a register that this program would begin with, by entry,
// but for those that a replay has come to. One of an entry after which no replay stands by
// itself is not what this program keeps.
type kept map[int64][]byte

func (k kept) compare(reached int64, run *reading.Replay) {
	if state, ok := k[reached]; ok {
		now := run.State()
		if own, err := json.Marshal(&now); err == nil && bytes.Equal(own, state) {
			delete(k, reached)
		}
	}
}
