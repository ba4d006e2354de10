package store

import (
	"cmp"
	"database/sql"
	"encoding/hex"
	"errors"
	"fmt"
	"iter"
	"math"
	"slices"

	"fairhand/register/calendar"
)

// chunkRows is how many entries are handed out in one go, readRows how many are read:
// enough to make the cost of a query small, few enough that a writer hardly waits.
const (
	chunkRows = 1000
	readRows  = 4 * chunkRows
)

// How entries are read: along the table, or by the two lists of them. It is always said
// which, else the engine takes another list that somebody put in.
const (
	inOrder  = " FROM entry NOT INDEXED"
	byDay    = " FROM entry INDEXED BY entry_day"
	byRefers = " FROM entry INDEXED BY entry_refers"
)

// Every reading is proved: no number is missing, and each entry's hash is the seal
// of its own fields and of the entry before it. The first fault ends the reading as
// a *DamagedError that names the entry, after what stands before it. Of what lies
// outside the numbers that were read nothing is proved: that is Verify's.

// Day returns the entries of one register day in the order of writing. The index
// by day says between which numbers they stand; which of those they are, and
// whether one stands beside them that the index does not know, say the entries.
func (s *Store) Day(day calendar.Day) ([]Row, error) {
	// One statement sees one state of the file: an entry that another writes meanwhile
	// lies beyond tail and is no fault of the index.
	const query = `SELECT count(*), ifnull(min(seq), 0), ifnull(max(seq), 0), (SELECT max(seq)` + inOrder + `)` + byDay + ` WHERE day = ?`
	var listed, lo, hi int64
	var tail sql.NullInt64
	if err := s.ask(fmt.Sprintf("read day %d", day), query, []any{day}, &listed, &lo, &hi, &tail); err != nil || listed == 0 {
		return nil, err
	}
	var list []Row
	for rows, err := range s.proved(lo-1, min(hi+1, tail.Int64)) {
		if err != nil {
			return list, err
		}
		list = append(list, slices.DeleteFunc(rows, func(r Row) bool { return r.Day != day })...)
	}
	if int64(len(list)) != listed {
		return list, s.badDay(day)
	}
	return list, nil
}

// Range returns entries from to to, both included, as far as there are.
func (s *Store) Range(from, to int64) ([]Row, error) {
	var list []Row
	for rows, err := range s.proved(from, to) {
		if err != nil {
			return list, err
		}
		list = append(list, rows...)
	}
	return list, nil
}

// Each gives all entries from number from on, some at a time, in order; the slice
// is the caller's to keep. The file is free between two. Entries appended
// meanwhile are included.
func (s *Store) Each(from int64) iter.Seq2[[]Row, error] { return s.proved(from, math.MaxInt64) }

// unproved gives what stands in the table, for those who look for what is wrong.
// After damage to the file it returns the entries before it with the error.
func (s *Store) unproved(from, to int64) ([]Row, error) {
	return s.rows(fmt.Sprintf("read entries %d to %d", from, to),
		"SELECT "+columns+inOrder+" WHERE seq BETWEEN ? AND ? ORDER BY seq", from, to)
}

// rows runs one of the queries for whole entries and fills in Prev.
func (s *Store) rows(doing, query string, args ...any) ([]Row, error) {
	list, err := s.scan(query, args...)
	before := Tail{Hash: s.genesis}
	for i := range list {
		r := &list[i]
		if r.Seq != before.Seq+1 {
			var perr error
			if before.Hash, perr = s.HashAt(r.Seq - 1); perr != nil {
				return list, errors.Join(failure(s.path, doing, err), perr)
			}
		}
		r.Prev, before = before.Hash, Tail{r.Seq, r.Hash}
	}
	return list, failure(s.path, doing, err)
}

func (s *Store) scan(query string, args ...any) ([]Row, error) {
	return collect(s, s.entry, query, args...)
}

// entry reads the columns of an entry.
func (s *Store) entry(q *sql.Rows, r *Row) error {
	var hash []byte
	if err := q.Scan(&r.Seq, &r.At, &r.Recorded, &r.Day, &r.Writer, &r.Line, &hash); err != nil {
		return &DamagedError{Path: s.path, Entry: r.Seq, Kind: Unreadable, Cause: err}
	}
	if len(hash) == len(r.Hash) { // else left zero: not intact
		r.Hash = Hash(hash)
	}
	return nil
}

// collect reads what a query gives, one by one, up to the first error.
func collect[T any](s *Store, read func(q *sql.Rows, one *T) error, query string, args ...any) (list []T, _ error) {
	q, err := s.read.QueryContext(background, query, args...)
	if err != nil {
		return nil, err
	}
	return given(q, read)
}

// given reads what a query that was made gives.
func given[T any](q *sql.Rows, read func(q *sql.Rows, one *T) error) (list []T, _ error) {
	defer q.Close()
	for q.Next() {
		var one T
		if err := read(q, &one); err != nil {
			return list, err
		}
		list = append(list, one)
	}
	return list, q.Err()
}

// value reads a row of one column.
func value[T any](q *sql.Rows, to *T) error { return q.Scan(to) }

// HashAt is the hash kept with an entry: the genesis hash for 0, and the zero
// hash if there is no such entry. It is as good as the proof that went before.
func (s *Store) HashAt(seq int64) (Hash, error) {
	if seq < 1 {
		return s.genesis, nil
	}
	var hash []byte
	err := s.read.QueryRowContext(background, "SELECT hash"+inOrder+" WHERE seq = ?", seq).Scan(&hash)
	switch {
	case err != nil && !errors.Is(err, sql.ErrNoRows):
		return Hash{}, failure(s.path, fmt.Sprintf("read the hash of entry %d", seq), err)
	case len(hash) != len(Hash{}):
		return Hash{}, nil
	}
	return Hash(hash), nil
}

// Head is what a register has of itself as it ended with an entry: whatever a seal says of
// it can be compared with that.
type Head struct {
	Hash      Hash
	Day       calendar.Day // of the entry
	Recorded  int64        // when the entry was written, in seconds of Unix
	Described string       // Digest of the description of the box in force then; "" where none is kept
}

// HeadAt is the head as it was when the register ended with an entry, of which all is zero
// where there is no such entry. It is as good as the proof that went before.
func (s *Store) HeadAt(seq int64) (h Head, err error) {
	if h.Hash, err = s.HashAt(seq); err != nil || h.Hash == (Hash{}) || seq < 1 {
		return h, err
	}
	if err := s.ask("read an entry that was sealed", "SELECT day, recorded"+inOrder+" WHERE seq = ?", []any{seq}, &h.Day, &h.Recorded); err != nil {
		return h, err
	}
	h.Described, err = s.describedAt(seq)
	return h, err
}

// firstSeq is the lowest number not below from, 0 if there is none.
func (s *Store) firstSeq(from int64) (int64, error) {
	return s.number("read numbers", "SELECT min(seq)"+inOrder+" WHERE seq >= ?", from)
}

// FirstDay is the earliest register day, 0 in an empty register.
func (s *Store) FirstDay() (calendar.Day, error) {
	n, err := s.number("read the first day", "SELECT min(day)"+byDay)
	return calendar.Day(n), err
}

// LastDay is the latest register day, 0 in an empty register.
func (s *Store) LastDay() (calendar.Day, error) {
	n, err := s.number("read the last day", "SELECT max(day)"+byDay)
	return calendar.Day(n), err
}

func (s *Store) number(doing, query string, args ...any) (int64, error) {
	var n sql.NullInt64
	err := s.ask(doing, query, args, &n)
	return n.Int64, err
}

// ask reads the one row that a query gives.
func (s *Store) ask(doing, query string, args []any, to ...any) error {
	return failure(s.path, doing, s.read.QueryRowContext(background, query, args...).Scan(to...))
}

// daysQuery steps from day to day through the index, so that its time goes
// with the number of days and not of entries.
const daysQuery = `WITH RECURSIVE step(day) AS (
  SELECT min(day)` + byDay + ` WHERE day BETWEEN ?1 AND ?2
  UNION ALL
  SELECT (SELECT min(day)` + byDay + ` WHERE day > step.day AND day <= ?2) FROM step WHERE day IS NOT NULL
) SELECT day FROM step WHERE day IS NOT NULL`

// Days lists the register days from to to, both included, that have entries,
// in order. A zero bound is open.
func (s *Store) Days(from, to calendar.Day) ([]calendar.Day, error) {
	days, err := collect(s, value[calendar.Day], daysQuery, from, cmp.Or(to, math.MaxInt32))
	return days, failure(s.path, "list the days", err)
}

func parseHash(text string) (Hash, error) {
	var h Hash
	b, err := hex.DecodeString(text)
	if err == nil && len(b) != len(h) {
		err = fmt.Errorf("%d hex digits, want %d", len(text), 2*len(h))
	}
	if err == nil {
		copy(h[:], b)
	}
	return h, err
}
