package store

import (
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

// Drafts that come one by one are written as a batch is, one alone too: all
// or none, with the very error that one of them, or their source, had.
func TestAppendEach(t *testing.T) {
	s := newStore(t)
	if rows := must(s.AppendBatch(drafts(0, 1)))(t); len(rows) != 1 || rows[0].Seq != 1 {
		t.Errorf("a batch of one: %v", rows)
	}
	if rows := must(s.AppendBatch(nil))(t); rows != nil {
		t.Errorf("a batch of none: %v", rows)
	}
	if err := s.AppendEach(pointers(drafts(1, 3))); err != nil {
		t.Fatal(err)
	}
	if rows := must(s.Range(2, 9))(t); len(rows) != 3 || rows[2].Line != drafts(3, 1)[0].Line || s.Tail().Seq != 4 {
		t.Errorf("kept %v", rows)
	}
	bad := drafts(4, 3)
	bad[1].Line = ""
	err := s.AppendEach(pointers(bad))
	wantIs(t, err, ErrDraft, s.Path()+": append, entry 2: line is empty")
	if strings.Contains(err.Error(), "recorded") {
		t.Errorf("a draft's own error speaks of the disk: %v", err)
	}
	ended := errors.New("the source ended")
	broken := func(yield func(*Draft, error) bool) { _ = yield(&bad[0], nil) && yield(nil, ended) }
	if err := s.AppendEach(broken); err != ended {
		t.Errorf("told %v", err)
	}
	if r := must(s.Verify(nil))(t); r.Entries != 4 || s.Tail() != r.Tail {
		t.Errorf("%d entries after drafts that were refused", r.Entries)
	}
	other := must(Open(s.Path()))(t)
	defer other.Close()
	must(other.Append(draft(4)))(t)
	_, err = s.AppendBatch(drafts(4, 2))
	if wantIs(t, err, ErrConflict); strings.Contains(err.Error(), "NOT recorded") {
		t.Errorf("a conflict told twice: %v", err)
	}
}

// Where a name, a file or what lies beside it cannot be used, the error begins with the
// name and says what is wrong and what to do; nothing is left of what was begun.
func TestNamesThatCannotBeUsed(t *testing.T) {
	s := filled(t, 3)
	in := t.TempDir()
	path := func(name string) string { return filepath.Join(in, name) }
	file := path("file")
	if err := os.WriteFile(file, []byte("x"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, dir := range []string{"folder", "new.db-journal", "old.db-journal"} {
		if err := os.Mkdir(path(dir), 0o700); err != nil {
			t.Fatal(err)
		}
	}
	must(s.Backup(t.Context(), path("old.db"), nil))(t)
	below := filepath.Join(file, "register.db")
	for name, c := range map[string]struct {
		do    func() error
		is    error
		words []string
	}{
		"open none":            {func() error { return second(Open(path("none.db"))) }, fs.ErrNotExist, []string{path("none.db") + ": open: ", "check the name"}},
		"open with a folder":   {func() error { return second(Open(path("old.db"))) }, nil, []string{path("old.db") + ": open: ", "-journal is not a file", "take it away"}},
		"read with a folder":   {func() error { return second(OpenReadOnly(path("old.db"))) }, nil, []string{path("old.db") + ": open: ", "-journal is not a file"}},
		"create with a folder": {func() error { return second(Create(path("new.db"), ennerholme)) }, nil, []string{path("new.db") + ": make a new register: ", "check that the file exists and that its folder can be read and written"}},
		"create over a file":   {func() error { return second(Create(file, ennerholme)) }, fs.ErrExist, []string{file + ": make a new register", "never overwritten"}},
		"back up over a file":  {func() error { return second(s.Backup(t.Context(), file, nil)) }, fs.ErrExist, []string{file + ": back up: ", "never overwritten"}},
		"restore to a folder": {func() error { return second(s.Replace(t.Context(), path("folder"), path("kept"), nil)) }, nil,
			[]string{path("folder") + ": restore: it is not a file", "restore to where the file itself is"}},
		"restore below a file": {func() error { return second(s.Replace(t.Context(), below, path("kept"), nil)) }, nil,
			[]string{below + ": restore: it is not a file", "not a directory"}},
		"keep under a name": {func() error { return second(s.Replace(t.Context(), file, path("old.db"), nil)) }, fs.ErrExist,
			[]string{path("old.db") + ": keep the old register under this name: ", "never overwritten"}},
	} {
		if runtime.GOOS == "windows" && strings.HasPrefix(name, "restore below") {
			continue // what is below a file is not found there, as in a folder that is missing
		}
		err := c.do()
		if err == nil || c.is != nil && !errors.Is(err, c.is) || !strings.HasPrefix(err.Error(), c.words[0]) {
			t.Errorf("%s: %v", name, err)
			continue
		}
		for _, words := range c.words {
			if !strings.Contains(err.Error(), words) {
				t.Errorf("%s: %v does not say %q", name, err, words)
			}
		}
	}
	if left := must(os.ReadDir(in))(t); len(left) != 5 {
		t.Errorf("left: %v", left)
	}
}

// A folder that a file has taken the place of is told with what the system says.
func TestFolderReplacedByAFile(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("a file that is open cannot be taken away there")
	}
	dir := filepath.Join(t.TempDir(), "box")
	if err := os.Mkdir(dir, 0o700); err != nil {
		t.Fatal(err)
	}
	s := newStoreAt(t, filepath.Join(dir, "register.db"))
	if info := must(os.Stat(s.Path()))(t); info.Mode().Perm() != 0o600 {
		t.Errorf("the names of people can be read: %v", info.Mode())
	}
	if err := errors.Join(os.Rename(dir, dir+"-old"), os.WriteFile(dir, nil, 0o600)); err != nil {
		t.Fatal(err)
	}
	err := s.InPlace()
	var system *fs.PathError
	if err == nil || errors.Is(err, ErrMoved) || !errors.As(err, &system) || !strings.HasPrefix(err.Error(), s.Path()+": look whether") || !strings.Contains(err.Error(), "paper") {
		t.Errorf("told %v", err)
	}
}

// A file is a register by both of its marks, and is opened for writing where its heading
// is what its chain begins with; without that its entries are proved from the second on.
func TestMarksAndHeading(t *testing.T) {
	for name, c := range map[string]struct {
		sql  string
		kind error
	}{
		"another program's":  {"PRAGMA application_id = 7", ErrNotRegister},
		"no version":         {"PRAGMA user_version = 0", ErrNotRegister},
		"a heading of ours":  {"", nil},
		"the box of another": {"UPDATE meta SET value = 'Coldbeck' WHERE key = 'box'", ErrDamaged},
	} {
		s := filled(t, 5)
		s.Close()
		forge(t, s.Path(), c.sql)
		w, err := Open(s.Path())
		if !errors.Is(err, c.kind) {
			t.Errorf("%s: %v", name, err)
		}
		if err == nil {
			w.Close()
		}
		if !errors.Is(c.kind, ErrDamaged) {
			continue
		}
		damageIs(t, err, s.Path(), 0, Heading, "is not what the chain begins with")
		r := must(OpenReadOnly(s.Path()))(t)
		rows, err := r.Range(1, 5)
		if damageIs(t, err, s.Path(), 0, Heading, "is not what the chain begins with"); len(rows) != 0 {
			t.Errorf("%d entries of a chain without its beginning", len(rows))
		}
		if rows := must(r.Range(2, 5))(t); len(rows) != 4 {
			t.Errorf("%d entries from the second on", len(rows))
		}
		r.Close()
	}
}

// Each way of opening waits for another program, and is refused for a file in another
// encoding, whose texts would be other bytes than those sealed. Only one connection writes.
func TestWaysOfOpening(t *testing.T) {
	s := newStore(t)
	foreign := filepath.Join(t.TempDir(), "utf16.db")
	must(raw(t, foreign).Exec("PRAGMA encoding = 'UTF-16le'; CREATE TABLE t(x)"))(t)
	for name, m := range map[string]mode{"writing": writing, "reading": reading, "salvage": salvageMode, "mending": mending} {
		db := must(connect(s.Path(), m, 1))(t)
		var wait string
		if err := db.QueryRow("PRAGMA busy_timeout").Scan(&wait); err != nil || wait != busyMillis {
			t.Errorf("%s: waits %s ms, %v", name, wait, err)
		}
		db.Close()
		if db, err := connect(foreign, m, 1); err == nil {
			t.Errorf("%s: another encoding was not noticed", name)
			db.Close()
		} else {
			wantIs(t, err, err, foreign+": encoding is ", "open it again")
		}
	}
	if w, r := s.write.Stats().MaxOpenConnections, s.read.Stats().MaxOpenConnections; w != 1 || r != readers {
		t.Errorf("%d connections may write and %d read", w, r)
	}
	if u := must(url.Parse(must(address(s.Path(), reading))(t)))(t); runtime.GOOS != "windows" && u.Path != s.Path() {
		t.Errorf("the address %v, of %s", u, s.Path())
	}
}

// What the engine cannot read is told with the file and what was asked.
func TestListThatCannotBeRead(t *testing.T) {
	s := filled(t, 30)
	s.Close()
	content := must(os.ReadFile(s.Path()))(t)
	var root int
	raw(t, s.Path()).QueryRow("SELECT rootpage FROM sqlite_schema WHERE name = 'entry_day'").Scan(&root)
	content[(root-1)*4096] = 0xff
	path := filepath.Join(t.TempDir(), "broken.db")
	if err := os.WriteFile(path, content, 0o600); err != nil {
		t.Fatal(err)
	}
	r := must(OpenReadOnly(path))(t)
	defer r.Close()
	_, err := r.Days(0, 0)
	damageIs(t, err, path, 0, Unreadable, "list the days")
	_, err = Open(path)
	damageIs(t, err, path, 0, Unreadable, "check the list of days")
}

// What stands before a fault is given, also where the fault is the last of those asked
// for or the first of the next that are read together.
func TestWhatStandsBeforeAFault(t *testing.T) {
	for _, seq := range []int64{1, 2, chunkRows, chunkRows + 1, chunkRows + 2} {
		s := filled(t, chunkRows+3)
		s.Close()
		forge(t, s.Path(), fmt.Sprintf("UPDATE entry SET line = 'x' WHERE seq = %d", seq))
		r := must(OpenReadOnly(s.Path()))(t)
		rows, err := r.Range(1, 1<<40)
		damageIs(t, err, s.Path(), seq, Changed, "its fields")
		if int64(len(rows)) != seq-1 {
			t.Errorf("%d entries before number %d", len(rows), seq)
		}
		r.Close()
	}
}

// A program killed in the middle of an entry leaves the engine's journal beside
// the file. Who opens it next, even for reading, finds the entries acknowledged.
func TestHalfWrittenEntryIsTakenBack(t *testing.T) {
	s := filled(t, 200)
	s.Close()
	db := raw(t, s.Path())
	must(db.Exec("PRAGMA cache_size = 1"))(t) // what is written goes to the file at once
	tx := must(db.Begin())(t)
	for seq := 201; seq < 260; seq++ {
		must(tx.Exec("INSERT INTO entry VALUES(?, 1, 1, 20260501, '', ?, randomblob(32))", seq, strings.Repeat("half ", 400)))(t)
	}
	killed := filepath.Join(t.TempDir(), "register.db")
	for _, part := range []string{"", "-journal"} {
		if err := os.WriteFile(killed+part, must(os.ReadFile(s.Path()+part))(t), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	tx.Rollback()
	_, err := connect(killed, reading, 1) // where it cannot be set right
	wantIs(t, err, ErrHalfWritten, killed+": open", "copy the whole folder to another disk")
	r := must(OpenReadOnly(killed))(t)
	defer r.Close()
	if r.Tail() != s.Tail() {
		t.Errorf("ends with %+v", r.Tail())
	}
	if report := must(r.Verify(nil))(t); report.Entries != 200 || report.Tail != s.Tail() {
		t.Errorf("%+v", report)
	}
	if _, err := os.Stat(killed + "-journal"); !errors.Is(err, fs.ErrNotExist) {
		t.Error("the journal is still there:", err)
	}
}
