package store

import (
	"encoding/binary"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"fairhand/register/calendar"
)

// forgeList puts a list of somebody's own, of a key and the number of an entry a row,
// in the place of what one of the two indexes lists: a table without row numbers is
// kept in the file as an index is, and takes its place by the number of its first page.
func forgeList(t *testing.T, path, index string, rows [][2]int64) {
	t.Helper()
	var values []string
	for _, r := range append(rows, [2]int64{}) {
		values = append(values, fmt.Sprintf("(%d, %d)", r[0], r[1]))
	}
	at := slices.IndexFunc(schema, func(o object) bool { return o.name == index })
	db := raw(t, path)
	must(db.Exec(`PRAGMA synchronous = OFF; BEGIN; DROP INDEX `+index+`;
CREATE TABLE forged(key INTEGER, seq INTEGER, PRIMARY KEY(key, seq)) WITHOUT ROWID;
INSERT INTO forged VALUES `+strings.Join(values, ", ")+`; DELETE FROM forged WHERE seq = 0;
PRAGMA writable_schema = ON;
UPDATE sqlite_schema SET (type, name, tbl_name, sql) = ('index', ?, 'entry', ?) WHERE name = 'forged';
PRAGMA schema_version = 77; COMMIT`, index, schema[at].sql))(t)
	db.Close()
}

// exchange exchanges all but the numbers of two entries.
func exchange(a, b int) string {
	return fmt.Sprintf(`UPDATE entry SET seq = 1000000 WHERE seq = %d; UPDATE entry SET seq = %d WHERE seq = %d;
UPDATE entry SET seq = %d WHERE seq = 1000000`, a, a, b, b)
}

// again puts the content of an entry in the place of another's too.
func again(what, place int) string {
	return fmt.Sprintf(`UPDATE entry SET (at, recorded, day, writer, line, hash) =
(SELECT at, recorded, day, writer, line, hash FROM entry WHERE seq = %d) WHERE seq = %d`, what, place)
}

// damageIs checks all that a damage tells but its cause.
func damageIs(t *testing.T, err error, path string, entry int64, kind Damage, detail string) {
	t.Helper()
	var d *DamagedError
	if !errors.As(err, &d) {
		t.Errorf("got %v, want damage: entry %d %s", err, entry, kind)
	} else if d.Path != path || d.Entry != entry || d.Kind != kind || (detail == "") != (d.Detail == "") || !strings.Contains(d.Detail, detail) {
		t.Errorf("got %v, want %s, entry %d %s: %s", err, path, entry, kind, detail)
	}
}

// A line refers to an earlier entry where the index of the file says so, and nowhere else.
func TestRefersAsTheIndexDoes(t *testing.T) {
	s := newStore(t)
	yes := 0
	for _, line := range []string{
		`10:00 correct 1 "x"`, `10:00 explain 9 "x"`, "correct 1", " correct 1", "a correct 0", "a correct 9", "a correct :", "a correct /",
		"a correct ", "a correct", "a correct x", "a correct x correct 4", "a correct correct 4", "a explain explain explain 4", "a correct explain 4",
		"a correct  4", "a correct 4 correct x", "a Correct 4", "a incorrect 4", "a correct x1", "a correct -1", "a explain", "1",
	} {
		var lists bool
		if err := s.read.QueryRow("SELECT "+refersWhere+" FROM (SELECT ? AS line)", line).Scan(&lists); err != nil {
			t.Fatal(err)
		}
		if lists {
			yes++
		}
		if Refers(line) != lists {
			t.Errorf("%q refers to an earlier entry: %v, the index says %v", line, Refers(line), lists)
		}
	}
	if yes < 9 {
		t.Errorf("only %d lines refer to another", yes)
	}
}

// However many entries refer to others, each is given once, in order.
func TestManyCorrections(t *testing.T) {
	s := newStore(t)
	list := drafts(0, 2*chunkRows+1)
	for i := range list[1:] {
		list[i+1].Line = `10:00 correct 1 "x"`
	}
	must(s.AppendBatch(list))(t)
	rows := must(s.Corrections(0))(t)
	if len(rows) != 2*chunkRows || rows[0].Seq != 2 || rows[len(rows)-1].Seq != 2*chunkRows+1 ||
		!slices.IsSortedFunc(rows, func(a, b Row) int { return int(a.Seq - b.Seq) }) {
		t.Errorf("%d of %d entries", len(rows), 2*chunkRows)
	}
}

// A list of corrections that does not agree with the entries is reported, since the
// book would be replayed without one of them.
func TestListOfCorrectionsIsProved(t *testing.T) {
	for _, c := range []struct {
		entries int
		refer   []int64
		listed  []int64
		sound   bool
	}{
		{5, []int64{1, 4}, []int64{1, 4}, true},
		{5, []int64{1, 4}, []int64{1}, false},
		{5, []int64{1, 4}, []int64{1, 3}, false},
		{5, []int64{5}, []int64{1, 4}, false}, // of one sum
		{1, []int64{1}, nil, false},
		{5, []int64{1}, nil, false},
		{5, []int64{5}, nil, false},
	} {
		s := newStore(t)
		list := drafts(0, c.entries)
		for _, seq := range c.refer {
			list[seq-1].Line = `10:00 correct 1 "x"`
		}
		must(s.AppendBatch(list))(t)
		s.Close()
		var rows [][2]int64
		for _, seq := range c.listed {
			rows = append(rows, [2]int64{seq, seq})
		}
		forgeList(t, s.Path(), "entry_refers", rows)
		r := must(OpenReadOnly(s.Path()))(t)
		gathered := r.NewDayCheck()
		if err := gathered.read(int64(c.entries), nil); err != nil {
			t.Fatal(err)
		}
		err := gathered.Check(int64(c.entries))
		if _, told := r.Verify(nil); (err == nil) != (told == nil) {
			t.Errorf("verified: %v", told)
		}
		if !c.sound {
			damageIs(t, err, s.Path(), 0, Index, "all entries are sound, but a correction or explanation is not found by its list")
		} else if err != nil {
			t.Errorf("listed as they are: %v", err)
		}
		r.Close()
	}
}

// The list of days is proved whole, in a register of more days than are asked for at
// once: one day hidden, one listed where no entry is, beside the days there are and
// between those asked for together.
func TestListOfDaysIsProved(t *testing.T) {
	days := int64(2*daysAtOnce + 3)
	dayOf := func(i int64) int64 { return 20260101 + i/14*100 + i%14*2 } // every other day
	s := newStore(t)
	list := drafts(0, int(days))
	var sound [][2]int64
	for i := range list {
		list[i].Day = calendar.Day(dayOf(int64(i)))
		sound = append(sound, [2]int64{dayOf(int64(i)), int64(i) + 1})
	}
	must(s.AppendBatch(list))(t)
	s.Close()
	at := int64(daysAtOnce)
	for name, c := range map[string]struct {
		hide, list [2]int64 // rows of the list, by day and number
		day        int64    // named; 0: nothing is
	}{
		"as it is":                      {},
		"another day at the beginning":  {sound[0], [2]int64{dayOf(0) - 1, 1}, dayOf(0) - 1},
		"another day at the end":        {sound[days-1], [2]int64{dayOf(days-1) + 1, days}, 0},
		"hidden, the last":              {hide: sound[days-1], day: dayOf(days - 1)},
		"hidden, the first of a group":  {hide: sound[at], day: dayOf(at)},
		"twice, far before all":         {list: [2]int64{-1, 5}, day: -1},
		"twice, before all":             {list: [2]int64{dayOf(0) - 1, 5}, day: dayOf(0) - 1},
		"twice, before the first group": {list: [2]int64{dayOf(at) - 1, 5}, day: dayOf(at) - 1},
		"twice, before the next group":  {list: [2]int64{dayOf(2*at) - 1, 5}, day: dayOf(2*at) - 1},
		"twice, after all":              {list: [2]int64{99991231, 5}, day: 99991231},
		"on a day with others":          {list: [2]int64{dayOf(7), 5}, day: dayOf(7)},
	} {
		t.Run(name, func(t *testing.T) {
			rows := slices.DeleteFunc(slices.Clone(sound), func(r [2]int64) bool { return r == c.hide })
			if c.list[1] > 0 {
				rows = append(rows, c.list)
			}
			path := copyOf(t, s.Path())
			forgeList(t, path, "entry_day", rows)
			r := must(OpenReadOnly(path))(t)
			defer r.Close()
			listed := r.NewDayCheck()
			if err := listed.read(days, nil); err != nil {
				t.Fatal(err)
			}
			err := listed.Check(days)
			if _, told := r.Verify(nil); (err == nil) != (told == nil) {
				t.Errorf("verified: %v", told)
			}
			switch {
			case name == "as it is":
				if err != nil {
					t.Error(err)
				}
				if n := len(must(r.Day(calendar.Day(dayOf(at))))(t)); n != 1 {
					t.Errorf("a day of one entry gives %d", n)
				}
			case c.day == 0: // which of two is named first is not said
				damageIs(t, err, path, 0, Index, "all entries are sound, but from day ")
			default:
				damageIs(t, err, path, 0, Index, fmt.Sprintf("all entries are sound, but from day %d on one is not found by its day", c.day))
			}
			if len(rows) == len(sound) {
				return
			}
			_, err = Open(path)
			damageIs(t, err, path, 0, Index, fmt.Sprintf("it lists %d entries, and the last is number %d: a copy", len(rows), days))
		})
	}
}

// A day whose entries stand among those of another, listed with others of one sum, one end
// and as many, begins later by its list: it is told.
func TestDayThatBeginsLaterByItsList(t *testing.T) {
	s := newStore(t)
	list := drafts(0, 8)
	var rows [][2]int64
	for i := range list {
		list[i].Day = 20260101 + calendar.Day(i%2)
		if i%2 == 0 {
			rows = append(rows, [2]int64{20260101, int64(i) + 1})
		}
	}
	must(s.AppendBatch(list))(t)
	s.Close()
	for _, seq := range []int64{3, 4, 5, 8} { // of 2, 4, 6, 8
		rows = append(rows, [2]int64{20260102, seq})
	}
	forgeList(t, s.Path(), "entry_day", rows)
	r := must(OpenReadOnly(s.Path()))(t)
	defer r.Close()
	_, err := r.Verify(nil)
	damageIs(t, err, s.Path(), 0, Index, "all entries are sound, but from day 20260102 on one is not found by its day")
}

// What this program would have refused to write is told although the chain holds.
func TestEntryThatNoneWrites(t *testing.T) {
	for name, as := range map[string]func(*Draft){
		"a long line":       func(d *Draft) { d.Line = strings.Repeat("x", maxLine+1) },
		"a long name":       func(d *Draft) { d.Writer = strings.Repeat("x", maxText+1) },
		"no text":           func(d *Draft) { d.Line = "\xff" },
		"a nought":          func(d *Draft) { d.Line += "\x00" },
		"a time of no year": func(d *Draft) { d.Recorded = maxTime + 1 },
		"a day of no month": func(d *Draft) { d.Day = 20261301 },
	} {
		s := filled(t, 4)
		d := draft(4)
		as(&d)
		r := next(s.Tail(), d)
		if err := s.insertAll(pointers([]Row{r, next(Tail{r.Seq, r.Hash}, draft(5))})); err != nil {
			t.Fatal(name, err)
		}
		wantDamage(t, s.Path(), 5, Changed, "this program writes no such entry")
		s.Close()
	}
}

// A page on which entries stand is listed as free: nothing is wrong yet, and what is
// written next would be written over it.
func TestEntriesListedAsFree(t *testing.T) {
	const page = 4096
	path, content, rows := bigFile(t, 200)
	put := func(at, n int) { binary.BigEndian.PutUint32(content[at:], uint32(n)) }
	free, pages := placeOf(content, rows[20])/page+1, len(content)/page+1
	content = append(content, make([]byte, page)...) // of the list: no other, one page, that one
	put(pages*page-page+4, 1)
	put(pages*page-page+8, free)
	put(pagesAt, pages)
	put(32, pages) // where the list is, and how many pages are free
	put(36, 2)
	s, err := examine(t, path, content)
	damageIs(t, err, path, 0, Unreadable, "2nd reference to page")
	if err := s.Close(); err != nil {
		t.Error(err)
	}
}
