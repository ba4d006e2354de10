package store

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// Backup writes a complete copy of the register to dst and verifies it. It
// refuses an existing dst (errors.Is fs.ErrExist). If the copy fails or does
// not verify, dst is removed and an error returned. An append by anybody waits
// while the engine copies, about a second for a million entries.
//
// The copy holds the same entries with the same hashes; snapshots come along.
func (s *Store) Backup(dst string) (Report, error) {
	abs, err := filepath.Abs(dst)
	if err != nil {
		return Report{}, fmt.Errorf("%s: find the full path: %w", dst, err)
	}
	if _, err := os.Lstat(abs); !errors.Is(err, fs.ErrNotExist) {
		if err == nil {
			err = fs.ErrExist
		}
		return Report{}, &Error{Path: dst, Doing: "back up", Cause: err, Advice: newFileAdvice(err)}
	}
	seen, err := s.loadTail()
	if err != nil {
		return Report{}, failure(s.path, "back up", err)
	}
	if err := s.copyTo(abs); err != nil {
		os.Remove(abs)
		return Report{}, failure(dst, "back up "+s.path, err)
	}
	report, err := verifyCopy(abs, s.meta, seen)
	if err == nil {
		err = syncCopy(abs)
	}
	if err != nil {
		os.Remove(abs)
		return Report{}, fmt.Errorf("back up %s: the copy is not sound and was removed: %w", s.path, err)
	}
	return report, nil
}

func (s *Store) copyTo(abs string) error {
	db, err := connect(s.path, copying, 1)
	if err != nil {
		return err
	}
	defer db.Close()
	_, err = db.ExecContext(background, "VACUUM INTO ?", abs)
	return err
}

// verifyCopy checks the copy as a register of its own, and that it reaches at
// least the entry seen before copying began.
func verifyCopy(path string, meta Meta, seen Tail) (Report, error) {
	c, err := OpenReadOnly(path)
	if err != nil {
		return Report{}, err
	}
	defer c.Close()
	report, err := c.Verify(nil)
	if err != nil {
		return Report{}, err
	}
	hash, err := c.hashAt(seen.Seq)
	if err == nil && (c.Meta() != meta || hash != seen.Hash) {
		err = &DamagedError{Path: path, Entry: seen.Seq, Kind: Changed, Detail: "the copy differs from the register"}
	}
	return report, err
}

// syncCopy puts file and folder on disk. The copy is closed by now, so opening
// it as a plain file takes no lock from anybody.
func syncCopy(path string) error {
	for _, name := range []string{path, filepath.Dir(path)} {
		f, err := os.Open(name)
		if err != nil {
			return fmt.Errorf("sync %s: %w", name, err)
		}
		err = f.Sync()
		if cerr := f.Close(); err == nil {
			err = cerr
		}
		// Some file systems cannot sync a folder; the file itself must be.
		if err != nil && name == path {
			return fmt.Errorf("sync %s: %w", name, err)
		}
	}
	return nil
}
