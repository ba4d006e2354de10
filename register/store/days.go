package store

import (
	"cmp"
	"database/sql"
	"fmt"
	"maps"
	"math"
	"slices"

	"fairhand/register/calendar"
)

// DayCheck gathers which entries belong to which day, and which speak of others, from the
// entries themselves, as they are proved from the first on, and compares the indexes by day
// and of corrections with it: what is asked of them afterwards is right.
type DayCheck struct {
	s       *Store
	days    dayTable
	refers  listSum // of entries that speak of others
	foreign error   // the first entry that this program would not have written
}

// NewDayCheck begins with no entry.
func (s *Store) NewDayCheck() *DayCheck { return &DayCheck{s: s, days: dayTable{}} }

// Add takes an entry that was proved. That it is of the chain does not say that this
// program wrote it: one that it would have refused was chained by another.
func (c *DayCheck) Add(r *Row) {
	c.days.add(r.Day, r.Seq)
	if Refers(r.Line) {
		c.refers.count++
		c.refers.sum += r.Seq
	}
	if c.foreign == nil {
		if err := (Draft{r.At, r.Recorded, r.Day, r.Writer, r.Line}).check(); err != nil {
			c.foreign = &DamagedError{Path: c.s.path, Entry: r.Seq, Kind: Changed, Detail: "this program writes no such entry, so another chained it anew", Cause: err}
		}
	}
}

// read proves the entries up to number tail and takes them.
func (c *DayCheck) read(tail int64, progress func(done, total int64)) error {
	for rows, err := range c.s.EachProved(1, tail) {
		if err != nil {
			return err
		}
		for i := range rows {
			c.Add(&rows[i])
		}
		if progress != nil {
			progress(rows[len(rows)-1].Seq, tail)
		}
	}
	return nil
}

// Check names an entry that was added and that this program does not write, and compares
// the indexes with the entries up to number tail, all of which were added, and further ones
// if any were: a register that was empty is read to its end, and written in meanwhile. A
// disagreement is a *DamagedError.
func (c *DayCheck) Check(tail int64) error {
	for _, d := range c.days {
		tail = max(tail, d.last)
	}
	if c.foreign != nil {
		return c.foreign
	}
	return cmp.Or(c.s.checkDays(c.days, tail), c.s.checkRefers(c.refers, tail))
}

// dayTable sums up which entries belong to which day. Made once from the
// entries and once from the index by day, the two must agree: damage in the
// index would otherwise hide an entry from Day and from nobody else.
type dayTable map[calendar.Day]*daySum

type daySum struct{ count, first, last, sum int64 }

func (t dayTable) add(day calendar.Day, seq int64) {
	d := t[day]
	if d == nil {
		d = &daySum{first: seq}
		t[day] = d
	}
	d.count++
	d.first = min(d.first, seq)
	d.last = max(d.last, seq)
	d.sum += seq
}

func (t dayTable) bounds() (first, last calendar.Day) {
	days := slices.Sorted(maps.Keys(t))
	if len(days) == 0 {
		return first, last
	}
	return days[0], days[len(days)-1]
}

const indexQuery = `SELECT day, count(*), min(seq), max(seq), sum(seq)` + byDay + `
WHERE day BETWEEN ? AND ? GROUP BY day`

// dayQuery is the same for the entries of one day up to the tail, for a day on
// which more were appended meanwhile.
const dayQuery = `SELECT count(*), coalesce(min(seq), 0), coalesce(max(seq), 0), coalesce(sum(seq), 0)` + byDay + `
WHERE day = ? AND seq <= ?`

// daysAtOnce is how many days one query covers: some hundred entries each, so
// that the file is held for a few milliseconds.
const daysAtOnce = 32

// span is a group of days that have entries, and the bounds of the index
// between this group and its neighbours.
type span struct {
	days     []calendar.Day
	from, to calendar.Day
}

// spans covers the whole index, so that an entry listed under a day that no
// entry has is found as well.
func spans(days []calendar.Day) []span {
	list := []span{{from: math.MinInt32, to: math.MaxInt32}}
	for group := range slices.Chunk(days, daysAtOnce) {
		last := &list[len(list)-1]
		if last.days != nil {
			last.to = group[0] - 1
			list = append(list, span{from: group[0], to: math.MaxInt32})
			last = &list[len(list)-1]
		}
		last.days = group
	}
	return list
}

// checkDays compares the index with what was gathered from the entries.
func (s *Store) checkDays(want dayTable, tail int64) error {
	for _, p := range spans(slices.Sorted(maps.Keys(want))) {
		got, err := s.indexed(p)
		if err != nil {
			return failure(s.path, "read the list of days", err)
		}
		for day, d := range got {
			if err := s.checkDay(day, d, want[day], tail); err != nil {
				return err
			}
		}
		for _, day := range p.days {
			if got[day] == nil {
				return s.badDay(day)
			}
		}
	}
	return nil
}

// checkDay compares one day of the index with the entries, d with w. Entries
// after the tail may have been appended meanwhile, but then they are there: an
// index that knows more than the table shows that the table's end was lost.
func (s *Store) checkDay(day calendar.Day, d, w *daySum, tail int64) error {
	var beyond int64
	if d.last > tail {
		beyond = d.last
		if err := s.ask("read the list of days", dayQuery, []any{day, tail}, &d.count, &d.first, &d.last, &d.sum); err != nil {
			return err
		}
	}
	if (w == nil && d.count > 0) || (w != nil && *w != *d) {
		return s.badDay(day)
	}
	hash, err := s.HashAt(beyond) // before entry 1 there always is one
	if err == nil && hash == (Hash{}) {
		err = &DamagedError{Path: s.path, Entry: tail + 1, Kind: Missing,
			Detail: fmt.Sprintf("entry %d is listed under day %d but is not in the register", beyond, day)}
	}
	return err
}

// indexed sums up the index.
func (s *Store) indexed(p span) (dayTable, error) {
	got, before := dayTable{}, calendar.Day(math.MinInt32)
	_, err := collect(s, func(q *sql.Rows, d *daySum) error {
		var day calendar.Day
		if err := q.Scan(&day, &d.count, &d.first, &d.last, &d.sum); err != nil {
			return &DamagedError{Path: s.path, Kind: Index, Cause: err}
		}
		if day <= before { // the index is not in order: asked for a day it may give none
			return s.badDay(day)
		}
		got[day], before = new(*d), day
		return nil
	}, indexQuery, p.from, p.to)
	return got, err
}

func (s *Store) badDay(day calendar.Day) error {
	return &DamagedError{Path: s.path, Kind: Index,
		Detail: fmt.Sprintf("all entries are sound, but from day %d on one is not found by its day", day)}
}
