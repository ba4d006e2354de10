package register

import (
	"context"
	"errors"
	"fmt"
	"time"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/boxfile"
	"fairhand/register/notation"
	"fairhand/register/store"
)

// Verified is a register found to be whole.
type Verified struct {
	store.Report
	Meta store.Meta

	// What a replay of every line came to; Replayed is false when no box file
	// was given, and then lines were read but not judged.
	Replayed  bool
	Findings  int
	Danger    int
	Corrected int // entries that a later one corrects
}

// Verify proves a register file from its first entry to its last: the chain of
// hashes (store.Verify), then that each line can be read, says the same moment
// and the same register day as the record beside it, and, with a box file, that
// the rules can be replayed over it. The file is only read.
//
// A fault of the chain is a *store.DamagedError. progress may be nil; it is told
// how many entries of how many are done, twice over, once for each pass.
func Verify(ctx context.Context, path string, file *boxfile.File, progress func(done, total int64)) (Verified, error) {
	st, err := store.OpenReadOnly(path)
	if err != nil {
		return Verified{}, err
	}
	defer st.Close()
	v := Verified{Meta: st.Meta(), Replayed: file != nil}
	if file != nil && file.Box.Name != v.Meta.Box {
		return v, fmt.Errorf("%s is the register of %s, and the box file describes %s: use the box file it was made with", path, v.Meta.Box, file.Box.Name)
	}
	loc, err := time.LoadLocation(v.Meta.Zone)
	if err != nil {
		return v, fmt.Errorf("%s was kept by the clock of %s, which this computer does not know: %w", path, v.Meta.Zone, err)
	}
	if v.Report, err = st.Verify(progress); err != nil {
		return v, err
	}
	if progress == nil {
		progress = func(int64, int64) {}
	}
	return v, v.lines(ctx, st, loc, file, progress)
}

// lines reads and replays every line.
func (v *Verified) lines(ctx context.Context, st *store.Store, loc *time.Location, file *boxfile.File, progress func(done, total int64)) error {
	read := notation.NewStored(loc)
	fixes, err := readCorrections(st, read, 0)
	if err != nil {
		return err
	}
	v.Corrected = len(fixes)
	var run *block.Runner
	if file != nil {
		run = block.NewRunner(file.Box, block.NewState(file.Box))
	}
	end := errors.New("all that was proved has been read")
	err = st.Each(1, func(rows []store.Row) error {
		for i := range rows {
			if rows[i].Seq > v.Tail.Seq { // written since
				return end
			}
			ev, err := readRow(read, loc, &rows[i], fixes)
			if err != nil {
				return err
			}
			if run != nil {
				v.count(run.Step(&ev))
			}
		}
		progress(rows[len(rows)-1].Seq, v.Tail.Seq)
		return ctx.Err()
	})
	if err != nil && err != end {
		return err
	}
	return nil
}

func (v *Verified) count(found []block.Finding) {
	for _, f := range found {
		v.Findings++
		if f.Severity == rulebook.Danger {
			v.Danger++
		}
	}
}

// readRow reads one entry as it stands, and compares what is kept beside the
// line with the line.
func readRow(read *notation.Stored, loc *time.Location, row *store.Row, fixes map[int64]fix) (block.Event, error) {
	ev, err := read.Event(block.Time(row.At), row.Line)
	if err != nil {
		return ev, unreadable(*row, err)
	}
	if day := dayOf(ev.At, loc); day != row.Day {
		return ev, fmt.Errorf("entry %d is kept under %s and its line is of %s", row.Seq, DateText(row.Day), DateText(day))
	}
	if f, ok := fixes[row.Seq]; ok {
		if ev, err = notation.ParseCorrection(loc, ev.At, f.text); err != nil {
			return ev, unreadable(*row, err)
		}
	}
	ev.Seq = row.Seq
	return ev, nil
}

// readCorrections maps the entries after a number to what stands instead; a
// later correction of the same entry wins.
func readCorrections(st *store.Store, read *notation.Stored, after int64) (map[int64]fix, error) {
	rows, err := st.Corrections(after)
	if err != nil {
		return nil, err
	}
	fixes := map[int64]fix{}
	for _, row := range rows {
		ev, err := read.Event(block.Time(row.At), row.Line)
		if err != nil {
			return nil, unreadable(row, err)
		}
		if ev.Kind == block.Correct {
			fixes[ev.Target] = fix{row.Seq, ev.Text}
		}
	}
	return fixes, nil
}
