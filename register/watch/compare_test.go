package watch

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"fairhand/register"
	"fairhand/register/registertest"
	"fairhand/register/store"
)

// TestCopyTellsARegisterPutBack: nothing in the box tells a register that was put back to
// an earlier one, with the seals of that day; the copies do, and then stay, whatever is
// written afterwards.
func TestCopyTellsARegisterPutBack(t *testing.T) {
	dir := box(t)
	b := open(t, dir)
	file := filepath.Join(dir, register.RegisterName)
	earlier, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := registertest.Log(b, `note "what is to be forgotten"`); err != nil {
		t.Fatal(err)
	}
	c := &Copies{Dir: t.TempDir()}
	first := time.Date(2026, 5, 8, 22, 0, 0, 0, b.Location())
	made, err := c.Make(t.Context(), b.Reader, first, nil)
	if err != nil || made.Misfit != nil {
		t.Fatal(made, err)
	}
	look := func(want string) {
		t.Helper()
		w := Over(b)
		w.CopyTo(c)
		if err := w.Prove(t.Context()); err != nil {
			t.Fatal(err)
		}
		list := w.Look(time.Now())
		if want == "" && len(list) > 0 || want != "" && (len(list) != 1 || list[0].Stamp != CopyMisfit || !strings.Contains(list[0].Text, want)) {
			t.Errorf("want %q, told %v", want, list)
		}
	}
	look("")
	if err := errors.Join(b.Close(), os.WriteFile(file, earlier, 0o600)); err != nil {
		t.Fatal(err)
	}
	b = open(t, dir)
	look("and the register with entry")
	if err := registertest.Log(b, `note "as if nothing had been"`); err != nil {
		t.Fatal(err)
	}
	look("has another entry")
	for day := 1; day < 70; day += 23 { // beyond the time for which each is kept
		if again, err := c.Make(t.Context(), b.Reader, first.AddDate(0, 0, day), nil); err != nil || len(again.Misfit) != 1 {
			t.Fatal(again, err)
		}
	}
	if err := os.Rename(made.Path, filepath.Join(t.TempDir(), "settled.db")); err != nil {
		t.Fatal("it did not stay:", err)
	}
	look("")
}

// TestWhatIsNoCopyIsTold: what lies under the name of a copy and is none, or is one of a
// register that this one is not and does not say that it continues; it stays, and is kept
// in the place of no other.
func TestWhatIsNoCopyIsTold(t *testing.T) {
	b := open(t, box(t))
	c := &Copies{Dir: t.TempDir()}
	first := time.Date(2026, 5, 8, 22, 0, 0, 0, b.Location())
	made, err := c.Make(t.Context(), b.Reader, first, nil)
	if err != nil {
		t.Fatal(err)
	}
	anew := func(lines ...string) string { // the path of another register of the box
		dir := box(t)
		if err := os.Remove(filepath.Join(dir, register.RegisterName)); err != nil {
			t.Fatal(err)
		}
		o, err := register.Create(dir, register.Options{Now: func() time.Time { return first }})
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { o.Close() })
		for _, l := range lines {
			if err := registertest.Log(o, l); err != nil {
				t.Fatal(err)
			}
		}
		return o.Store().Path()
	}
	tail := b.Store().Tail()
	says := func(seq int64, hash store.Hash) string {
		return fmt.Sprintf(`note "Continues the register of Ennerholme begun 2026-05-08, found damaged: entries 1 to %d are proved, hash %s; it went to entry 9"`, seq, hash)
	}
	beside := func(path string) string { // with what was saved
		if _, err := b.Store().Backup(t.Context(), filepath.Join(filepath.Dir(path), SavedName), nil); err != nil {
			t.Fatal(err)
		}
		return path
	}
	for _, x := range []struct {
		name, path, stamp string
	}{
		{"made anew", anew(`note "x"`), CopyMisfit},
		{"made anew, saying that it continues another", anew(says(tail.Seq, store.Hash{})), CopyMisfit},
		{"a volume that continues it", anew(says(tail.Seq, tail.Hash)), ""},
		{"one that continues what went on after the copy, kept beside", beside(anew(says(tail.Seq+3, tail.Hash))), ""},
		{"one that only says so", anew(says(tail.Seq+3, tail.Hash)), CopyMisfit},
	} {
		st, err := store.OpenReadOnly(x.path)
		if err != nil {
			t.Fatal(err)
		}
		got := c.Compare(t.Context(), st, false)
		if st.Close(); x.stamp == "" && len(got.Alarms) > 0 || x.stamp != "" && (len(got.Alarms) != 1 || got.Alarms[0].Stamp != x.stamp) {
			t.Errorf("%s: %v", x.name, got.Alarms)
		}
	}

	path := filepath.Join(c.Dir, prefixOf("Ennerholme")+first.AddDate(0, 0, 1).Format(copyName))
	if err := os.WriteFile(path, []byte("no register"), 0o600); err != nil {
		t.Fatal(err)
	}
	// the only copy of its month is not given up for what lies after it
	if again, err := c.Make(t.Context(), b.Reader, first.AddDate(0, 0, 60), nil); err != nil || again.Removed != 0 || len(again.Misfit) != 1 || again.Misfit[0].Stamp != CopyUnread {
		t.Error(again, err)
	}
	if _, err := os.Stat(made.Path); err != nil {
		t.Error(err)
	}
}

// TestCopyAlteredInItsMiddle: one that ends as it did is told when it is proved: by whoever
// compares all at once, and behind a desk one copy at a time, the newest first. It keeps
// no sound copy's place, nor does one that was not proved yet.
func TestCopyAlteredInItsMiddle(t *testing.T) {
	b := open(t, box(t))
	c, first := &Copies{Dir: t.TempDir()}, time.Date(2026, 3, 8, 22, 0, 0, 0, b.Location())
	var paths []string
	for i := range 3 { // of one month: the rule keeps the last
		made, err := c.Make(t.Context(), b.Reader, first.Add(time.Duration(i)*time.Hour), nil)
		if err != nil {
			t.Fatal(err)
		}
		paths = append(paths, made.Path)
	}
	alterFile(t, paths[1], `UPDATE entry SET line = '06:20 note "nothing"' WHERE seq = 20`)
	if got := (&Copies{Dir: c.Dir}).Compare(t.Context(), b.Store(), true); got.Fit != 2 || len(got.Alarms) != 1 || got.Alarms[0].Stamp != CopyDamaged || !strings.Contains(got.Alarms[0].Text, paths[1]) {
		t.Error(got)
	}

	w := Over(b)
	behind := &Copies{Dir: c.Dir}
	w.CopyTo(behind)
	later := first.AddDate(0, 3, 0)
	if made, err := behind.Make(t.Context(), b.Reader, later, nil); err != nil || made.Removed != 0 {
		t.Error("before any was proved:", made.Removed, err)
	}
	for n, want := range []int{0, 1, 1} { // the newest is proved, since it was made now; so is the last of before
		if w.proveCopy(t.Context()); len(w.found) != want {
			t.Errorf("after %d: %v", n+1, w.found)
		}
	}
	made, err := behind.Make(t.Context(), b.Reader, later.Add(time.Hour), nil)
	if err != nil || made.Removed != 1 || len(made.Misfit) != 1 || made.Misfit[0].Stamp != CopyDamaged {
		t.Error("once they were:", made, err)
	}
	if err := w.Prove(t.Context()); err != nil || len(w.found) != 1 || w.found[0].Stamp != CopyDamaged {
		t.Error(w.found, err)
	}
}
