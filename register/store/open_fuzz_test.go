package store

import (
	"os"
	"path/filepath"
	"testing"
)

// FuzzOpen: whatever is done to a file, opening, verifying and reading it end, with an
// error or with what was written.
func FuzzOpen(f *testing.F) {
	f.Add(uint32(0), byte(1), uint32(0))
	f.Add(uint32(5000), byte(255), uint32(3))
	rows, damage := damageable(f)
	f.Fuzz(func(t *testing.T, at uint32, with byte, cut uint32) {
		path := filepath.Join(memoryDir(t), "register.db")
		if err := os.WriteFile(path, damage(at, with, cut), 0o600); err != nil {
			t.Fatal(err)
		}
		r, err := OpenReadOnly(path)
		if err != nil {
			return
		}
		defer r.Close()
		report, err := r.Verify(nil)
		if err == nil && report.Tail != (Tail{60, rows[59].Hash}) {
			t.Errorf("verified as another register: %+v", report)
		}
		for list := range r.EachReadable(1) {
			_ = list
		}
	})
}

// FuzzSalvage: whatever is done to a file, what is salvaged as proved are its entries
// from the first on, and can be verified.
func FuzzSalvage(f *testing.F) {
	f.Add(uint32(0), byte(1), uint32(0))
	f.Add(uint32(9000), byte(255), uint32(3))
	rows, damage := damageable(f)
	f.Fuzz(func(t *testing.T, at uint32, with byte, cut uint32) {
		dir := memoryDir(t)
		path, dst := filepath.Join(dir, "register.db"), filepath.Join(dir, "sound.db")
		if err := os.WriteFile(path, damage(at, with, cut), 0o600); err != nil {
			t.Fatal(err)
		}
		got, err := Salvage(t.Context(), path, dst, "", func(*Row, bool) error { return nil })
		if err != nil || got.Headless {
			if _, err := os.Stat(dst); err == nil {
				t.Error("nothing is proved, and something was made")
			}
			return
		}
		if n := got.Proved.Seq; n > 60 || n > 0 && got.Proved.Hash != rows[n-1].Hash {
			t.Fatalf("salvaged another register: %+v", got.Proved)
		}
		sound, err := Open(dst)
		if err != nil {
			t.Fatal(err)
		}
		defer sound.Close()
		if report, err := sound.Verify(nil); err != nil || report.Tail != got.Proved {
			t.Errorf("%+v, %v", report, err)
		}
	})
}

// memoryDir is a folder in memory where there is such: each input has files written and
// synced, and one that waits ten seconds for a busy disk is taken for a hang by the
// engine of go test, which ends the run.
func memoryDir(t *testing.T) string {
	t.Helper()
	dir, err := os.MkdirTemp("/dev/shm", "fairhand-fuzz-")
	if err != nil {
		return t.TempDir()
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	return dir
}

// damageable is a register of sixty entries, and its file with one byte otherwise and
// its end cut off.
func damageable(f *testing.F) (rows []Row, damage func(at uint32, with byte, cut uint32) []byte) {
	f.Helper()
	s, err := Create(filepath.Join(f.TempDir(), "register.db"), ennerholme)
	if err != nil {
		f.Fatal(err)
	}
	if rows, err = s.AppendBatch(drafts(0, 60)); err != nil {
		f.Fatal(err)
	}
	s.Close()
	content, err := os.ReadFile(s.Path())
	if err != nil {
		f.Fatal(err)
	}
	return rows, func(at uint32, with byte, cut uint32) []byte {
		damaged := append([]byte(nil), content...)
		damaged[int(at)%len(damaged)] ^= with
		return damaged[:len(damaged)-int(cut)%len(damaged)]
	}
}
