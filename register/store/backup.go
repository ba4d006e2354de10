package store

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
)

// A copy of a register is made entry by entry and never of the file's bytes: each
// entry is proved when it is read, the register is free between two pieces, so
// that the writing of an entry does not wait for a slow target, and what is
// appended meanwhile disturbs nothing. The snapshots stay behind: they are
// derived, and only what was proved is copied.

// copyRows is how many entries are written and synced in one go: 0.8 MB, so that
// a copy can be stopped within some seconds on the slowest stick.
const copyRows = 5 * chunkRows

// Backup writes a complete, proved copy of the register as it stands now to dst.
// It refuses an existing dst (errors.Is fs.ErrExist), also a link. The copy has
// another name until it is whole, on disk and verified as a register of its own;
// when anything fails, or ctx ends, nothing of it is left. An append meanwhile
// waits no longer than for any other reader.
//
// progress, if not nil, is told between the pieces how many of how many entries
// are copied.
func (s *Store) Backup(ctx context.Context, dst string, progress func(done, total int64)) (Report, error) {
	return s.Volume(ctx, dst, 0, progress)
}

// Volume is Backup of the entries up to number last (0: all there are): a register of
// its own, which ends there.
func (s *Store) Volume(ctx context.Context, dst string, last int64, progress func(done, total int64)) (Report, error) {
	if err := nameIsFree(dst, "back up"); err != nil {
		return Report{}, err
	}
	if err := s.checkHeading(); err != nil {
		return Report{}, fmt.Errorf("back up %s: %w", s.path, err)
	}
	part, report, err := s.copyBeside(ctx, dst, last, progress)
	defer part.remove()
	if err == nil {
		err = part.place(dst)
	}
	if err != nil {
		return Report{}, fmt.Errorf("back up %s to %s; no part of the copy is left: %w", s.path, dst, err)
	}
	return report, nil
}

// copyBeside makes a proved copy of the register up to an entry (0: all) beside dst, for the
// caller to put in its place; part.remove takes away what is not placed.
func (s *Store) copyBeside(ctx context.Context, dst string, last int64, progress func(done, total int64)) (part, Report, error) {
	tail, err := s.loadTail()
	if err != nil {
		return part{}, Report{}, failure(s.path, "copy", err)
	}
	if last = cmp.Or(last, tail.Seq); last < tail.Seq {
		if tail.Hash, err = s.HashAt(last); err != nil {
			return part{}, Report{}, err
		}
		tail.Seq = last
	}
	p, err := newPart(dst)
	if err != nil {
		return p, Report{}, &Error{Path: dst, Doing: "begin a copy", Cause: err, Advice: newFileAdvice(err)}
	}
	if err := s.copyTo(ctx, p, tail.Seq, progress); err != nil {
		return p, Report{}, err
	}
	report, err := verifyCopy(p.path, s.meta, tail)
	if err != nil {
		err = fmt.Errorf("the copy is not sound: %w", err)
	}
	return p, report, err
}

// copyTo makes part a register with the entries up to number to of s, each proved.
func (s *Store) copyTo(ctx context.Context, part part, to int64, progress func(done, total int64)) error {
	c, err := part.create(s.meta)
	if err != nil {
		return err
	}
	defer c.Close()
	texts, err := s.Descriptions(0)
	if err != nil {
		return err
	}
	var held []Row
	write := func() error {
		if len(held) == 0 {
			return nil
		}
		if err := c.take(held, texts); err != nil {
			return err
		}
		if progress != nil {
			progress(c.tail.Seq, to)
		}
		held = held[:0]
		return ctx.Err()
	}
	for rows, err := range s.EachProved(1, to) {
		if err != nil {
			return err
		}
		for i := range rows {
			if !described(&rows[i], texts) {
				return DescriptionLost(s.path, rows[i].Seq)
			}
		}
		if held = append(held, rows...); len(held) >= copyRows {
			if err := write(); err != nil {
				return err
			}
		}
	}
	return cmp.Or(write(), ctx.Err())
}

// take writes proved entries of another register, which follow the last one, and
// the descriptions of the box that some of them bring in.
func (s *Store) take(rows []Row, texts []Description) error {
	texts = slices.DeleteFunc(slices.Clone(texts), func(d Description) bool {
		return d.Entry < rows[0].Seq || d.Entry > rows[len(rows)-1].Seq
	})
	if err := s.insertAll(pointers(rows), texts...); err != nil {
		return writeFailure(s.path, fmt.Sprintf("copy entries from %d on", rows[0].Seq), err)
	}
	last := rows[len(rows)-1]
	s.tail = Tail{last.Seq, last.Hash}
	return nil
}

// verifyCopy checks the copy as a register of its own, and that it reaches the
// entry that it was to reach.
func verifyCopy(path string, meta Meta, want Tail) (Report, error) {
	c, err := OpenReadOnly(path)
	if err != nil {
		return Report{}, err
	}
	defer c.Close()
	report, err := c.Verify(nil)
	if err == nil && (c.Meta() != meta || report.Tail != want) {
		err = &DamagedError{Path: path, Entry: want.Seq, Kind: Changed, Detail: "the copy differs from the register"}
	}
	return report, err
}

// part is a file in the making, beside the one that it is to become.
type part struct{ path string }

// newPart claims a name that nobody has, to be read by its owner only.
func newPart(dst string) (part, error) {
	f, err := os.CreateTemp(filepath.Dir(dst), filepath.Base(dst)+".*"+PartEnding)
	if err != nil {
		return part{}, err
	}
	return part{f.Name()}, f.Close()
}

// PartEnding ends the name of a copy in the making. One that is left over was
// killed and may be removed.
const PartEnding = ".part"

// create makes the part an empty register and opens it for writing.
func (p part) create(m Meta) (*Store, error) {
	if err := fill(p.path, m); err != nil {
		return nil, failure(p.path, "make a copy", err)
	}
	return Open(p.path)
}

// remove leaves nothing of a part that was not placed.
func (p part) remove() {
	if p.path == "" {
		return
	}
	os.Remove(p.path)
	os.Remove(p.path + journalEnding)
}

// place gives the part its name, which must be free. The engine has synced the
// file; the name is synced here. A hard link does it where there are links, since
// a rename would replace a file that has appeared meanwhile.
func (p part) place(dst string) error {
	err := os.Link(p.path, dst)
	if err != nil && !errors.Is(err, fs.ErrExist) {
		if _, look := os.Lstat(dst); errors.Is(look, fs.ErrNotExist) {
			err = os.Rename(p.path, dst)
		}
	}
	if err != nil {
		return &Error{Path: dst, Doing: "give the copy its name", Cause: err, Advice: newFileAdvice(err)}
	}
	syncDir(filepath.Dir(dst))
	return nil
}

// Replace puts content under a name in the place of what is there: the whole of it or
// nothing. It is on disk, under its name, when Replace returns.
func Replace(path string, mode fs.FileMode, content []byte) error {
	f, err := os.CreateTemp(filepath.Dir(path), filepath.Base(path)+".*")
	if err != nil {
		return err
	}
	_, err = f.Write(content)
	if err == nil {
		err = errors.Join(f.Chmod(mode), f.Sync())
	}
	if err = errors.Join(err, f.Close()); err == nil {
		err = os.Rename(f.Name(), path)
	}
	if err != nil {
		return errors.Join(err, os.Remove(f.Name()))
	}
	syncDir(filepath.Dir(path))
	return nil
}

// syncDir makes names last. Where a folder cannot be synced (Windows, some
// sticks) there is nothing more to do: the files in it are on disk.
func syncDir(dir string) {
	if d, err := os.Open(dir); err == nil {
		_ = d.Sync()
		_ = d.Close()
	}
}
