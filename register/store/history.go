package store

import (
	"database/sql"
	"fmt"
	"slices"
	"strings"
)

// Refers says whether a line may correct or explain an earlier entry: those that
// Corrections gives, by the words of their lines.
func Refers(line string) bool {
	for _, word := range [...]string{" correct ", " explain "} {
		for rest := line; ; {
			i := strings.Index(rest, word)
			if i < 0 {
				break
			}
			if rest = rest[i+len(word):]; rest != "" && rest[0] >= '0' && rest[0] <= '9' {
				return true
			}
			rest = " " + rest // the space may begin the next
		}
	}
	return false
}

// Corrections returns, in order, the entries after number after that may correct
// or explain an earlier one: those whose line has the word before a number. The
// caller reads the lines; a remark that says the same words is among them. They
// are found by an index, not by reading the book, and come without Prev. An index
// that is not in order is damage: asked for those after a number, it may give none.
func (s *Store) Corrections(after int64) (all []Row, err error) {
	before := after
	seqs, err := collect(s, func(q *sql.Rows, seq *int64) error {
		err := q.Scan(seq)
		if err == nil && *seq <= before {
			err = &DamagedError{Path: s.path, Kind: Index, Detail: fmt.Sprintf("the list of corrections has entry %d behind entry %d", *seq, before)}
		}
		before = *seq
		return err
	}, "SELECT seq"+byRefers+" WHERE ("+refersWhere+") AND seq > ?", after)
	for some := range slices.Chunk(seqs, chunkRows) {
		if err != nil {
			break
		}
		var rows []Row
		rows, err = s.scan("SELECT "+columns+inOrder+" WHERE seq IN (SELECT value FROM json_each(?)) ORDER BY seq", jsonList(some))
		all = append(all, rows...)
	}
	return all, failure(s.path, "read corrections", err)
}

// refersAtOnce is how many entries one comparison of the index covers.
const refersAtOnce = 100_000

// checkRefers compares the index of entries that speak of an earlier one with
// the entries themselves.
func (s *Store) checkRefers(tail int64) error {
	const sums = "SELECT count(*), coalesce(sum(seq), 0)"
	where := " WHERE (" + refersWhere + ") AND seq BETWEEN ? AND ?"
	for from := int64(1); from <= tail; from += refersAtOnce {
		var n, sum [2]int64
		for i, how := range [...]string{byRefers, inOrder} {
			if err := s.ask("read the list of corrections", sums+how+where, []any{from, min(from+refersAtOnce-1, tail)}, &n[i], &sum[i]); err != nil {
				return err
			}
		}
		if n[0] != n[1] || sum[0] != sum[1] {
			return &DamagedError{Path: s.path, Kind: Index,
				Detail: fmt.Sprintf("all entries are sound, but from entry %d on a correction or explanation is not found by its list", from)}
		}
	}
	return nil
}
