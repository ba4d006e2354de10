package store

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"fairhand/register/calendar"
)

// flips is from which bit to the next that is tried a file is gone through: wide, or narrow at full
// depth, and with FAIRHAND_FLIPS=all every bit. All are prime: they walk over all bits of a byte.
func flips(wide, narrow int) int {
	switch {
	case os.Getenv("FAIRHAND_FLIPS") == "all":
		return 1
	case os.Getenv("FAIRHAND_DEPTH") == "full":
		return narrow
	}
	return wide
}

// forge changes the file behind the back of the triggers, as somebody with an
// SQLite tool could, and puts the triggers back.
func forge(t *testing.T, path string, statements ...string) {
	t.Helper()
	db := raw(t, path)
	for _, object := range schema {
		if strings.HasPrefix(object.sql, "CREATE TRIGGER") {
			must(db.Exec("DROP TRIGGER " + object.name))(t)
		}
	}
	for _, sql := range statements {
		must(db.Exec(sql))(t)
	}
	for _, object := range schema {
		if strings.HasPrefix(object.sql, "CREATE TRIGGER") {
			must(db.Exec(object.sql))(t)
		}
	}
	db.Close()
}

func TestVerifyNamesTheEntry(t *testing.T) {
	for _, c := range []struct {
		name    string
		entries int
		forgery []string
		entry   int64
		kind    Damage
		detail  string
	}{
		{"line", 50, []string{"UPDATE entry SET line = line || ' ' WHERE seq = 17"}, 17, Changed, "its fields"},
		{"time", 50, []string{"UPDATE entry SET at = at + 60 WHERE seq = 17"}, 17, Changed, "its fields"},
		{"writer of the first", 50, []string{"UPDATE entry SET writer = '' WHERE seq = 1"}, 1, Changed, "its fields, or the heading of the register"},
		{"writer of the second", 50, []string{"UPDATE entry SET writer = '' WHERE seq = 2"}, 2, Changed, "its fields are not what was written, or entry 1 was replaced"},
		{"day", 50, []string{"UPDATE entry SET day = day + 1 WHERE seq = 50"}, 50, Changed, "its fields"},
		{"hash", 50, []string{"UPDATE entry SET hash = randomblob(32) WHERE seq = 17"}, 17, Changed, "its hash was changed"},
		{"hash of the last but one", 50, []string{"UPDATE entry SET hash = randomblob(32) WHERE seq = 49"}, 49, Changed, "its hash was changed"},
		{"hash of the last", 50, []string{"UPDATE entry SET hash = randomblob(32) WHERE seq = 50"}, 50, Changed, "its fields"},
		{"two lines in one", 50, []string{"UPDATE entry SET line = 'a' || char(10) || 'b' WHERE seq = 17"}, 17, Changed, "its fields"},
		{"removed", 50, []string{"DELETE FROM entry WHERE seq = 17"}, 17, Missing, ""},
		{"many removed", 50, []string{"DELETE FROM entry WHERE seq BETWEEN 17 AND 20"}, 17, Missing, "up to entry 20"},
		{"first removed", 50, []string{"DELETE FROM entry WHERE seq = 1"}, 1, Missing, ""},
		{"removed and closed up", 50, []string{"DELETE FROM entry WHERE seq = 17", "UPDATE entry SET seq = seq - 1 WHERE seq > 17"}, 17, OutOfOrder, "entry 18 was written as 19"},
		{"removed before the last two and closed up", 50, []string{"DELETE FROM entry WHERE seq = 48", "UPDATE entry SET seq = seq - 1 WHERE seq > 48"}, 48, OutOfOrder, "entry 49 was written as 50"},
		{"exchanged", 50, []string{exchange(17, 18)}, 17, OutOfOrder, "written as entry 18"},
		{"exchanged as far as is looked", 60, []string{exchange(17, 37)}, 17, OutOfOrder, "written as entry 37"},
		{"exchanged farther off", 60, []string{exchange(17, 38)}, 17, Changed, "its fields"},
		{"the second again", 50, []string{again(2, 10)}, 10, OutOfOrder, "written as entry 2"},
		{"again as far as is looked", 60, []string{again(17, 37)}, 37, OutOfOrder, "written as entry 17"},
		{"again farther off", 60, []string{again(17, 38)}, 38, Changed, "its fields"},
		{"put in", 50, []string{"INSERT INTO entry SELECT 51, at, recorded, day, writer, line, hash FROM entry WHERE seq = 50"}, 51, OutOfOrder, "written as entry 50"},
		{"the greatest number", 5, []string{"INSERT INTO entry SELECT 9223372036854775807, at, recorded, day, writer, line, hash FROM entry WHERE seq = 5"}, 6, Missing, "up to entry"},
		{"states where the entries are", 5, []string{"PRAGMA writable_schema = 1; UPDATE sqlite_schema SET rootpage = (SELECT rootpage FROM sqlite_schema WHERE name = 'entry') WHERE name = 'snapshot'"}, 0, Schema, "begin on one page"},
		{"first of two faults", 3000, []string{"UPDATE entry SET line = 'x' WHERE seq IN (2990, 1234, 999)"}, 999, Changed, "its fields"},
		{"chunk edge", 3000, []string{"UPDATE entry SET line = 'x' WHERE seq = 1000"}, 1000, Changed, "its fields"},
		{"hash at chunk edge", 3000, []string{"UPDATE entry SET hash = zeroblob(32) WHERE seq = 1000"}, 1000, Changed, "its hash"},
		{"after chunk edge", 3000, []string{"UPDATE entry SET line = 'x' WHERE seq = 1001"}, 1001, Changed, "its fields"},
		{"heading", 5, []string{"UPDATE meta SET value = 'Coldbeck' WHERE key = 'box'"}, 0, Heading, "is not what the chain begins with"},
		{"a line more in the heading", 5, []string{"INSERT INTO meta VALUES('other', 'x')"}, 0, Heading, "rows that do not belong to it"},
		{"a number below 1", 5, []string{"PRAGMA ignore_check_constraints = 1; INSERT INTO entry SELECT -5, at, recorded, day, writer, line, hash FROM entry WHERE seq = 5"}, 1, OutOfOrder, "a number below 1"},
		{"number 0", 5, []string{"PRAGMA ignore_check_constraints = 1; INSERT INTO entry SELECT 0, at, recorded, day, writer, line, hash FROM entry WHERE seq = 5"}, 1, OutOfOrder, "a number below 1"},
		{"a trigger named as an index", 5, []string{"CREATE TRIGGER entry_day AFTER INSERT ON entry BEGIN DELETE FROM snapshot; END"}, 0, Schema, "entry_day was removed or changed"},
		{"heading and genesis", 5, []string{"UPDATE meta SET value = 'Coldbeck' WHERE key = 'box'",
			fmt.Sprintf("UPDATE meta SET value = '%s' WHERE key = 'genesis'", Meta{Railway: "Thrackley Vale Railway", Box: "Coldbeck", Zone: "Europe/London", Created: 1_777_000_000}.Genesis())}, 1, Changed, "its fields, or the heading"},
		{"a table more", 5, []string{"CREATE TABLE other(x)"}, 0, Schema, `"other" does not belong`},
		{"a trigger more, named as the engine's own", 5, []string{"CREATE TRIGGER sqliteX AFTER INSERT ON entry BEGIN DELETE FROM snapshot; END"}, 0, Schema, `"sqliteX" does not belong`},
		{"a view", 5, []string{"CREATE VIEW v AS SELECT 1"}, 0, Schema, `"v" does not belong`},
		{"another index", 5, []string{"DROP INDEX entry_day", "CREATE INDEX entry_day ON entry(day DESC)"}, 0, Schema, "entry_day was removed or changed"},
		{"the table without its checks", 5, []string{"PRAGMA writable_schema = 1; UPDATE sqlite_schema SET sql = replace(sql, 'CHECK (seq > 0)', '') WHERE name = 'entry'"}, 0, Schema, "entry was removed or changed"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := filled(t, c.entries)
			s.Close()
			forge(t, s.Path(), c.forgery...)
			wantDamage(t, s.Path(), c.entry, c.kind, c.detail)
		})
	}
}

func wantDamage(t *testing.T, path string, entry int64, kind Damage, detail string) {
	t.Helper()
	s := must(OpenReadOnly(path))(t)
	defer s.Close()
	_, err := s.Verify(nil)
	wantIs(t, err, ErrDamaged, path, "backup")
	damageIs(t, err, path, entry, kind, detail)
}

// An entry replaced together with its hash is given away by the one after it.
func TestResealedEntry(t *testing.T) {
	s := filled(t, 30)
	r := must(s.Range(17, 17))(t)[0]
	s.Close()
	r.Line = "another line"
	r.Hash = r.seal()
	forge(t, s.Path(), fmt.Sprintf("UPDATE entry SET line = '%s', hash = x'%s' WHERE seq = 17", r.Line, r.Hash))
	wantDamage(t, s.Path(), 18, Changed, "or entry 17 was replaced together with its hash")
}

func TestDroppedTriggerIsNoticed(t *testing.T) {
	s := filled(t, 3)
	s.Close()
	must(raw(t, s.Path()).Exec("DROP TRIGGER entry_no_delete"))(t)
	wantDamage(t, s.Path(), 0, Schema, "entry_no_delete")
	_, err := Open(s.Path())
	wantIs(t, err, ErrDamaged, "entry_no_delete")
}

// A trigger with a changed text is noticed, and what ANALYZE leaves is no harm.
func TestChangedTriggerIsNoticed(t *testing.T) {
	s := filled(t, 3)
	s.Close()
	db := raw(t, s.Path())
	must(db.Exec("ANALYZE"))(t)
	sound := must(OpenReadOnly(s.Path()))(t)
	must(sound.Verify(nil))(t)
	sound.Close()
	must(db.Exec("DROP TRIGGER entry_no_update; CREATE TRIGGER entry_no_update BEFORE UPDATE ON entry BEGIN SELECT 1; END"))(t)
	db.Close()
	wantDamage(t, s.Path(), 0, Schema, "entry_no_update was removed or changed")
}

// What is sound in a damaged register can still be read; the fault ends the
// reading and is named.
func TestDamagedRegisterIsReadable(t *testing.T) {
	s := filled(t, 2100)
	s.Close()
	forge(t, s.Path(), "DELETE FROM entry WHERE seq BETWEEN 900 AND 2050", "UPDATE entry SET line = 'a' || char(10) || 'b' WHERE seq = 7")
	r := must(OpenReadOnly(s.Path()))(t)
	defer r.Close()
	for _, c := range []struct{ from, to, bad int64 }{
		{1, 6, 0}, {1, 2100, 7}, {7, 7, 7}, {8, 899, 0}, {8, 900, 900}, {8, 2100, 900}, {2051, 2051, 2051}, {2052, 2100, 0}, {2052, 1 << 40, 0}, {2101, 2200, 0},
	} {
		rows, err := r.Range(c.from, c.to)
		var d *DamagedError
		if errors.As(err, &d); (c.bad == 0) != (err == nil) || d != nil && d.Entry != c.bad {
			t.Errorf("entries %d to %d: %v, want entry %d named", c.from, c.to, err, c.bad)
		}
		if want := min(c.to, 2100) - c.from + 1; err == nil && int64(len(rows)) != max(want, 0) {
			t.Errorf("entries %d to %d: %d of %d", c.from, c.to, len(rows), want)
		}
		for _, row := range rows {
			if !row.Intact() {
				t.Errorf("entry %d was handed over", row.Seq)
			}
		}
	}
}

// A day is not what the index says of it alone: an entry that it hides at the
// edge, in the middle, or shows under a day that is not its own.
func TestDayDoesNotTrustItsIndex(t *testing.T) {
	for _, c := range []struct {
		day  calendar.Day
		hide int64 // entries 11 to 20 are of 2 May
		told bool  // else the entries are given as they are
	}{{20260502, 11, true}, {20260502, 15, false}, {20260502, 20, false}, {20260503, 15, false}} {
		s := filled(t, 50)
		s.Close()
		content := must(os.ReadFile(s.Path()))(t)
		var root int
		raw(t, s.Path()).QueryRow("SELECT rootpage FROM sqlite_schema WHERE name = 'entry_day'").Scan(&root)
		page := content[(root-1)*4096 : root*4096]
		day := []byte{0x01, 0x35, 0x26, 0x96} // 20260502 in the index
		key := append(slices.Clone(day), byte(c.hide))
		at := bytes.Index(page, key)
		if at < 0 {
			t.Fatal("the index is laid out otherwise")
		}
		page[at+3] = 0x95 // 1 May
		path := filepath.Join(t.TempDir(), "flipped.db")
		if err := os.WriteFile(path, content, 0o600); err != nil {
			t.Fatal(err)
		}
		r := must(OpenReadOnly(path))(t)
		rows, err := r.Day(c.day)
		if told := errors.Is(err, ErrDamaged); told != c.told || err == nil && len(rows) != 10 {
			t.Errorf("day %d with entry %d hidden: %d entries, %v", c.day, c.hide, len(rows), err)
		}
		if len(rows) == 0 {
			t.Errorf("day %d with entry %d hidden: what is there is not given", c.day, c.hide)
		}
		r.Close()
	}
}

func TestDamagedEndIsNotBuiltOn(t *testing.T) {
	s := filled(t, 5)
	s.Close()
	forge(t, s.Path(), "UPDATE entry SET line = 'x' WHERE seq = 5")
	_, err := Open(s.Path())
	damageIs(t, err, s.Path(), 5, Changed, "the last entry is not what was sealed")
}

// bigFile is a file with several pages of entries, and its bytes. It is
// vacuumed so that no old copy of an entry lies in free space.
func bigFile(t *testing.T, entries int) (path string, content []byte, rows []Row) {
	t.Helper()
	s := filled(t, entries)
	rows = must(s.Range(1, int64(entries)))(t)
	path = filepath.Join(t.TempDir(), "copy.db")
	must(s.Backup(t.Context(), path, nil))(t)
	return path, must(os.ReadFile(path))(t), rows
}

// examine opens and verifies a file with these bytes and returns what it says.
func examine(t *testing.T, path string, content []byte) (*Store, error) {
	t.Helper()
	if err := os.WriteFile(path, content, 0o644); err != nil {
		t.Fatal(err)
	}
	s, err := OpenReadOnly(path)
	if err != nil {
		return nil, err
	}
	_, err = s.Verify(nil)
	return s, err
}

// Every bit of the stored text and hash of an entry is found, and located to
// that very entry.
func TestEveryBitOfAnEntryIsLocated(t *testing.T) {
	path, content, rows := bigFile(t, 200)
	step, tried := flips(71, 7), 0
	for _, seq := range []int64{1, 100, 200} {
		r := rows[seq-1]
		stored := append([]byte(r.Writer+r.Line), r.Hash[:]...)
		at := bytes.Index(content, stored)
		if at < 0 || bytes.Count(content, stored) != 1 {
			t.Fatalf("entry %d not found once in the file", seq)
		}
		for bit := 0; bit < 8*len(stored); bit += step {
			content[at+bit/8] ^= 1 << (bit % 8)
			s, err := examine(t, path, content)
			var d *DamagedError
			if !errors.As(err, &d) || d.Entry != seq || d.Kind != Changed {
				t.Errorf("entry %d bit %d: %v", seq, bit, err)
			}
			if s != nil {
				s.Close()
			}
			content[at+bit/8] ^= 1 << (bit % 8)
			tried++
		}
	}
	t.Logf("%d bits of 3 entries, each located to its entry", tried)
}

// Any bit of the file: either opening or verifying reports it, or nothing that
// can be read from the register has changed (free space, unused header fields).
func TestEveryBit(t *testing.T) {
	path, content, rows := bigFile(t, 60)
	want := dump(t, path)
	step, tried, reported, located := flips(2111, 211), 0, 0, 0
	for bit := 0; bit < 8*len(content); bit += step {
		content[bit/8] ^= 1 << (bit % 8)
		s, err := examine(t, path, content)
		var d *DamagedError
		switch {
		case err == nil:
			if got, err := tryDump(path); got != want {
				t.Errorf("bit %d (byte %#x) changes what is read and is not reported: %v", bit, bit/8, err)
			}
		case !errors.Is(err, ErrDamaged) && !errors.Is(err, ErrNotRegister) && !errors.Is(err, ErrTooNew):
			t.Logf("bit %d (byte %#x): unnamed: %v", bit, bit/8, err)
			reported++
		default:
			if errors.As(err, &d) && d.Entry > int64(len(rows)) {
				t.Errorf("bit %d names entry %d of %d", bit, d.Entry, len(rows))
			} else if d != nil && d.Entry > 0 {
				located++
			}
			reported++
		}
		if s != nil {
			s.Close()
		}
		content[bit/8] ^= 1 << (bit % 8)
		tried++
	}
	t.Logf("%d bits of %d bytes: %d reported, %d of them with the entry; the rest changes nothing that is read", tried, len(content), reported, located)
	if reported == 0 {
		t.Error("nothing was reported")
	}
}

// dump is all that can be read from a register.
func dump(t *testing.T, path string) string {
	t.Helper()
	return must(tryDump(path))(t)
}

func tryDump(path string) (string, error) {
	s, err := OpenReadOnly(path)
	if err != nil {
		return "", err
	}
	defer s.Close()
	rows, err := s.Range(-1<<62, 1<<62)
	days, derr := s.Days(0, 0)
	err = errors.Join(err, derr)
	text := fmt.Sprint(s.Meta(), s.Tail(), rows)
	for _, day := range days {
		rows, derr := s.Day(day)
		err = errors.Join(err, derr)
		text += fmt.Sprint(day, rows)
	}
	return text, err
}

func TestTruncatedFile(t *testing.T) {
	path, content, _ := bigFile(t, 200)
	for _, size := range []int{1, 50, 100, 4095, 4096, 8192, len(content) / 2, len(content) - 4096, len(content) - 1} {
		s, err := examine(t, path, content[:size])
		if !errors.Is(err, ErrDamaged) && !errors.Is(err, ErrNotRegister) {
			t.Errorf("cut to %d of %d bytes: %v", size, len(content), err)
		}
		if s != nil {
			s.Close()
		}
	}
}

// The end of the table is lost but the index still knows of it: the number of
// cells of the last page, and the number of the last entry, flipped.
func TestLostEndIsNoticed(t *testing.T) {
	path, content, rows := bigFile(t, 60)
	const page = 4096
	last := bytes.Index(content, []byte(rows[59].Line+string(rows[59].Hash[:])))
	leaf := last / page * page
	count := leaf + 4 // low byte of the cell count (SQLite file format, b-tree page header)
	number := bytes.LastIndexByte(content[:last], 60)
	for _, at := range []int{count, number} {
		content[at] ^= 4
		s, err := examine(t, path, content)
		wantIs(t, err, ErrDamaged)
		s.Close()
		content[at] ^= 4
	}
}

// Two whole pages exchanged, as a failing disk may do.
func TestExchangedPages(t *testing.T) {
	path, content, rows := bigFile(t, 200)
	const page = 4096
	find := func(seq int) int {
		return bytes.Index(content, []byte(rows[seq-1].Line+string(rows[seq-1].Hash[:]))) / page
	}
	a, b := find(1), find(200)
	if a == b {
		t.Fatal("both entries are on one page")
	}
	swapped := bytes.Clone(content)
	copy(swapped[a*page:], content[b*page:(b+1)*page])
	copy(swapped[b*page:], content[a*page:(a+1)*page])
	s, err := examine(t, path, swapped)
	if s != nil {
		defer s.Close()
	}
	wantIs(t, err, ErrDamaged)
	t.Log(err)
}
