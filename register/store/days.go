package store

import (
	"fmt"
	"maps"
	"slices"
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

const indexQuery = `SELECT day, count(*), min(seq), max(seq), sum(seq)
FROM entry INDEXED BY entry_day WHERE day BETWEEN ? AND ? AND seq <= ? GROUP BY day`

// checkDays reads the index in groups of days, so as not to hold the file.
func (s *Store) checkDays(want dayTable, tail int64) error {
	const group = 32
	days := slices.Sorted(maps.Keys(want))
	from := int32(0)
	for i := 0; i <= len(days); i += group {
		to := int32(1<<31 - 1)
		if i+group < len(days) {
			to = days[i+group] - 1
		}
		if err := s.checkDayGroup(want, days[i:min(i+group, len(days))], from, to, tail); err != nil {
			return err
		}
		if i+group >= len(days) {
			break
		}
		from = to + 1
	}
	return nil
}

func (s *Store) checkDayGroup(want dayTable, days []int32, from, to int32, tail int64) error {
	q, err := s.read.QueryContext(background, indexQuery, from, to, tail)
	if err != nil {
		return failure(s.path, "read the list of days", err)
	}
	defer q.Close()
	seen := 0
	for q.Next() {
		var day int32
		var d daySum
		if err := q.Scan(&day, &d.count, &d.first, &d.last, &d.sum); err != nil {
			return &DamagedError{Path: s.path, Kind: Index, Cause: err}
		}
		if w := want[day]; w == nil || *w != d {
			return s.badDay(day)
		}
		seen++
	}
	if err := q.Err(); err != nil {
		return failure(s.path, "read the list of days", err)
	}
	if seen != len(days) {
		return s.badDay(from)
	}
	return nil
}

func (s *Store) badDay(day int32) error {
	return &DamagedError{Path: s.path, Kind: Index,
		Detail: fmt.Sprintf("entries near day %d are sound but not listed rightly; a backup made from this file lists them anew", day)}
}
