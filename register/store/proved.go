package store

import (
	"cmp"
	"crypto/sha256"
	"errors"
	"fmt"
	"iter"
	"strconv"
	"strings"

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
		if lo == 1 && err == nil && s.meta.Genesis() != s.genesis {
			err = s.badHeading()
		}
		p := prover{s: s, prev: prev}
		for err == nil {
			var last int64
			if last, err = s.number("read numbers", "SELECT max(seq) FROM entry"); err != nil || min(last, to) < lo {
				break
			}
			for last = min(last, to); err == nil && lo <= last; {
				hi := min(lo+chunkRows-1, last)
				var rows []Row
				rows, err = p.chunk(lo, hi)
				var d *DamagedError
				if errors.As(err, &d) && d.Entry > lo && d.Entry <= hi { // what stands before the fault
					rows, _ = s.unproved(lo, d.Entry-1)
				}
				if len(rows) > 0 && !yield(rows, nil) {
					return
				}
				lo = hi + 1
			}
		}
		if err != nil {
			yield(nil, err)
		}
	}
}

// prover follows the chain through chunks and decodes them.
type prover struct {
	s    *Store
	prev Hash
	seal []byte // tag, previous hash and body of the entry being proved
}

// chunk gives entries lo .. hi, all of which must be there.
func (p *prover) chunk(lo, hi int64) ([]Row, error) {
	n := hi - lo + 1
	text, err := p.s.glued(lo, hi)
	rows, cut := decodeChunk(make([]Row, 0, n), text, lo, p.prev)
	if err = cmp.Or(err, cut); err == nil && int64(len(rows)) != n {
		err = errChunk
	}
	if err == nil {
		err = p.prove(rows, text)
	}
	if err != nil {
		return nil, p.s.diagnose(lo, hi, err)
	}
	p.prev = rows[len(rows)-1].Hash
	return rows, nil
}

// prove compares each entry's hash with the seal of its bytes in the chunk.
func (p *prover) prove(rows []Row, text string) error {
	for i := range rows {
		r := &rows[i]
		body := strings.IndexByte(text, '\n') + 1 + len(r.Writer) + 1 + len(r.Line) + 1
		p.seal = append(strconv.AppendInt(appendPrev(p.seal[:0], r.Prev), r.Seq, 10), ' ')
		p.seal = append(p.seal, text[:body]...)
		if Hash(sha256.Sum256(p.seal)) != r.Hash {
			return errChunk
		}
		text = text[body+len(r.Hash):]
	}
	return nil
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
		err := s.read.QueryRowContext(background, "SELECT min(seq), max(seq) FROM entry WHERE day = ?", day).Scan(&lo, &hi)
		if err != nil {
			return 0, 0, failure(s.path, fmt.Sprintf("find the entries of day %d", day), err)
		}
		first = min(cmp.Or(first, lo), lo)
		last = max(last, hi)
	}
	return first, last, nil
}
