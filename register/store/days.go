package store

import (
	"database/sql"
	"fmt"
	"maps"
	"math"
	"slices"
	"sync"
	"sync/atomic"
)

// dayTable sums up which entries belong to which day. Made once from the
// entries and once from the index by day, the two must agree: damage in the
// index would otherwise hide an entry from Day and from nobody else.
type dayTable map[int32]*daySum

type daySum struct{ count, first, last, sum int64 }

func (t dayTable) add(day int32, seq int64) {
	d := t[day]
	if d == nil {
		d = &daySum{first: seq}
		t[day] = d
	}
	d.count++
	d.first, d.last = min(d.first, seq), max(d.last, seq)
	d.sum += seq
}

func (t dayTable) merge(from dayTable) {
	for day, f := range from {
		d := t[day]
		if d == nil {
			t[day] = f
			continue
		}
		d.count += f.count
		d.first, d.last = min(d.first, f.first), max(d.last, f.last)
		d.sum += f.sum
	}
}

func (t dayTable) bounds() (first, last int32) {
	for day := range t {
		if first == 0 || day < first {
			first = day
		}
		last = max(last, day)
	}
	return first, last
}

// indexQuery goes from the index to each entry, as Day does: max(at) is there
// to make it. It goes backwards because the engine, going forwards, steps from
// an entry to the next and would not notice that one cannot be looked up.
// Entries after the tail are not counted, since they may have been appended
// meanwhile, but must be there: an index that knows more entries than the
// table shows that the end of the table was lost.
const indexQuery = `SELECT day, count(*) FILTER (WHERE seq <= ?3), min(seq), max(seq) FILTER (WHERE seq <= ?3),
  sum(seq) FILTER (WHERE seq <= ?3), max(at)
FROM entry INDEXED BY entry_day WHERE day BETWEEN ?1 AND ?2 GROUP BY day ORDER BY day DESC`

// daysAtOnce is how many days one query covers: some hundred entries each, so
// that the file is held for a few milliseconds.
const daysAtOnce = 32

// span is a group of days that have entries, and the bounds of the index
// between this group and its neighbours.
type span struct {
	days     []int32
	from, to int32
}

// spans covers the whole index, so that an entry listed under a day that no
// entry has is found as well.
func spans(days []int32) []span {
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
	list := spans(slices.Sorted(maps.Keys(want)))
	faults := make([]error, len(list))
	var next atomic.Int64
	var wg sync.WaitGroup
	for range verifyWorkers {
		wg.Go(func() {
			for i := next.Add(1) - 1; i < int64(len(list)); i = next.Add(1) - 1 {
				faults[i] = s.checkSpan(want, list[i], tail)
			}
		})
	}
	wg.Wait()
	for _, err := range faults {
		if err != nil {
			return err
		}
	}
	return nil
}

func (s *Store) checkSpan(want dayTable, p span, tail int64) error {
	q, err := s.read.QueryContext(background, indexQuery, p.from, p.to, tail)
	if err != nil {
		return failure(s.path, "read the list of days", err)
	}
	defer q.Close()
	seen := 0
	for q.Next() {
		var day int32
		var d daySum
		var last, sum sql.NullInt64
		var at int64
		if err := q.Scan(&day, &d.count, &d.first, &last, &sum, &at); err != nil {
			return &DamagedError{Path: s.path, Kind: Index, Cause: err}
		}
		if d.count == 0 {
			continue // a new day began while we looked
		}
		d.last, d.sum = last.Int64, sum.Int64
		if w := want[day]; w == nil || *w != d {
			return s.badDay(day)
		}
		seen++
	}
	if err := q.Err(); err != nil {
		return failure(s.path, "read the list of days", err)
	}
	if seen != len(p.days) { // then there are days: none seen and none wanted agree
		return s.badDay(p.days[0])
	}
	return nil
}

func (s *Store) badDay(day int32) error {
	return &DamagedError{Path: s.path, Kind: Index,
		Detail: fmt.Sprintf("all entries are sound, but from day %d on one is not found by its day", day)}
}
