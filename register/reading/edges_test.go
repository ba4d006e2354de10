package reading

import (
	"database/sql"
	"errors"
	"io"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"fairhand/block"
	"fairhand/register/notation"
	"fairhand/register/store"
)

// TestSpans: of a register those entries are given that lie within the span, however it
// is read, and an entry that is not written yet stands behind them.
func TestSpans(t *testing.T) {
	st := registerOf(t, "date 2026-05-05\n10:00 fog on\n10:01 fog off\n10:02 note \"a\"\n10:03 correct 1 \"10:00 note \\\"b\\\"\"\n10:04 note \"c\"\n")
	with := &block.Event{Seq: 6, At: 1777978800, Kind: block.Note, Text: "d", Written: 1777979100} // 5 May 12:00, written at 12:05
	for after := range int64(6) {
		for to := range int64(6) {
			var want []int64
			for seq := after + 1; seq <= 5 && (to == 0 || seq <= to); seq++ {
				want = append(want, seq)
			}
			for _, s := range []Span{{}, {Proved: true}, {Damaged: true}, {With: with}} {
				if s.After, s.To = after, to; s.Proved && to == 0 {
					continue
				}
				want := want
				if s.With != nil {
					want = append(slices.Clone(want), 6)
				}
				var got []int64
				for e, err := range Of(st, london(t)).Entries(t.Context(), s) {
					if err != nil {
						t.Fatal(err)
					}
					got = append(got, e.Seq)
					if e.Seq == 1 && e.CorrectedBy != 4 {
						t.Errorf("%+v: entry 1 is corrected by %d, want 4", s, e.CorrectedBy)
					}
					if row := (store.Row{Seq: 6, At: int64(with.At), Recorded: int64(with.Written), Day: 20260505}); e.Seq == 6 && e.Row != row {
						t.Errorf("what is not written yet is %+v, want %+v", e.Row, row)
					}
				}
				if !slices.Equal(got, want) {
					t.Errorf("%+v: %v, want %v", s, got, want)
				}
			}
		}
	}
}

// TestCorrectable: an entry is corrected that is there, by a line that can be read, and no
// PIN and no description of the box comes into a book so, nor out of it: also not by a
// correction of a correction.
func TestCorrectable(t *testing.T) {
	st := registerOf(t, "date 2026-05-05\n10:00 duty on \"A. Fell\" by-pin\n10:01 pin set \"A. Fell\" 00\n10:02 duty on \"R. Howe\"\n10:03 note \"a\"\n10:04 correct 4 \"10:03 note \\\"b\\\"\"\n")
	digest := strings.Repeat("0f", 32)
	const pin, byPIN, described = "which PIN is known by what", "by-pin stands only where", "which description of the box"
	for _, c := range []struct {
		target int64
		text   string
		want   string // "" when it may be written
	}{
		{4, "10:03 fog on", ""},
		{0, "10:03 fog on", "no entry 0 to correct; the last is 5"},
		{6, "10:03 fog on", "no entry 6 to correct; the last is 5"},
		{4, "10:03 fig on", "instead of entry 4: "},
		{2, "10:01 note \"x\"", pin},
		{4, "10:03 pin set \"A. Fell\" 00", pin},
		{4, "10:03 pin reset \"A. Fell\" 00 by \"R. Howe\"", pin},
		{1, "09:59 duty on \"A. Fell\" by-pin", ""},
		{1, "10:00 duty on \"A. Fell\"", ""},
		{1, "10:00 duty on \"R. Howe\" by-pin", byPIN},
		{3, "10:02 duty on \"R. Howe\" by-pin", byPIN},
		{4, "10:03 duty on \"A. Fell\" by-pin", byPIN},
		{4, "10:03 box described " + digest, described},
		{4, "10:03 countersign 1 \"A. Fell\" by-pin", byPIN},
		{4, "10:03 sign \"A. Fell\" by-pin", byPIN},
		{5, "10:04 correct 4 \"10:03 fog on\"", ""},
		{5, "10:04 correct 4 \"10:03 pin set \\\"A. Fell\\\" 00\"", pin},
		{5, "10:04 correct 3 \"10:02 duty on \\\"R. Howe\\\" by-pin\"", byPIN},
		{5, "10:04 correct 4 \"10:03 box described " + digest + "\"", described},
		{5, "10:04 correct 5 \"10:04 fog on\"", "no entry 5 to correct; the last is 4"},
	} {
		err := Of(st, london(t)).Correctable(&block.Event{Seq: 6, Kind: block.Correct, Target: c.target, Text: c.text})
		if (err == nil) != (c.want == "") || err != nil && !strings.Contains(err.Error(), c.want) {
			t.Errorf("correct %d %q: %v, want %q", c.target, c.text, err, c.want)
		}
	}
	for _, err := range Of(st, london(t)).Entries(t.Context(), Span{With: &block.Event{Seq: 6, Kind: block.Correct, Target: 9, Text: "10:03 fog on"}}) {
		if err == nil || !strings.Contains(err.Error(), "no entry 9") {
			t.Errorf("read with a correction of nothing: %v", err)
		}
	}
}

// TestDamagedListOfCorrections: a correction that its list does not find is damage by
// name; read under an alarm, it is found without the list.
func TestDamagedListOfCorrections(t *testing.T) {
	st := registerOf(t, "date 2026-05-05\n10:00 fog on\n10:01 correct 1 \"10:00 fog off\"\n10:02 explain 1 \"x\"\n")
	hidden := hideFromIndex(t, st)
	want := told(t, Of(registerOf(t, "date 2026-05-05\n10:00 fog on\n10:01 correct 1 \"10:00 fog off\"\n10:02 explain 1 \"x\"\n"), london(t)).Entries(t.Context(), Span{}))
	if got := told(t, Of(hidden, london(t)).Entries(t.Context(), Span{Damaged: true})); got != want {
		t.Errorf("under an alarm:\n%s want\n%s", got, want)
	}
	var d *store.DamagedError
	for _, err := range Of(hidden, london(t)).Entries(t.Context(), Span{}) {
		if err != nil && (!errors.As(err, &d) || d.Kind != store.Index || d.Path != hidden.Path() || !strings.Contains(err.Error(), "entry 2 corrects")) {
			t.Error(err)
		}
	}
	if d == nil {
		t.Error("read without the correction, and nothing told")
	}
	rd, err := Of(hidden, london(t)).Reader(2)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := hidden.Append(store.Draft{At: 1777971900, Recorded: 1777971900, Day: 20260505, Line: "10:05 explain 2 \"y\""}); err != nil {
		t.Fatal(err)
	}
	rows, err := hidden.Range(2, 4)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		rows []store.Row
		lost bool
	}{{rows[:1], false}, {rows[1:2], true}, {rows[2:], false}} { // before the span, within it, since the reader was made
		if _, err := rd.decode(c.rows, Span{}); errors.As(err, &d) != c.lost {
			t.Errorf("entry %d: %v", c.rows[0].Seq, err)
		}
	}
}

// hideFromIndex takes the entries that speak of others out of the list of them, as a bad
// sector would.
func hideFromIndex(t *testing.T, st *store.Store) *store.Store {
	t.Helper()
	path := st.Path()
	if err := st.Close(); err != nil {
		t.Fatal(err)
	}
	db, err := sql.Open("sqlite", path)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	db.SetMaxOpenConns(1)
	var was string
	if err := db.QueryRow("SELECT sql FROM sqlite_schema WHERE name = 'entry_refers'").Scan(&was); err != nil {
		t.Fatal(err)
	}
	for _, do := range []string{"DROP INDEX entry_refers", "CREATE INDEX entry_refers ON entry(seq) WHERE seq < 0", "PRAGMA writable_schema = 1"} {
		if _, err := db.Exec(do); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := db.Exec("UPDATE sqlite_schema SET sql = ? WHERE name = 'entry_refers'", was); err != nil {
		t.Fatal(err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	again, err := store.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { again.Close() })
	return again
}

// source is a book on a disk that counts what is read of it, and fails.
type source struct {
	io.ReadSeeker
	read             int
	seekErr, readErr error
}

func (s *source) Read(b []byte) (int, error) {
	if s.readErr != nil {
		return 0, s.readErr
	}
	n, err := s.ReadSeeker.Read(b)
	s.read += n
	return n, err
}

func (s *source) Seek(to int64, whence int) (int64, error) {
	if s.seekErr != nil {
		return 0, s.seekErr
	}
	return s.ReadSeeker.Seek(to, whence)
}

// TestBookOnADisk: what the disk says ends a survey and a reading; of a book that is all
// faults no more is read than is told.
func TestBookOnADisk(t *testing.T) {
	disk := errors.New("a disk")
	const book = "date 2026-05-05\n10:00 fog on\n10:01 correct 1 \"10:00 fog off\"\n"
	for _, fail := range []func(*source){func(s *source) { s.seekErr = disk }, func(s *source) { s.readErr = disk }} {
		src := &source{ReadSeeker: strings.NewReader(book)}
		b, err := Survey(t.Context(), src, london(t))
		if err != nil {
			t.Fatal(err)
		}
		fail(src)
		n := 0
		for e, err := range b.Entries(t.Context()) {
			if n++; e != nil || !errors.Is(err, disk) {
				t.Errorf("%v, %v, want that of the disk", e, err)
			}
		}
		if _, err := Survey(t.Context(), src, london(t)); !errors.Is(err, disk) || n != 1 {
			t.Errorf("surveyed: %v, told %d times", err, n)
		}
	}
	src := &source{ReadSeeker: strings.NewReader("date 2026-05-05\n" + strings.Repeat("10:00 fig\n", 100_000))}
	if _, err := Survey(t.Context(), src, london(t)); err == nil || src.read > 500_000 {
		t.Errorf("%v after %d bytes", err, src.read)
	}
}

// TestProved: an entry altered in the file is told, however it is read but under an alarm;
// where each is proved up to the end of the span, one beyond it is not looked at.
func TestProved(t *testing.T) {
	st := registerOf(t, "date 2026-05-05\n10:00 fog on\n10:01 fog off\n10:02 note \"a\"\n")
	forge(t, st, "DROP TRIGGER entry_no_update", "UPDATE entry SET line = '10:02 note \"b\"' WHERE seq = 3")
	for _, c := range []struct {
		s    Span
		told bool
	}{{Span{}, true}, {Span{To: 3}, true}, {Span{To: 3, Proved: true}, true}, {Span{To: 2, Proved: true}, false}, {Span{To: 1, Proved: true}, false}, {Span{To: 3, Damaged: true}, false}} {
		var told error
		for _, err := range Of(st, london(t)).Entries(t.Context(), c.s) {
			if err != nil {
				told = err
			}
		}
		if errors.Is(told, store.ErrDamaged) != c.told {
			t.Errorf("%+v: %v", c.s, told)
		}
	}
	st = registerOf(t, "date 2026-05-05\n10:00 fog on\n10:01 fog off\n10:02 note \"a\"\n")
	forge(t, st, "DROP TRIGGER entry_no_delete", "DELETE FROM entry WHERE seq = 3")
	for proved, want := range map[bool]bool{true: true, false: false} {
		var told error
		for _, err := range Of(st, london(t)).Entries(t.Context(), Span{To: 3, Proved: proved}) {
			if err != nil {
				told = err
			}
		}
		if errors.Is(told, store.ErrDamaged) != want {
			t.Errorf("cut short, proved %v: %v", proved, told)
		}
	}
}

// TestKeptUnderAnotherDay: an entry whose line is of another day than that it is kept under is
// told, and given only under an alarm.
func TestKeptUnderAnotherDay(t *testing.T) {
	st := registerOf(t, "date 2026-05-05\n10:00 fog on\n")
	if _, err := st.Append(store.Draft{At: 1777971720, Recorded: 1777971720, Day: 20260506, Line: "10:02 fog off"}); err != nil {
		t.Fatal(err)
	}
	for _, damaged := range []bool{false, true} {
		n, told := 0, ""
		for _, err := range Of(st, london(t)).Entries(t.Context(), Span{Damaged: damaged}) {
			if n++; err != nil {
				n, told = n-1, err.Error()
			}
		}
		if damaged && (n != 2 || told != "") || !damaged && !strings.Contains(told, "entry 2 is kept under 2026-05-06 and its line is of 2026-05-05") {
			t.Errorf("damaged %v: %d entries, %q", damaged, n, told)
		}
	}
}

func forge(t *testing.T, st *store.Store, statements ...string) {
	t.Helper()
	db, err := sql.Open("sqlite", st.Path())
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	for _, do := range statements {
		if _, err := db.Exec(do); err != nil {
			t.Fatal(do, err)
		}
	}
}

// TestFirstEntryDescribes: a description that the first entry brings in is proved as any other.
func TestFirstEntryDescribes(t *testing.T) {
	st, err := store.Create(filepath.Join(t.TempDir(), "register.db"), store.Meta{Railway: "Thrackley Vale Railway", Box: "Ennerholme", Zone: "Europe/London", Created: 1})
	if err != nil {
		t.Fatal(err)
	}
	defer st.Close()
	line := notation.Format(block.Event{At: 2000, Kind: block.Described, Subject: store.Digest(plainBox)}, london(t))
	if _, err := st.AppendDescription(store.Draft{At: 2000, Recorded: 2000, Day: 19700101, Line: line}, plainBox); err != nil {
		t.Fatal(err)
	}
	if d, err := Of(st, london(t)).Described(1); err != nil || d.Entry != 1 {
		t.Errorf("%+v, %v", d, err)
	}
	forge(t, st, "DROP TRIGGER description_no_update", "UPDATE description SET text = text || '# x'")
	if d, err := Of(st, london(t)).Described(1); !errors.Is(err, store.ErrDamaged) {
		t.Errorf("%+v, %v, want damage", d, err)
	}
}

// TestClosed: a register that was closed gives errors, never an empty book.
func TestClosed(t *testing.T) {
	st, _ := describedAnew(t)
	r := Of(st, london(t))
	rd, err := r.Reader(0)
	if err != nil {
		t.Fatal(err)
	}
	if err := st.Close(); err != nil {
		t.Fatal(err)
	}
	entries := func(s Span) (err error) {
		for _, fault := range r.Entries(t.Context(), s) {
			err = errors.Join(err, fault)
		}
		return err
	}
	for name, err := range map[string]error{
		"Entries":      entries(Span{}),
		"With":         entries(Span{With: &block.Event{Seq: 6, Kind: block.Correct, Target: 1, Text: "00:16 fog on"}}),
		"Correctable":  r.Correctable(&block.Event{Seq: 6, Kind: block.Correct, Target: 1, Text: "00:16 fog on"}),
		"Described":    func() error { _, err := r.Described(1); return err }(),
		"Descriptions": func() error { _, err := r.Descriptions(); return err }(),
		"Reader":       func() error { _, err := r.Reader(0); return err }(),
		"Entry":        rd.Entry(&store.Row{Seq: 2, At: 1060, Line: "00:17 box described " + strings.Repeat("0f", 32)}, new(Entry)),
	} {
		if err == nil {
			t.Errorf("%s tells nothing", name)
		}
	}
}
