package store

import (
	"cmp"
	"errors"
	"fmt"
	"iter"
	"slices"

	"fairhand/register/calendar"
)

// EachProved gives the entries numbered from to to, both included, some at a time
// and in order; one that is not there is a *DamagedError. The file is free between
// two. The slice is the caller's to keep.
func (s *Store) EachProved(from, to int64) iter.Seq2[[]Row, error] {
	return func(yield func([]Row, error) bool) {
		next := max(from, 1)
		for rows, err := range s.proved(from, to) {
			if !yield(rows, err) || err != nil {
				return
			}
			next = rows[len(rows)-1].Seq + 1
		}
		if next <= to {
			yield(nil, s.missing(next, to))
		}
	}
}

// proved gives the entries from from to to as far as there are by the time they
// are read.
func (s *Store) proved(from, to int64) iter.Seq2[[]Row, error] {
	return func(yield func([]Row, error) bool) {
		lo := max(from, 1)
		prev, err := s.HashAt(lo - 1)
		if lo == 1 && err == nil {
			err = s.begins()
		}
		for err == nil {
			var last int64
			if last, err = s.number("read numbers", "SELECT max(seq)"+inOrder); err != nil || min(last, to) < lo {
				break
			}
			for last = min(last, to); err == nil && lo <= last; {
				hi := min(lo+readRows-1, last)
				var rows []Row
				rows, err = s.chunk(lo, hi, prev)
				if d, ok := errors.AsType[*DamagedError](err); ok && d.Entry > lo && d.Entry <= hi { // what stands before the fault
					rows, _ = s.unproved(lo, d.Entry-1)
				}
				for some := range slices.Chunk(rows, chunkRows) {
					if prev = some[len(some)-1].Hash; !yield(some, nil) {
						return
					}
				}
				lo = hi + 1
			}
		}
		if err != nil {
			yield(nil, err)
		}
	}
}

// begins says whether entry 1 has sound ground: the heading, the descriptions in their
// order, and what is read from.
func (s *Store) begins() error {
	if s.meta.Genesis() != s.genesis {
		return s.badHeading()
	}
	if _, err := s.Descriptions(0); err != nil {
		return err
	}
	return s.readAsMade()
}

// chunk gives entries lo to hi, all of which must be there; prev is the hash of the one
// before them.
func (s *Store) chunk(lo, hi int64, prev Hash) ([]Row, error) {
	rows, err := s.inPages(lo, hi, prev)
	for i := 0; i < len(rows) && err == nil; i++ {
		if !rows[i].Intact() {
			err = errChunk
		}
	}
	if err != nil {
		return nil, s.diagnose(lo, hi, err)
	}
	return rows, nil
}

// SpanOf gives the first and the last number of the entries of the register days
// from to to (yyyymmdd, both included; 0 is open); 0, 0 when there are none.
// Entries of other days may stand between them.
func (s *Store) SpanOf(from, to calendar.Day) (first, last int64, err error) {
	days, err := s.Days(from, to)
	if err != nil {
		return 0, 0, err
	}
	for _, day := range days {
		var lo, hi int64
		if err := s.ask(fmt.Sprintf("find the entries of day %d", day), "SELECT min(seq), max(seq)"+byDay+" WHERE day = ?", []any{day}, &lo, &hi); err != nil {
			return 0, 0, err
		}
		first = min(cmp.Or(first, lo), lo)
		last = max(last, hi)
	}
	return first, last, nil
}
