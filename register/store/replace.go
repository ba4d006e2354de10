package store

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// Replace puts a proved copy of s in the place of the register file at path, and
// keeps what is there under the name kept, which must be free. Until the copy is
// whole, on disk and verified nothing is touched; then the exchange is one
// renaming, so that there is a register at path at any moment where the system
// can do that. A program that has the old file open is told ErrMoved.
//
// What a killed program left to be rolled back in the old file (its journal) goes
// with it, and never meets the new file; so it is where the old file is lost.
func (s *Store) Replace(ctx context.Context, path, kept string, progress func(done, total int64)) (Report, error) {
	old, err := os.Lstat(path)
	if err != nil && !errors.Is(err, fs.ErrNotExist) || err == nil && !old.Mode().IsRegular() {
		return Report{}, &Error{Path: path, Doing: "restore: it is not a file, or cannot be looked at", Cause: err, Advice: "restore to where the file itself is"}
	}
	part, report, err := s.copyBeside(ctx, path, 0, progress)
	defer part.remove()
	if err != nil {
		return Report{}, fmt.Errorf("restore from %s; %s is as it was: %w", s.path, path, err)
	}
	if old == nil {
		if err := setAside(path, kept); err != nil {
			return report, err
		}
		return report, part.place(path)
	}
	return report, swap(part.path, path, kept)
}

// setAside gives what the engine would read into the file at path the name kept.
func setAside(path, kept string) error {
	for _, ending := range []string{journalEnding, walEnding} {
		if err := os.Rename(path+ending, kept+ending); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return nil
}

// swap gives the file at path the name kept and puts part in its place.
func swap(part, path, kept string) error {
	if err := nameIsFree(kept, "keep the old register under this name"); err != nil {
		return err
	}
	err := setAside(path, kept)
	if err == nil {
		if err = os.Link(path, kept); err != nil {
			err = os.Rename(path, kept) // no links here: for a moment there is no register
		}
	}
	if err == nil {
		if err = os.Rename(part, path); err != nil {
			_ = os.Rename(kept, path)
		}
	}
	if err != nil {
		return &Error{Path: path, Doing: "put the copy in its place; the old register is there, or is " + kept, Cause: err,
			Advice: "close every program that uses the register, and try again"}
	}
	syncDir(filepath.Dir(path))
	return nil
}
