package store

import (
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"fairhand/register/calendar"
)

// TestMain lets the test binary play the other program: the kill and disk
// tests start it again with childEnv set.
func TestMain(m *testing.M) {
	if role := os.Getenv(childEnv); role != "" {
		os.Exit(child(role))
	}
	os.Exit(m.Run())
}

var ennerholme = Meta{Railway: "Thrackley Vale Railway", Box: "Ennerholme", Zone: "Europe/London", Created: 1_777_000_000}

// draft makes the i-th invented entry: ten a day, one a minute.
func draft(i int) Draft {
	at := int64(1_777_000_000) + int64(i)*60
	return Draft{At: at, Recorded: at + 5, Day: calendar.Day(20260501 + i/10%28), Writer: "A. Fell",
		Line: fmt.Sprintf("%02d:%02d Coldbeck <3-1 >3-1 train 2P%02d", i/60%24, i%60, i%100)}
}

func drafts(from, n int) []Draft {
	list := make([]Draft, n)
	for i := range list {
		list[i] = draft(from + i)
	}
	return list
}

func newStore(t testing.TB) *Store {
	t.Helper()
	return newStoreAt(t, filepath.Join(t.TempDir(), "register.db"))
}

func newStoreAt(t testing.TB, path string) *Store {
	t.Helper()
	s, err := Create(path, ennerholme)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

func filled(t testing.TB, n int) *Store {
	t.Helper()
	s := newStore(t)
	if _, err := s.AppendBatch(drafts(0, n)); err != nil {
		t.Fatal(err)
	}
	return s
}

func must[T any](v T, err error) func(testing.TB) T {
	return func(t testing.TB) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

func wantIs(t *testing.T, err, target error, parts ...string) {
	t.Helper()
	if !errors.Is(err, target) {
		t.Fatalf("got %v, want %v", err, target)
	}
	for _, p := range parts {
		if !strings.Contains(err.Error(), p) {
			t.Errorf("message %q does not say %q", err, p)
		}
	}
}

// copyOf is the file under another name.
func copyOf(t *testing.T, path string) string {
	t.Helper()
	other := filepath.Join(t.TempDir(), "copy.db")
	if err := os.WriteFile(other, must(os.ReadFile(path))(t), 0o600); err != nil {
		t.Fatal(err)
	}
	return other
}

// raw opens the file as any SQLite program would.
func raw(t testing.TB, path string) *sql.DB {
	t.Helper()
	if err := driverSetup(); err != nil { // before the first file, whichever test runs first
		t.Fatal(err)
	}
	dsn := must(address(path, mode{}))(t)
	db := must(sql.Open("sqlite", dsn))(t)
	db.SetMaxOpenConns(1)
	t.Cleanup(func() { db.Close() })
	return db
}

func TestWhatIsAppendedIsRead(t *testing.T) {
	s := newStore(t)
	var want []Row
	for i := range 25 {
		d := draft(i)
		if i == 7 {
			d.Writer, d.Line, d.At = "", `note "Ładunek – 'wagon' ; -- 100 % œ"`, -2_000_000_000
		}
		r := must(s.Append(d))(t)
		if got := (Draft{r.At, r.Recorded, r.Day, r.Writer, r.Line}); got != d {
			t.Fatalf("appended %+v, returned %+v", d, got)
		}
		want = append(want, r)
	}
	batch := must(s.AppendBatch(drafts(25, 2500)))(t)
	want = append(want, batch...)

	got := must(s.Range(1, 1<<40))(t)
	if d := cmp.Diff(want, got); d != "" {
		t.Fatal("Range:", d)
	}
	if d := cmp.Diff(want, gathered(t, s.Each(1))); d != "" {
		t.Fatal("Each:", d)
	}
	if d := cmp.Diff(want[1500:], gathered(t, s.Each(1501))); d != "" {
		t.Fatal("Each from 1501:", d)
	}
	for i, r := range want {
		if !r.Intact() || (i > 0 && r.Prev != want[i-1].Hash) || (i == 0 && r.Prev != ennerholme.Genesis()) {
			t.Fatalf("entry %d is not chained", r.Seq)
		}
	}
	report := must(s.Verify(nil))(t)
	first, last := must(s.FirstDay())(t), must(s.LastDay())(t)
	tail := Tail{2525, want[2524].Hash}
	if d := cmp.Diff(Report{Entries: 2525, Tail: tail, FirstDay: first, LastDay: last, Genesis: ennerholme.Genesis()}, report); d != "" {
		t.Error("Verify:", d)
	}
	if s.Tail() != tail {
		t.Errorf("Tail %v", s.Tail())
	}
}

func TestDays(t *testing.T) {
	s := filled(t, 700) // days come again: entries of one day need not be neighbours
	want := must(s.Range(1, 700))(t)
	byDay := map[calendar.Day][]Row{}
	for _, r := range want {
		byDay[r.Day] = append(byDay[r.Day], r)
	}
	days := must(s.Days(0, 0))(t)
	if len(days) != len(byDay) || !slices.IsSorted(days) {
		t.Fatalf("Days gave %v", days)
	}
	for _, day := range days {
		if d := cmp.Diff(byDay[day], must(s.Day(day))(t)); d != "" {
			t.Fatalf("Day %d: %s", day, d)
		}
	}
	if d := cmp.Diff([]calendar.Day{20260503, 20260504}, must(s.Days(20260503, 20260504))(t)); d != "" {
		t.Error(d)
	}
	first, last := must(s.FirstDay())(t), must(s.LastDay())(t)
	if first != days[0] || last != days[len(days)-1] {
		t.Errorf("first %d last %d of %v", first, last, days)
	}
}

func TestEmptyRegister(t *testing.T) {
	s := newStore(t)
	if r := must(s.Verify(nil))(t); r.Entries != 0 || r.Tail.Hash != ennerholme.Genesis() {
		t.Errorf("Verify: %+v", r)
	}
	if rows := gathered(t, s.Each(1)); len(rows) != 0 {
		t.Error(rows)
	}
	if d := must(s.Days(0, 0))(t); len(d) != 0 {
		t.Error(d)
	}
	if d := must(s.LastDay())(t); d != 0 {
		t.Error(d)
	}
	if rows := must(s.AppendBatch(nil))(t); len(rows) != 0 {
		t.Error(rows)
	}
}

func TestReopened(t *testing.T) {
	s := filled(t, 12)
	tail := s.Tail()
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	again := must(Open(s.Path()))(t)
	defer again.Close()
	if again.Meta() != ennerholme || again.Tail() != tail {
		t.Fatalf("reopened with %+v, %+v", again.Meta(), again.Tail())
	}
	if r := must(again.Append(draft(12)))(t); r.Seq != 13 || r.Prev != tail.Hash {
		t.Fatalf("%+v", r)
	}
	if names := must(filepath.Glob(s.Path() + "*"))(t); len(names) != 1 {
		t.Errorf("the register must be one file: %v", names)
	}
}

// A path is data, never syntax of the engine's address.
func TestOddPaths(t *testing.T) {
	for _, name := range []string{"a b", "a#b", "a%20b", "a?mode=memory", "Łódź", "a&b=c;d", "a'b\"c"} {
		t.Run(name, func(t *testing.T) {
			if runtime.GOOS == "windows" && strings.ContainsAny(name, `?"`) {
				t.Skip("no name of a file there")
			}
			dir := filepath.Join(t.TempDir(), name)
			if err := os.Mkdir(dir, 0o755); err != nil {
				t.Fatal(err)
			}
			path := filepath.Join(dir, name+".db")
			s := newStoreAt(t, path)
			must(s.Append(draft(0)))(t)
			must(s.Backup(t.Context(), path+" copy", nil))(t)
			s.Close()
			entries := must(os.ReadDir(dir))(t)
			if len(entries) != 2 || entries[0].Name() != name+".db" {
				t.Fatalf("made %v", entries)
			}
			r := must(OpenReadOnly(path))(t)
			defer r.Close()
			if r.Tail().Seq != 1 {
				t.Error("the entry is not there")
			}
		})
	}
}

func TestSettingsReadBack(t *testing.T) {
	s := newStore(t)
	wrong := mode{keys: writing.keys, check: [][2]string{{"synchronous", "1"}}}
	if db, err := connect(s.Path(), wrong, 1); err == nil {
		db.Close()
		t.Fatal("a setting that did not take effect was accepted")
	} else if !strings.Contains(err.Error(), `synchronous is "3"`) {
		t.Error(err)
	}
	s.Close()
}

// TestSetToWAL: a register that another program has set to WAL is read as it is, and one
// file again, with every entry, once it is opened for writing; while the other holds it,
// that is what is said.
func TestSetToWAL(t *testing.T) {
	s := filled(t, 5)
	s.Close()
	other := raw(t, s.Path())
	must(other.Exec("PRAGMA journal_mode = WAL"))(t)
	reader := must(OpenReadOnly(s.Path()))(t)
	if r := must(reader.Verify(nil))(t); r.Entries != 5 {
		t.Error(r.Entries)
	}
	reader.Close()
	must(other.Exec("BEGIN"))(t)
	if n := must(count(other))(t); n != 5 {
		t.Fatal(n)
	}
	_, err := Open(s.Path())
	wantIs(t, err, ErrBusy, "another program has set it to the mode WAL, and holds it", "nothing in it is lost")
	other.Close()
	again := must(Open(s.Path()))(t)
	defer again.Close()
	var jm string
	if again.write.QueryRow("PRAGMA journal_mode").Scan(&jm); jm != "delete" {
		t.Errorf("journal mode %s", jm)
	}
	if r := must(again.Append(draft(5)))(t); r.Seq != 6 {
		t.Error(r.Seq)
	}
	if r := must(again.Verify(nil))(t); r.Entries != 6 {
		t.Error(r.Entries)
	}
}

func count(db *sql.DB) (n int, err error) {
	err = db.QueryRow("SELECT count(*) FROM entry").Scan(&n)
	return n, err
}
