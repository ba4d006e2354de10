package store

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

// The ends of what one entry may say: the last that is taken, the first refused.
func TestEndsOfADraft(t *testing.T) {
	for _, c := range []struct {
		change func(*Draft)
		says   string // of the refusal; "" when it is taken
	}{
		{func(d *Draft) { d.Day = 18000101 }, ""},
		{func(d *Draft) { d.Day = 17991231 }, "day 17991231"},
		{func(d *Draft) { d.Day = 99991231 }, ""},
		{func(d *Draft) { d.Day = 100000101 }, "day 100000101"},
		{func(d *Draft) { d.Day = 20260131 }, ""},
		{func(d *Draft) { d.Day = 20260132 }, "day 20260132"},
		{func(d *Draft) { d.Day = 20260100 }, "day 20260100"},
		{func(d *Draft) { d.Day = 20260001 }, "day 20260001"},
		{func(d *Draft) { d.Day = 20261201 }, ""},
		{func(d *Draft) { d.Day = 20261301 }, "day 20261301"},
		{func(d *Draft) { d.At = time.Date(9999, 12, 31, 23, 59, 59, 0, time.UTC).Unix() }, ""},
		{func(d *Draft) { d.At = time.Date(10000, 1, 1, 0, 0, 0, 0, time.UTC).Unix() }, "time 253402300800"},
		{func(d *Draft) { d.At = -maxTime }, ""},
		{func(d *Draft) { d.At = -maxTime - 1 }, fmt.Sprint("time ", -maxTime-1)},
		{func(d *Draft) { d.Recorded = maxTime + 1 }, fmt.Sprint("time ", maxTime+1)},
		{func(d *Draft) { d.Line = strings.Repeat("a", maxLine) }, ""},
		{func(d *Draft) { d.Line = strings.Repeat("a", maxLine+1) }, "line is longer than 16384 bytes"},
		{func(d *Draft) { d.Writer = strings.Repeat("a", maxText) }, ""},
		{func(d *Draft) { d.Writer = strings.Repeat("a", maxText+1) }, "writer is longer than 200 bytes"},
		{func(d *Draft) { d.Line = "" }, "line is empty"},
		{func(d *Draft) { d.Line = "a\nb\tc" }, "line holds the control character U+000A"},
	} {
		d := draft(0)
		c.change(&d)
		err := d.check()
		if c.says == "" && err != nil {
			t.Errorf("%+v refused: %v", d, err)
		}
		if c.says != "" {
			wantIs(t, err, ErrDraft, c.says)
		}
	}
	s := newStore(t)
	bad := draft(1)
	bad.Day = 0
	_, err := s.AppendBatch([]Draft{draft(0), bad})
	wantIs(t, err, ErrDraft, s.Path(), "entry 2 of 2", "day 0")
}

// Every way of reading or writing a register that is closed is refused by an
// error that names the file; a failed append says that it is not known.
func TestClosedStore(t *testing.T) {
	s := filled(t, 5)
	snap := snapshotAt(s, t, 5, "state")
	if err := s.PutSnapshot(snap); err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	for name, do := range map[string]func() error{
		"Range":             func() error { _, err := s.Range(1, 5); return err },
		"Day":               func() error { _, err := s.Day(20260501); return err },
		"Descriptions":      func() error { _, err := s.Descriptions(0); return err },
		"Days":              func() error { _, err := s.Days(0, 0); return err },
		"Each":              func() error { _, err := handedOver(s.Each(1)); return err },
		"Each later":        func() error { _, err := handedOver(s.Each(3)); return err },
		"EachProved":        func() error { _, err := handedOver(s.EachProved(1, 5)); return err },
		"EachProved later":  func() error { _, err := handedOver(s.EachProved(3, 5)); return err },
		"Corrections":       func() error { _, err := s.Corrections(0); return err },
		"SpanOf":            func() error { _, _, err := s.SpanOf(0, 0); return err },
		"FirstDay":          func() error { _, err := s.FirstDay(); return err },
		"LastDay":           func() error { _, err := s.LastDay(); return err },
		"PutSnapshot":       func() error { return s.PutSnapshot(snap) },
		"DropSnapshotsFrom": func() error { return s.DropSnapshotsFrom("test 1", 1) },
		"CatchUp":           func() error { _, err := s.CatchUp(); return err },
		"Verify":            func() error { _, err := s.Verify(nil); return err },
		"Backup":            func() error { _, err := s.Backup(t.Context(), filepath.Join(t.TempDir(), "copy.db"), nil); return err },
	} {
		if err := do(); err == nil || !strings.Contains(err.Error(), s.Path()) {
			t.Errorf("%s: %v", name, err)
		}
	}
	for name, do := range map[string]func() error{
		"Append":            func() error { _, err := s.Append(draft(5)); return err },
		"AppendBatch":       func() error { _, err := s.AppendBatch(drafts(5, 2)); return err },
		"AppendDescription": func() error { _, err := s.AppendDescription(draft(5), "box: Ennerholme\n"); return err },
	} {
		if err := do(); err == nil || !strings.Contains(err.Error(), s.Path()) || !strings.Contains(err.Error(), "not certain") {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, ok := s.LastSnapshot("test 1"); ok {
		t.Error("a snapshot of a closed register")
	}
	if s.read.Ping() == nil || s.write.Ping() == nil {
		t.Error("a connection stays open")
	}
}

// A setting is read back: without the key that makes it, connecting fails and
// names it.
func TestEachSettingIsReadBack(t *testing.T) {
	s := newStore(t)
	for name, c := range map[string]struct {
		m        mode
		key, its string
	}{
		"writing synchronous": {writing, "_synchronous", "synchronous"},
		"writing triggers":    {writing, "_pragma", "recursive_triggers"},
		"writing patience":    {writing, "_busy_timeout", "busy_timeout"},
		"reading only":        {reading, "_query_only", "query_only"},
		"reading patience":    {reading, "_busy_timeout", "busy_timeout"},
		"salvage":             {salvageMode, "_pragma", "writable_schema"},
		"salvage only reads":  {salvageMode, "_query_only", "query_only"},
	} {
		m := mode{keys: maps.Clone(c.m.keys), check: c.m.check}
		m.keys.Del(c.key)
		db, err := connect(s.Path(), m, 1)
		if err == nil {
			db.Close()
			t.Errorf("%s: not noticed", name)
		} else if !strings.Contains(err.Error(), c.its+" is ") || !strings.Contains(err.Error(), s.Path()) {
			t.Errorf("%s: %v", name, err)
		}
	}
	for name, m := range map[string]mode{"writing": writing, "reading": reading, "salvage": salvageMode, "mending": mending} {
		path := filepath.Join(t.TempDir(), "none.db")
		if db, err := connect(path, m, 1); err == nil {
			db.Close()
			t.Errorf("%s: opened a file that is not there", name)
		}
		if _, err := os.Stat(path); !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("%s: made a file", name)
		}
	}
	// The table of tables is not to be written by SQL.
	must(s.write.Exec("PRAGMA writable_schema = ON"))(t)
	if _, err := s.write.Exec("UPDATE sqlite_schema SET sql = '' WHERE name = 'entry_no_update'"); err == nil {
		t.Error("a trigger was written out of the file")
	}
}

// What is said of a damage: where, what, why and what to do.
func TestWordsOfADamage(t *testing.T) {
	cause := errors.New("disk fell over")
	err := &DamagedError{Path: "a.db", Entry: 1, Kind: Changed, Detail: "half of it", Cause: cause}
	wantIs(t, err, cause, "a.db: ", "entry 1 changed: half of it: disk fell over; keep this file")
	wantIs(t, err, ErrDamaged)
	wantIs(t, &DamagedError{Path: "a.db", Kind: Schema}, ErrDamaged, "the file schema; keep this file")
	refused := &Error{Kind: ErrFull, Path: "a.db", Doing: "append", Advice: "make room", Cause: cause}
	wantIs(t, refused, ErrFull, "a.db: append: the disk is full: disk fell over; make room")
	wantIs(t, refused, cause)
	if got := refused.Error(); got != "a.db: append: the disk is full: disk fell over; make room" {
		t.Errorf("told %q", got)
	}
	other := failure("a.db", "look", fs.ErrPermission) // of the system, not the engine
	if wantIs(t, other, fs.ErrPermission, "a.db: look: "); errors.Is(other, ErrDamaged) {
		t.Errorf("taken for damage: %v", other)
	}
	// What says it already is not said twice.
	for _, e := range []error{err, refused, fmt.Errorf("outside: %w", err)} {
		if got := failure("b.db", "look", e); got != e {
			t.Errorf("%v became %v", e, got)
		}
	}
}

// What the engine says is told with the file, what was done, and the kind.
func TestEngineErrors(t *testing.T) {
	s := filled(t, 3)
	_, err := s.read.Exec("SELECT nothing FROM nowhere")
	var d *DamagedError
	if err = failure(s.path, "look", err); !errors.As(err, &d) || d.Kind != Schema || d.Path != s.path || d.Detail != "look" || d.Cause == nil {
		t.Errorf("a table that is not there: %+v", err)
	}
	for _, c := range []struct{ key, value, says string }{
		{"genesis", "abcd", "genesis hash: 4 hex digits, want 64"},
		{"genesis", strings.Repeat("xy", 32), "genesis hash"},
		{"created", "yesterday", "date of making"},
	} {
		s := filled(t, 3)
		s.Close()
		forge(t, s.Path(), fmt.Sprintf("UPDATE meta SET value = '%s' WHERE key = '%s'", c.value, c.key))
		_, err := OpenReadOnly(s.Path())
		wantIs(t, err, ErrDamaged, s.Path(), "heading", c.says)
		if !errors.As(err, &d) || d.Kind != Heading || d.Cause == nil {
			t.Errorf("%s: %+v", c.key, d)
		}
	}
	forged := filled(t, 3)
	forged.Close()
	forge(t, forged.Path(), "DELETE FROM meta WHERE key = 'zone'")
	_, err = OpenReadOnly(forged.Path())
	wantIs(t, err, ErrDamaged, "heading", "zone is missing")
	empty := filepath.Join(t.TempDir(), "empty.db")
	if err := os.WriteFile(empty, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	_, err = Open(empty)
	wantIs(t, err, ErrNotRegister, "the file is empty", "backup")
	_, err = Open(t.TempDir())
	wantIs(t, err, ErrNotRegister, "it is not a file")
}

// A part of the file that the engine cannot read is told with the first entry
// that stands there; those before it are given.
func TestUnreadablePage(t *testing.T) {
	path, content, rows := bigFile(t, 200)
	const page = 4096
	at := placeOf(content, rows[99]) / page * page
	first := slices.IndexFunc(rows, func(r Row) bool { return placeOf(content, r)/page*page == at })
	content[at] = 0xff // no kind of page (SQLite file format, b-tree page header)
	s, err := examine(t, path, content)
	if s == nil {
		t.Fatal(err)
	}
	defer s.Close()
	var d *DamagedError
	if !errors.As(err, &d) || d.Entry != rows[first].Seq || d.Kind != Unreadable || d.Path != path || d.Cause == nil {
		t.Errorf("%+v, want entry %d unreadable", err, rows[first].Seq)
	}
	got, err := s.Range(1, 200)
	if !errors.As(err, &d) || d.Kind != Unreadable || cmp.Diff(rows[:first], got) != "" {
		t.Errorf("%d entries read before number %d, %v", len(got), rows[first].Seq, err)
	}
}

// placeOf is where the row's text and hash stand in the file.
func placeOf(content []byte, r Row) int {
	return strings.Index(string(content), r.Line+string(r.Hash[:]))
}

// An entry of two lines, sealed as it stands, cannot have been written here.
func TestSealedOutOfForm(t *testing.T) {
	s := filled(t, 5)
	r := must(s.Range(5, 5))(t)[0]
	s.Close()
	r.Line = "a\nb"
	r.Hash = r.seal()
	forge(t, s.Path(), fmt.Sprintf("UPDATE entry SET line = 'a' || char(10) || 'b', hash = x'%s' WHERE seq = 5", r.Hash))
	wantDamage(t, s.Path(), 1, Changed, "among entries 1 to 5 one is not kept in its proper form")
}

// Entries are read from pages as the engine reads them, the longest and those with
// numbers of every size too, over more than two levels of pages.
func TestPagesGiveWhatTheEngineGives(t *testing.T) {
	s := newStore(t)
	list := drafts(0, 3000)
	for i := range list {
		list[i].At, list[i].Recorded = int64(i*i*i)*8-128, []int64{0, 1, -1, 127, -32769, 1 << 23, -1 << 31, 1 << 37}[i%8]
		list[i].Line += strings.Repeat("x", []int{0, 0, 3750, 4061, 9000, maxLine - 200}[i%6])
	}
	if _, err := s.AppendBatch(list); err != nil {
		t.Fatal(err)
	}
	for _, span := range [...][2]int64{{1, 1}, {1, 1000}, {2, 7}, {777, 1776}, {2990, 3000}} {
		before := must(s.HashAt(span[0] - 1))(t)
		got, err := s.inPages(span[0], span[1], before)
		if want := must(s.unproved(span[0], span[1]))(t); err != nil || cmp.Diff(want, got) != "" {
			t.Errorf("entries %d to %d: %v\n%s", span[0], span[1], err, cmp.Diff(want, got))
		}
	}
	if _, err := s.inPages(2999, 3001, Hash{}); !errors.Is(err, errChunk) {
		t.Errorf("an entry that is not there: %v", err)
	}
}

// Whatever becomes of a page, what is read from it is what stood there or is not proved.
func TestPagesSpoilt(t *testing.T) {
	s := filled(t, 40)
	want := must(s.Range(1, 30))(t)
	page := must(s.leafPages(1, 30))(t)[0]
	read := func(p string) {
		rows, _ := s.onPage(nil, p, 1, 30)
		for _, r := range rows {
			if r.Prev = want[r.Seq-1].Prev; r.Intact() && r != want[r.Seq-1] {
				t.Errorf("read as proved: %+v", r)
			}
		}
	}
	for n := range len(page) {
		read(page[:n])
		for _, to := range [...]byte{0, 1, 0x7f, 0x80, 0xff, page[n] ^ 1} {
			spoilt := page[:n] + string([]byte{to}) + page[n+1:]
			read(spoilt)
			below(nil, "\x05"+spoilt[1:], 1, 30)
		}
	}
}

// The snapshot for an old day is the newest before it, of the same program and
// in agreement with the entries.
func TestSnapshotBefore(t *testing.T) {
	s := filled(t, 40)
	for _, seq := range []int64{10, 20, 30} {
		if err := s.PutSnapshot(snapshotAt(s, t, seq, fmt.Sprint("state ", seq))); err != nil {
			t.Fatal(err)
		}
	}
	other := snapshotAt(s, t, 35, "other")
	other.Program = "test 2"
	if err := s.PutSnapshot(other); err != nil {
		t.Fatal(err)
	}
	want := func(s *Store, before, seq int64) {
		t.Helper()
		n, ok := s.SnapshotBefore("test 1", before)
		if ok != (seq > 0) || ok && (n.Seq != seq || string(n.State) != fmt.Sprint("state ", seq)) {
			t.Errorf("before %d: %+v, %v; want %d", before, n, ok, seq)
		}
	}
	want(s, 41, 30)
	want(s, 31, 30)
	want(s, 30, 20)
	want(s, 11, 10)
	want(s, 10, 0)
	must(s.write.Exec("UPDATE snapshot SET state = x'00' WHERE seq = 20"))(t)
	want(s, 30, 10)
	r := must(OpenReadOnly(s.Path()))(t)
	defer r.Close()
	if err := r.DropSnapshotsFrom("test 1", 1); err != nil {
		t.Errorf("a reader keeps nothing and drops nothing: %v", err)
	}
	want(r, 41, 30)
	if err := s.DropSnapshotsFrom("test 1", 30); err != nil {
		t.Fatal(err)
	}
	want(s, 41, 10)
	var n int
	if s.read.QueryRow("SELECT count(*) FROM snapshot").Scan(&n); n != 2 {
		t.Errorf("%d snapshots left, want those of entries 10 and 20", n)
	}
}

// Entries appended while a register is verified belong to no fault, and an index
// that lists one beyond them names the first number that is missing.
func TestVerifyWhileAppending(t *testing.T) {
	s := filled(t, 25)
	gathered := s.NewDayCheck()
	err := gathered.read(15, nil)
	if err != nil {
		t.Fatal(err)
	}
	if err := gathered.Check(0); err != nil {
		t.Errorf("entries added that were not there when it began: %v", err)
	}
	days := gathered.days
	if err := s.checkDays(days, 15); err != nil {
		t.Errorf("ten entries more by the time the days were looked at: %v", err)
	}
	day := must(s.Range(15, 15))(t)[0].Day
	sum := *days[day]
	listed := daySum{count: sum.count + 1, last: 99, sum: sum.sum + 99}
	err = s.checkDay(day, &listed, days[day], 15)
	var d *DamagedError
	if !errors.As(err, &d) || d.Entry != 16 || d.Kind != Missing || !strings.Contains(d.Detail, fmt.Sprintf("entry 99 is listed under day %d", day)) {
		t.Errorf("an entry listed that is not there: %v", err)
	}
	sum.sum++
	if err := s.checkDay(day, &sum, days[day], 15); !errors.As(err, &d) || d.Kind != Index {
		t.Errorf("a sum that does not agree: %v", err)
	}
}
