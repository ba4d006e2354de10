package export

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"fairhand/register/bounded"
)

// Create makes a file by fill, so that it appears under its name only when it is
// complete and on disk: a neighbour with another name is written, synced and
// renamed, and the directory is synced. An existing file is refused with an
// error for which errors.Is(err, fs.ErrExist) holds, unless overwrite is set.
// When anything fails, what was there before is untouched.
func Create(path string, overwrite bool, fill func(io.Writer) error) error {
	if st, err := os.Lstat(path); err == nil {
		if st.IsDir() {
			return fmt.Errorf("%s is a directory: give the name of a file in it", path)
		}
		if bounded.Device(st.Mode()) {
			return fmt.Errorf("%s is no file, and nothing takes its place: give another name", path)
		}
		if !overwrite {
			return exists(path)
		}
	}
	// Exports name people: read by its owner only. Who is to have it is given it.
	tmp, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".*.part")
	if err != nil {
		return fmt.Errorf("making %s: %w; is the directory there and may it be written?", path, err)
	}
	defer os.Remove(tmp.Name()) // after the rename there is nothing to remove
	if err := fill(tmp); err != nil {
		tmp.Close()
		return err
	}
	if err := errors.Join(tmp.Sync(), tmp.Close()); err != nil {
		return fmt.Errorf("writing %s: %w; nothing was left behind", path, err)
	}
	if err := place(tmp.Name(), path, overwrite); err != nil {
		return err
	}
	return syncDir(filepath.Dir(path))
}

// Put makes a file of what is in memory, as Create does.
func Put(path string, overwrite bool, content []byte) error {
	return Create(path, overwrite, func(w io.Writer) error {
		_, err := w.Write(content)
		return err
	})
}

func exists(path string) error {
	return fmt.Errorf("%s is there already; give another name, or say that it may be overwritten: %w", path, fs.ErrExist)
}

// place gives the finished file its name. Without overwrite a hard link does
// it, since a rename would silently replace a file that has appeared meanwhile;
// where the file system has no links, a second look has to do.
func place(tmp, path string, overwrite bool) error {
	if !overwrite {
		err := os.Link(tmp, path)
		if err == nil {
			return nil
		}
		if _, look := os.Lstat(path); look == nil || errors.Is(err, fs.ErrExist) {
			return exists(path)
		}
	}
	if err := os.Rename(tmp, path); err != nil {
		return fmt.Errorf("giving the export its name: %w", err)
	}
	return nil
}

// syncDir makes the new name last. Systems that cannot sync a directory
// (Windows) keep it by themselves.
func syncDir(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return nil // the file is complete; only its name may be lost with the power
	}
	defer d.Close()
	if err := d.Sync(); err != nil && !errors.Is(err, fs.ErrInvalid) && !errors.Is(err, errors.ErrUnsupported) && !errors.Is(err, fs.ErrPermission) {
		return fmt.Errorf("the export is written, its name may not survive a loss of power: %w", err)
	}
	return nil
}
