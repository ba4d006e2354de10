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

// listSum sums up the entries of a list.
type listSum struct{ count, sum int64 }

// checkRefers compares the index of entries that speak of an earlier one with those
// gathered up to number tail. The engine is asked for the index alone: to find the same
// lines itself takes it a tenth of what the whole proof does.
func (s *Store) checkRefers(want listSum, tail int64) error {
	var listed listSum
	err := s.ask("read the list of corrections", "SELECT count(*), coalesce(sum(seq), 0)"+byRefers+" WHERE ("+refersWhere+") AND seq <= ?", []any{tail}, &listed.count, &listed.sum)
	if err == nil && listed != want {
		err = &DamagedError{Path: s.path, Kind: Index, Detail: "all entries are sound, but a correction or explanation is not found by its list"}
	}
	return err
}
