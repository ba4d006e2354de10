package store

import (
	"errors"
	"fmt"
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

func snapshotAt(s *Store, t *testing.T, seq int64, state string) Snapshot {
	t.Helper()
	r := must(s.Range(seq, seq))(t)[0]
	return Snapshot{Seq: seq, Hash: r.Hash, Program: "test 1", State: []byte(state)}
}

func wantSnapshot(t *testing.T, s *Store, program string, seq int64, state string) {
	t.Helper()
	n, ok, err := s.LastSnapshot(program)
	if err != nil || ok != (seq > 0) || n.Seq != seq || string(n.State) != state {
		t.Errorf("last snapshot: %+v %v %v, want entry %d %q", n, ok, err, seq, state)
	}
}

func TestSnapshots(t *testing.T) {
	s := filled(t, 50)
	wantSnapshot(t, s, "test 1", 0, "")
	for _, seq := range []int64{10, 20, 30, 40, 50} {
		if err := s.PutSnapshot(snapshotAt(s, t, seq, fmt.Sprint("state ", seq))); err != nil {
			t.Fatal(err)
		}
	}
	wantSnapshot(t, s, "test 1", 50, "state 50")
	wantSnapshot(t, s, "test 2", 0, "")
	empty := snapshotAt(s, t, 50, "")
	empty.State = nil
	if err := s.PutSnapshot(empty); err != nil {
		t.Fatal(err)
	}
	wantSnapshot(t, s, "test 1", 50, "")
	for _, bad := range []Snapshot{{Seq: 51, Hash: empty.Hash}, {Seq: 49, Hash: empty.Hash}, {}} {
		wantIs(t, s.PutSnapshot(bad), ErrConflict)
	}
	if err := s.DropSnapshotsFrom("test 1", 0); err != nil {
		t.Fatal(err)
	}
	wantSnapshot(t, s, "test 1", 0, "")
	must(s.Verify(nil))(t)
}

func TestOldSnapshotsAreDropped(t *testing.T) {
	s := filled(t, keepSnapshots+10)
	must(s.write.Exec("INSERT INTO snapshot SELECT seq, hash, 'test 1', x'', x'' FROM entry WHERE seq <= ?", keepSnapshots))(t)
	if err := s.PutSnapshot(snapshotAt(s, t, keepSnapshots+10, "new")); err != nil {
		t.Fatal(err)
	}
	var n, lowest int
	if s.read.QueryRow("SELECT count(*), min(seq) FROM snapshot").Scan(&n, &lowest); n != keepSnapshots || lowest != 2 {
		t.Errorf("%d kept, from entry %d", n, lowest)
	}
}

// A snapshot that disagrees with itself or with the entries is not used: the
// next older is.
func TestSnapshotThatDisagrees(t *testing.T) {
	for name, forgery := range map[string]string{
		"state":   "UPDATE snapshot SET state = x'00' WHERE seq = 50",
		"hash":    "UPDATE snapshot SET hash = randomblob(32) WHERE seq = 50",
		"sum":     "UPDATE snapshot SET sum = x'' WHERE seq = 50",
		"number":  "UPDATE snapshot SET seq = 49 WHERE seq = 50",
		"no such": "UPDATE snapshot SET seq = 99 WHERE seq = 50",
	} {
		t.Run(name, func(t *testing.T) {
			s := filled(t, 50)
			for _, seq := range []int64{40, 50} {
				if err := s.PutSnapshot(snapshotAt(s, t, seq, fmt.Sprint("state ", seq))); err != nil {
					t.Fatal(err)
				}
			}
			must(s.write.Exec(forgery))(t)
			r := must(OpenReadOnly(s.Path()))(t)
			defer r.Close()
			wantSnapshot(t, r, "test 1", 40, "state 40")
			wantSnapshot(t, s, "test 1", 40, "state 40")
			var n int
			if s.read.QueryRow("SELECT count(*) FROM snapshot").Scan(&n); n != 1 {
				t.Errorf("%d snapshots left", n)
			}
		})
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
