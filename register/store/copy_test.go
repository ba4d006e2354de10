package store

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestBackup(t *testing.T) {
	s := filled(t, 1234)
	dst := filepath.Join(t.TempDir(), "copy.db")
	report := must(s.Backup(dst))(t)
	if d := cmp.Diff(must(s.Verify(nil))(t), report); d != "" {
		t.Error(d)
	}
	if got, want := dump(t, dst), dump(t, s.Path()); got != want {
		t.Error("the copy differs")
	}
	_, err := s.Backup(dst)
	wantIs(t, err, fs.ErrExist, dst, "never overwritten")
	_, err = s.Backup(s.Path())
	wantIs(t, err, fs.ErrExist)
	link := filepath.Join(t.TempDir(), "link.db")
	if err := os.Symlink(filepath.Join(t.TempDir(), "nowhere"), link); err != nil {
		t.Fatal(err)
	}
	_, err = s.Backup(link)
	wantIs(t, err, fs.ErrExist)
	_, err = s.Backup(filepath.Join(t.TempDir(), "no", "copy.db"))
	if err == nil || !strings.Contains(err.Error(), "folder") {
		t.Error(err)
	}
	// A copy is a register like any other, and can be written on.
	c := must(Open(dst))(t)
	defer c.Close()
	must(c.Append(draft(1234)))(t)
	must(c.Verify(nil))(t)
}

func TestBackupOfDamagedRegister(t *testing.T) {
	s := filled(t, 20)
	s.Close()
	forge(t, s.Path(), "UPDATE entry SET line = 'x' WHERE seq = 9")
	r := must(OpenReadOnly(s.Path()))(t)
	defer r.Close()
	dst := filepath.Join(t.TempDir(), "copy.db")
	_, err := r.Backup(dst)
	wantIs(t, err, ErrDamaged, "entry 9", "was removed")
	if _, err := os.Stat(dst); !errors.Is(err, fs.ErrNotExist) {
		t.Error("a copy that is not sound stays behind")
	}
}

// The index by day is checked too: an entry that it hides would be missing
// from its day and from nowhere else.
func TestDamagedIndex(t *testing.T) {
	s := filled(t, 300) // 28 days, one index page
	s.Close()
	content := must(os.ReadFile(s.Path()))(t)
	var root int
	raw(t, s.Path()).QueryRow("SELECT rootpage FROM sqlite_schema WHERE name = 'entry_day'").Scan(&root)
	want, found := dump(t, s.Path()), 0
	const page, tries = 4096, 200
	for i := range tries {
		at := (root-1)*page + i*page/tries
		content[at] ^= 1
		r, err := examine(t, filepath.Join(t.TempDir(), "flipped.db"), content)
		if err != nil {
			found++
		} else if got := dump(t, r.Path()); got != want {
			t.Errorf("byte %d of the index changes a day and is not reported", i*page/tries)
		}
		if r != nil {
			r.Close()
		}
		content[at] ^= 1
	}
	if found < 20 {
		t.Errorf("only %d of %d reported", found, tries)
	}
}
