package reading

import (
	"database/sql"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"fairhand/block"
	"fairhand/register/boxfile"
	"fairhand/register/calendar"
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

// TestGivenEarly: an entry is given before the whole book is read, of a book of any length
// no more than a few thousand wait, and what is given early is what would have been given
// at the end. Reached is the last entry given when those up to it were, and no others, and
// only behind them a reading is whole.
func TestGivenEarly(t *testing.T) {
	file, err := boxfile.Decode(strings.NewReader(plainBox), "box.yaml")
	if err != nil {
		t.Fatal(err)
	}
	rng := rand.New(rand.NewPCG(5, 5))
	for round := range 20 {
		entries := unruly(rng, 240, 12*60)
		first := int64(1 + 100*(round%2)) // a replay may begin anywhere
		for i := range entries {
			entries[i].Seq, entries[i].Event.Seq = first+int64(i), first+int64(i)
		}
		at := NewReplay(file.Box, block.NewState(file.Box))
		var early, late []string
		waits, put, highest := 0, 0, first-1
		for e, err := range at.Ordered(func(yield func(*Entry, error) bool) {
			for i := range entries {
				if put++; !yield(&entries[i], nil) {
					return
				}
			}
		}) {
			if err != nil {
				t.Fatal(err)
			}
			if put < len(entries) {
				waits = max(waits, put-len(early))
			}
			reached := int64(0)
			if highest-first+1 == int64(len(early)) {
				reached = highest
			}
			if at.Reached() != reached {
				t.Errorf("round %d, entry %d: reached %d, want %d", round, e.Seq, at.Reached(), reached)
			}
			if at.Whole() && (e.Odd || reached != e.Seq-1) {
				t.Errorf("round %d: entry %d is no beginning", round, e.Seq)
			}
			if highest = max(highest, e.Seq); e.Nth != int64(len(early)+1) {
				t.Errorf("round %d, entry %d: its turn is %d, want %d", round, e.Seq, e.Nth, len(early)+1)
			}
			at.Take(e)
			early = append(early, shown(e))
		}
		if put > 0 && waits == 0 || waits > 60 {
			t.Errorf("round %d: %d wait", round, waits)
		}
		whole := NewReplay(file.Box, block.NewState(file.Box))
		for i := range entries {
			whole.order.put(&entries[i])
		}
		whole.order.close()
		for len(whole.order.list) > 0 {
			e := &whole.next().e
			whole.Take(e)
			late = append(late, shown(e))
		}
		if !slices.Equal(early, late) || len(early) != len(entries) {
			t.Errorf("round %d: %d entries\nearly %.40v\nlate  %.40v", round, len(early), early, late)
		}
	}
}

func shown(e *Entry) string {
	return fmt.Sprint(e.Seq, " ", e.Odd, e.Early, e.Slip, e.As, e.Relief)
}

// unruly is a book in which most entries are in order, some were written late, some are
// slips of the pen, and once the clock is set.
func unruly(rng *rand.Rand, n int, apart int64) []Entry {
	at, entries := block.Time(1_777_975_200), make([]Entry, n)
	for i := range entries {
		at += block.Time(rng.Int64N(apart)) * block.Minute / 4
		ev := block.Event{Seq: int64(i + 1), At: at, Kind: block.Note, Text: "a"}
		switch back := block.Time(rng.IntN(2400)) * block.Minute; rng.IntN(12) {
		case 0:
			ev.At, ev.Written = at-back, at
		case 1:
			ev.At -= back
		case 3:
			ev.Kind, ev.Subject = block.DutyOn, []string{"A. Fell", "R. Howe"}[rng.IntN(2)]
		case 4:
			ev.Kind, ev.Subject = block.DutyOff, []string{"A. Fell", "R. Howe"}[rng.IntN(2)]
		}
		if i == n/2 {
			at -= 5000
			ev = block.Event{Seq: int64(i + 1), At: at, Kind: block.ClockSet}
		}
		entries[i] = Entry{Row: store.Row{Seq: ev.Seq, At: int64(ev.At)}, Event: ev, Written: ev}
	}
	return entries
}

// TestBusyDayIsNotHeld: of a day with more entries than may wait those of the morning
// are given before the evening is read, also while it is open who is out of order.
func TestBusyDayIsNotHeld(t *testing.T) {
	file, err := boxfile.Decode(strings.NewReader(plainBox), "box.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for name, at := range map[string]func(i int) block.Time{
		"in order": func(i int) block.Time { return block.Time(i) },
	} {
		run, put, given, most := NewReplay(file.Box, block.NewState(file.Box)), 0, map[int64]bool{}, 0
		for e, err := range run.Ordered(func(yield func(*Entry, error) bool) {
			for put < heldMost+2000 {
				ev := block.Event{Seq: int64(put + 1), At: 1_777_975_200 + at(put), Kind: block.Note, Text: "a"}
				put++
				if !yield(&Entry{Row: store.Row{Seq: ev.Seq}, Event: ev, Written: ev}, nil) {
					return
				}
			}
		}) {
			if err != nil {
				t.Fatal(err)
			}
			if put < heldMost+2000 {
				most = max(most, put-len(given))
			}
			given[e.Seq] = true
		}
		if len(given) != put || most != heldMost+1 {
			t.Errorf("%s: %d of %d given, %d waited", name, len(given), put, most)
		}
	}
}

// TestOpen: a book may be read otherwise from the time of its last slip on, until so much
// follows that nothing can change it.
func TestOpen(t *testing.T) {
	file, err := boxfile.Decode(strings.NewReader(plainBox), "box.yaml")
	if err != nil {
		t.Fatal(err)
	}
	begin := block.Time(1777971600) // 10:00
	const slip, two = "10:04 note \"wrong\"\n", "10:12 note \"b\"\n10:03 note \"wrong\"\n"
	for _, c := range []struct {
		book  string
		after int
		want  block.Time
	}{
		{"", 9, 0}, {slip, 9, begin + 4*block.Minute}, {slip, triedBeyond - 2, begin + 4*block.Minute}, {slip, triedBeyond, 0},
		{slip + two, 9, begin + 3*block.Minute}, {two + "10:13 note \"c\"\n" + slip, 9, begin + 3*block.Minute},
	} {
		run := NewReplay(file.Box, block.NewState(file.Box))
		book := "date 2026-05-05\n10:00 note \"a\"\n10:10 note \"a\"\n" + c.book + strings.Repeat("10:20 note \"z\"\n", c.after)
		for e, err := range run.Ordered(survey(t, book).Entries(t.Context())) {
			if err != nil {
				t.Fatal(err)
			}
			run.Take(e)
		}
		if run.Open() != c.want {
			t.Errorf("%q and %d more: open from %d, want %d", c.book, c.after, run.Open(), c.want)
		}
	}
}

// TestDays: days are those of the box's clock, whichever was asked for before, and an
// entry begins the next, or any to which the clock was set.
func TestDays(t *testing.T) {
	midnight := block.Time(calendar.Day(20260506).Midnight(london(t)).Unix())
	d := days{loc: london(t)}
	for _, c := range []struct {
		at   block.Time
		want calendar.Day
	}{{midnight - 1, 20260505}, {midnight, 20260506}, {midnight + 86399, 20260506}, {midnight + 86400, 20260507}, {midnight, 20260506}, {midnight - 1, 20260505}} {
		if got := d.of(c.at); got != c.want {
			t.Errorf("%d is of %d, want %d", c.at, got, c.want)
		}
	}
	for _, c := range []struct {
		e    Entry
		want bool
	}{
		{Entry{Row: store.Row{Day: 20260506}}, true}, {Entry{Row: store.Row{Day: 20260506}, Odd: true}, false},
		{Entry{Row: store.Row{Day: 20260505}}, false}, {Entry{Row: store.Row{Day: 20260504}}, false},
		{Entry{Row: store.Row{Day: 20260504}, Event: block.Event{Kind: block.ClockSet}}, true},
		{Entry{Row: store.Row{Day: 20260505}, Event: block.Event{Kind: block.ClockSet}}, false},
	} {
		if got := c.e.Begins(20260505); got != c.want {
			t.Errorf("%+v begins a day: %v", c.e, got)
		}
	}
}

// TestLastWrittenLate: what the last entry of a book tells late answers what was missing,
// at the end; found by the line of a book that is known by its lines.
func TestLastWrittenLate(t *testing.T) {
	file, err := boxfile.Decode(strings.NewReader(plainBox), "box.yaml")
	if err != nil {
		t.Fatal(err)
	}
	const book = "date 2026-05-05\n09:00 note \"a\"\n\n10:03 Saltgarth <2 >2\n10:00 Saltgarth <1 >1 <3-1 >3-1 train 2A01 written 10:20\n"
	b := survey(t, book)
	for _, c := range []struct {
		b    *Notation
		want string
	}{{survey(t, book+"10:21 note \"b\"\n10:22 note \"c\"\n"), "2 entered-without-acceptance by 3, 3 accepted-section-occupied by 3, at 4"}, {survey(t, book+"10:01 note \"late\" written 10:21\n"), "2 entered-without-acceptance by 3, 3 accepted-section-occupied by 3"}, {b, "2 entered-without-acceptance by 3, 3 accepted-section-occupied by 3"}, {b.ByLine(), "4 entered-without-acceptance by 5, 5 accepted-section-occupied by 5"}} {
		run := NewReplay(file.Box, block.NewState(file.Box))
		var answered []string
		for e, err := range run.Ordered(c.b.Entries(t.Context())) {
			if err != nil {
				t.Fatal(err)
			}
			if run.Take(e); e.Seq == 3 && (e.Recorded-e.At != 20*60 || e.At != int64(e.Written.At)) {
				t.Errorf("written %d s late, want 20 min", e.Recorded-e.At)
			}
			for _, f := range run.Answered() {
				answered = append(answered, fmt.Sprintf("%d %s by %d", f.Seq, f.Rule, f.Answered))
			}
			if len(run.Answered()) > 0 {
				answered = append(answered, fmt.Sprint("at ", e.Seq))
			}
		}
		run.Finish()
		for _, f := range run.Answered() {
			answered = append(answered, fmt.Sprintf("%d %s by %d", f.Seq, f.Rule, f.Answered))
		}
		if got := strings.Join(answered, ", "); got != c.want {
			t.Errorf("%s answered, want %s", got, c.want)
		}
		if run.Box() != file.Box || run.State().LastSeq == 0 {
			t.Errorf("in %p, after %d", run.Box(), run.State().LastSeq)
		}
	}
	h := Hold{list: []block.Finding{{Seq: 1, Rule: "bell-order"}}}
	if out := h.Take(nil, NewReplay(file.Box, block.NewState(file.Box)).Look()); len(out) != 1 || h.list != nil {
		t.Errorf("what nothing may answer is kept back: %v", h.list)
	}
	h.list = []block.Finding{{Seq: 1}}
	if len(h.Rest()) != 1 || len(h.Rest()) != 0 {
		t.Error("what is kept back is not given once")
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
