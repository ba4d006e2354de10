package store

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"
)

func TestRefusedDrafts(t *testing.T) {
	s := newStore(t)
	for name, change := range map[string]func(*Draft){
		"empty line":       func(d *Draft) { d.Line = "" },
		"two lines":        func(d *Draft) { d.Line = "a\nb" },
		"tab in line":      func(d *Draft) { d.Line = "a\tb" },
		"NUL in line":      func(d *Draft) { d.Line = "a\x00b" },
		"next line C1":     func(d *Draft) { d.Line = "a\u0085b" },
		"not UTF-8":        func(d *Draft) { d.Line = "a\xffb" },
		"endless line":     func(d *Draft) { d.Line = strings.Repeat("a", maxLine+1) },
		"writer two lines": func(d *Draft) { d.Writer = "A\nB" },
		"no day":           func(d *Draft) { d.Day = 0 },
		"month 13":         func(d *Draft) { d.Day = 20261301 },
		"milliseconds":     func(d *Draft) { d.At = 1_777_000_000_000 },
	} {
		d := draft(0)
		change(&d)
		_, err := s.Append(d)
		if !errors.Is(err, ErrDraft) || !strings.Contains(err.Error(), s.Path()) {
			t.Errorf("%s: %v", name, err)
		}
		if _, err := s.AppendBatch([]Draft{draft(1), d}); !errors.Is(err, ErrDraft) {
			t.Errorf("%s in a batch: %v", name, err)
		}
	}
	for name, m := range map[string]Meta{"railway": {Railway: "a\nb", Box: "b", Zone: "UTC"}, "box": {Railway: "a", Box: "b\nc", Zone: "UTC"}, "time zone": {Railway: "a", Box: "b"}} {
		_, err := Create(s.Path()+"2", m)
		wantIs(t, err, ErrDraft, name+" ")
	}
	if n := must(s.Verify(nil))(t).Entries; n != 0 {
		t.Errorf("%d entries from refused drafts", n)
	}
}

func TestWhatIsNotARegister(t *testing.T) {
	dir := t.TempDir()
	file := func(name, content string) string {
		p := filepath.Join(dir, name)
		if err := os.WriteFile(p, []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
		return p
	}
	foreign := filepath.Join(dir, "foreign.db")
	must(raw(t, foreign).Exec("PRAGMA journal_mode = WAL; CREATE TABLE entry(seq)"))(t)
	for name, path := range map[string]string{
		"empty":   file("empty.db", ""),
		"text":    file("text.db", strings.Repeat("06:00 box open\n", 100)),
		"foreign": foreign,
		"folder":  dir,
	} {
		_, err := Open(path)
		t.Run(name, func(t *testing.T) { wantIs(t, err, ErrNotRegister, path, ";") })
		_, err = OpenReadOnly(path)
		t.Run(name+" read-only", func(t *testing.T) { wantIs(t, err, ErrNotRegister, path) })
	}
	var jm string
	if raw(t, foreign).QueryRow("PRAGMA journal_mode").Scan(&jm); jm != "wal" {
		t.Error("a foreign file was changed to", jm)
	}
	_, err := Open(filepath.Join(dir, "none.db"))
	wantIs(t, err, fs.ErrNotExist, "none.db")
	if _, err := os.Stat(filepath.Join(dir, "none.db")); err == nil {
		t.Error("Open made a file")
	}
	_, err = Create(foreign, ennerholme)
	wantIs(t, err, fs.ErrExist, "never overwritten")
	_, err = Create(filepath.Join(dir, "no", "such.db"), ennerholme)
	wantIs(t, err, fs.ErrNotExist)
}

func TestNewerFile(t *testing.T) {
	s := filled(t, 3)
	s.Close()
	must(raw(t, s.Path()).Exec(fmt.Sprintf("PRAGMA user_version = %d", fileVersion+1)))(t)
	for _, open := range []func(string) (*Store, error){Open, OpenReadOnly} {
		_, err := open(s.Path())
		wantIs(t, err, ErrTooNew, s.Path(), fmt.Sprintf("version %d", fileVersion+1), "newer program")
	}
}

// Two programs on one register: nobody's entry is lost, and nobody writes
// after an entry that he has not seen.
func TestTwoWriters(t *testing.T) {
	a := filled(t, 3)
	b := must(Open(a.Path()))(t)
	defer b.Close()
	must(a.Append(draft(3)))(t)
	_, err := b.Append(draft(4))
	wantIs(t, err, ErrConflict, a.Path(), "entry 3", "nothing was recorded")
	_, err = b.AppendBatch(drafts(4, 2))
	wantIs(t, err, ErrConflict)
	if _, err = b.Append(draft(4)); !errors.Is(err, ErrConflict) {
		t.Fatal("the conflict went away without looking")
	}
	rows := must(b.CatchUp())(t)
	if len(rows) != 1 || rows[0].Seq != 4 || rows[0].Line != draft(3).Line {
		t.Fatalf("caught up with %+v", rows)
	}
	must(b.AppendBatch(drafts(4, 2)))(t)
	if rows := must(a.CatchUp())(t); len(rows) != 2 {
		t.Fatalf("%d rows", len(rows))
	}
	if rows := must(a.CatchUp())(t); len(rows) != 0 {
		t.Fatalf("%d rows seen twice", len(rows))
	}
	must(a.Append(draft(6)))(t)
	if r := must(a.Verify(nil))(t); r.Entries != 7 {
		t.Errorf("%d entries", r.Entries)
	}
}

func TestLockedByAnother(t *testing.T) {
	s := filled(t, 2)
	must(s.write.Exec("PRAGMA busy_timeout = 20"))(t)
	other := raw(t, s.Path())
	tx := must(other.Begin())(t)
	must(tx.Exec("DELETE FROM snapshot WHERE seq < 0; INSERT INTO snapshot VALUES(-1, x'', '', x'', x'')"))(t)
	_, err := s.Append(draft(2))
	wantIs(t, err, ErrBusy, s.Path()+": append entry 3", "database is locked", "NOT recorded", "close the other program")
	_, err = s.AppendBatch(drafts(2, 2))
	wantIs(t, err, ErrBusy, s.Path()+": append entry 3", "NOT recorded", "close the other program")
	tx.Rollback()
	if r := must(s.Append(draft(2)))(t); r.Seq != 3 {
		t.Errorf("entry %d", r.Seq)
	}
}

func TestReadersDuringAppends(t *testing.T) {
	s := filled(t, 3000)
	stop := make(chan struct{})
	done := make(chan error, 1)
	go func() {
		for {
			select {
			case <-stop:
				done <- nil
				return
			default:
				if _, err := s.Verify(nil); err != nil {
					done <- err
					return
				}
			}
		}
	}()
	for i := range 30 {
		must(s.Append(draft(3000 + i)))(t)
	}
	close(stop)
	if err := <-done; err != nil {
		t.Fatal(err)
	}
}

func TestReadOnlyStore(t *testing.T) {
	s := filled(t, 2)
	r := must(OpenReadOnly(s.Path()))(t)
	defer r.Close()
	_, err := r.Append(draft(2))
	wantIs(t, err, ErrReadOnly, s.Path())
	_, err = r.AppendBatch(drafts(2, 2))
	wantIs(t, err, ErrReadOnly)
	wantIs(t, r.PutSnapshot(Snapshot{}), ErrReadOnly, s.Path()+": keep a snapshot")
	must(s.Append(draft(2)))(t)
	if rows := must(r.CatchUp())(t); len(rows) != 1 {
		t.Errorf("a reader caught up with %d rows", len(rows))
	}
}

func TestManyGoroutinesAppend(t *testing.T) {
	s := newStore(t)
	var wg sync.WaitGroup
	for g := range 4 {
		wg.Go(func() {
			for i := range 10 {
				if _, err := s.Append(draft(g*10 + i)); err != nil {
					t.Error(err)
				}
				s.Tail()
			}
		})
	}
	wg.Wait()
	if n := must(s.Verify(nil))(t).Entries; n != 40 {
		t.Errorf("%d entries", n)
	}
}

func TestVerifyTellsProgress(t *testing.T) {
	s := filled(t, 2500)
	var last, calls int64
	must(s.Verify(func(done, total int64) {
		if total != 2500 || done <= last {
			t.Errorf("%d of %d after %d", done, total, last)
		}
		last, calls = done, calls+1
	}))(t)
	if last != 2500 || calls < 2 {
		t.Errorf("ended at %d after %d calls", last, calls)
	}
}

// A file that is moved, removed or replaced while it is open is told as that, at
// once by InPlace and by the entry that could not be written. Once it is back in its
// place the same entry is written, as the first after those there were.
func TestFileTakenAway(t *testing.T) {
	for name, take := range map[string]func(path string) error{
		"moved":   func(path string) error { return os.Rename(path, path+".old") },
		"removed": os.Remove,
		"folder":  func(path string) error { return os.Rename(filepath.Dir(path), filepath.Dir(path)+"-old") },
		"replaced": func(path string) error {
			data, err := os.ReadFile(path)
			return errors.Join(err, os.WriteFile(path+".new", data, 0o600), os.Rename(path+".new", path))
		},
	} {
		t.Run(name, func(t *testing.T) {
			if runtime.GOOS == "windows" {
				t.Skip("a file that is open cannot be taken away there")
			}
			dir := filepath.Join(t.TempDir(), "box")
			if err := os.Mkdir(dir, 0o700); err != nil {
				t.Fatal(err)
			}
			s := newStoreAt(t, filepath.Join(dir, "register.db"))
			must(s.Append(draft(0)))(t)
			if err := s.InPlace(); err != nil {
				t.Fatal(err)
			}
			if err := take(s.Path()); err != nil {
				t.Fatal(err)
			}
			wantIs(t, s.InPlace(), ErrMoved, s.Path(), "moved, removed or replaced", "paper")
			_, err := s.Append(draft(1))
			wantIs(t, err, ErrMoved, s.Path()+": append entry 2", "moved, removed or replaced", "NOT recorded", "paper")
			back := map[string]string{"moved": s.Path(), "folder": dir}[name]
			if back == "" {
				return
			}
			from := s.Path() + ".old"
			if name == "folder" {
				from = dir + "-old"
			}
			if err := os.Rename(from, back); err != nil {
				t.Fatal(err)
			}
			if r := must(s.Append(draft(1)))(t); r.Seq != 2 || s.InPlace() != nil {
				t.Errorf("entry %d once it is back; %v", r.Seq, s.InPlace())
			}
			must(s.Verify(nil))(t)
		})
	}
}
