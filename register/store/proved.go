package store

import "fmt"

// EachProved calls fn with the entries numbered from to to, both included, some
// at a time and in order, and proves each before it is handed on: no number is
// missing and each entry's hash is the seal of its own fields and of the entry
// before it. The first fault ends it as a *DamagedError. What Verify proves of
// the tables, of the list of days and of the file's structure is not looked at.
// The slice is the caller's to keep; the file is free while fn runs. An error of
// fn ends it.
func (s *Store) EachProved(from, to int64, fn func([]Row) error) error {
	from = max(from, 1)
	prev, err := s.hashAt(from - 1)
	if err != nil {
		return err
	}
	c := &checker{s: s, prev: prev, days: dayTable{}}
	for lo := from; lo <= to; lo += chunkRows {
		hi := min(lo+chunkRows-1, to)
		before := c.prev
		if err := c.chunk(lo, hi); err != nil {
			return err
		}
		rows, err := decodeChunk(make([]Row, 0, hi-lo+1), string(c.glue), lo, before)
		if err != nil { // sealed as they are, but not in a form that this version writes
			return s.diagnose(lo, hi, before, err)
		}
		if err := fn(rows); err != nil {
			return err
		}
	}
	return nil
}

// Explanations returns, in order, the entries after number after that explain
// another. The whole register is read for them.
func (s *Store) Explanations(after int64) ([]Row, error) {
	return s.rows("read explanations", "SELECT "+columns+" FROM entry NOT INDEXED WHERE line GLOB '* explain [0-9]*' AND seq > ? ORDER BY seq", after)
}

// SpanOf gives the first and the last number of the entries of the register days
// from to to (yyyymmdd, both included; 0 is open); 0, 0 when there are none.
// Entries of other days may stand between them.
func (s *Store) SpanOf(from, to int32) (first, last int64, err error) {
	days, err := s.Days(from, to)
	if err != nil {
		return 0, 0, err
	}
	for _, day := range days {
		var lo, hi int64
		err := s.read.QueryRowContext(background, "SELECT min(seq), max(seq) FROM entry WHERE day = ?", day).Scan(&lo, &hi)
		if err != nil {
			return 0, 0, failure(s.path, fmt.Sprintf("find the entries of day %d", day), err)
		}
		if first == 0 || lo < first {
			first = lo
		}
		last = max(last, hi)
	}
	return first, last, nil
}
