package store

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

func TestBackup(t *testing.T) {
	s := filled(t, 1234)
	dst := filepath.Join(t.TempDir(), "copy.db")
	report := must(s.Backup(t.Context(), dst, nil))(t)
	if d := cmp.Diff(must(s.Verify(nil))(t), report); d != "" {
		t.Error(d)
	}
	if got, want := dump(t, dst), dump(t, s.Path()); got != want {
		t.Error("the copy differs")
	}
	_, err := s.Backup(t.Context(), dst, nil)
	wantIs(t, err, fs.ErrExist, dst, "never overwritten")
	_, err = s.Backup(t.Context(), s.Path(), nil)
	wantIs(t, err, fs.ErrExist)
	link := filepath.Join(t.TempDir(), "link.db")
	if err := os.Symlink(filepath.Join(t.TempDir(), "nowhere"), link); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Lstat(link); err == nil { // wine shows no link that leads nowhere
		_, err = s.Backup(t.Context(), link, nil)
		wantIs(t, err, fs.ErrExist)
	}
	_, err = s.Backup(t.Context(), filepath.Join(t.TempDir(), "no", "copy.db"), nil)
	if err == nil || !strings.Contains(err.Error(), "folder") {
		t.Error(err)
	}
	if left := must(filepath.Glob(filepath.Join(filepath.Dir(dst), "*")))(t); len(left) != 1 {
		t.Errorf("beside the copy: %q", left)
	}
	// A copy is a register like any other, and can be written on.
	c := must(Open(dst))(t)
	defer c.Close()
	must(c.Append(draft(1234)))(t)
	must(c.Verify(nil))(t)
}

// A copy that is sound in itself is still none of this register where it has another
// heading or another end.
func TestCopyOfAnotherRegisterIsRefused(t *testing.T) {
	s := filled(t, 20)
	tail, meta := s.Tail(), s.Meta()
	if _, err := verifyCopy(s.Path(), meta, tail); err != nil {
		t.Fatal(err)
	}
	named := meta
	named.Box += " East"
	for what, err := range map[string]error{
		"another heading": second(verifyCopy(s.Path(), named, tail)),
		"another end":     second(verifyCopy(s.Path(), meta, Tail{tail.Seq, [32]byte{1}})),
	} {
		var damaged *DamagedError
		if !errors.As(err, &damaged) {
			t.Errorf("%s: %v", what, err)
		}
		damageIs(t, err, s.Path(), 20, Changed, "the copy differs from the register")
	}
}

func second[A any](_ A, err error) error { return err }

func TestBackupOfDamagedRegister(t *testing.T) {
	s := filled(t, 20)
	s.Close()
	forge(t, s.Path(), "UPDATE entry SET line = 'x' WHERE seq = 9")
	r := must(OpenReadOnly(s.Path()))(t)
	defer r.Close()
	dst := filepath.Join(t.TempDir(), "copy.db")
	_, err := r.Backup(t.Context(), dst, nil)
	wantIs(t, err, ErrDamaged, "entry 9", "no part of the copy is left")
	if _, err := os.Stat(dst); !errors.Is(err, fs.ErrNotExist) {
		t.Error("a copy that is not sound stays behind")
	}
}

// A copy onto a target that stands still does not hold up an entry: while the
// copy waits between two pieces another program writes, which here waits for nobody
// and would be refused by any lock, and the copy has what stood in the register when
// it began. What an entry may wait behind is the reading of one chunk.
func TestBackupHoldsUpNobody(t *testing.T) {
	s := filled(t, 3*copyRows)
	other := must(Open(s.Path()))(t)
	defer other.Close()
	must(other.write.Exec("PRAGMA busy_timeout = 0"))(t)
	dst := filepath.Join(t.TempDir(), "copy.db")
	var took []int64
	pieces := 0
	report := must(s.Backup(t.Context(), dst, func(done, total int64) {
		pieces++
		if want := int64(pieces * copyRows); done != want || total != 3*copyRows {
			t.Errorf("told %d of %d, want %d", done, total, want)
		}
		for range 20 {
			begin := time.Now()
			must(other.Append(draft(int(other.Tail().Seq))))(t)
			took = append(took, time.Since(begin).Microseconds())
		}
	}))(t)
	if report.Entries != 3*copyRows || pieces != 3 {
		t.Errorf("%d entries in %d pieces", report.Entries, pieces)
	}
	if r := must(other.Verify(nil))(t); r.Entries != 3*copyRows+60 {
		t.Errorf("%d entries in the register", r.Entries)
	}
	slices.Sort(took)
	t.Logf("%d entries while copying: median %.1f ms, longest %.1f ms", len(took), float64(took[len(took)/2])/1e3, float64(took[len(took)-1])/1e3)
}

func TestBackupIsStopped(t *testing.T) {
	s := filled(t, 3*copyRows)
	dir := t.TempDir()
	ctx, stop := context.WithCancel(t.Context())
	told := 0
	_, err := s.Backup(ctx, filepath.Join(dir, "copy.db"), func(int64, int64) { told++; stop() })
	if !errors.Is(err, context.Canceled) || told != 1 {
		t.Errorf("stopped after %d pieces: %v", told, err)
	}
	if left := must(filepath.Glob(filepath.Join(dir, "*")))(t); len(left) != 0 {
		t.Errorf("left behind: %q", left)
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
	const page = 4096
	tries := 200
	if testing.Short() {
		tries = 40
	}
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
	if found < tries/10 {
		t.Errorf("only %d of %d reported", found, tries)
	}
}
