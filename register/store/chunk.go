package store

import (
	"database/sql"
	"errors"
	"fmt"
	"strings"

	"fairhand/register/calendar"
)

// The fast way to read many entries: the engine glues up to chunkRows of them
// into one value, so that the driver is crossed once and not a thousand times.
// What it makes of a row is the hashed body of encode.go but for its number, which
// is that of its place, followed by the 32 raw bytes of the hash: checking a chain
// needs no re-encoding, and an entry out of its place is not sealed.
const gluedQuery = `SELECT CAST(group_concat(concat(at, ' ', recorded, ' ', day, char(10), writer, char(10), line, char(10), hash), '') AS BLOB)
FROM entry NOT INDEXED WHERE seq BETWEEN ? AND ? ORDER BY seq`

// glued returns the bytes of the entries from lo to hi.
func (s *Store) glued(lo, hi int64) (text string, err error) {
	var b sql.RawBytes // the driver's memory, good until the rows are closed
	q, err := s.read.QueryContext(background, gluedQuery, lo, hi)
	if err != nil {
		return "", err
	}
	defer q.Close()
	if q.Next() {
		err = q.Scan(&b)
	}
	return string(b), errors.Join(err, q.Err())
}

// errChunk: the glued bytes are not what entries give. It never leaves the
// package; the caller reads the same entries one by one and names the bad one.
var errChunk = errors.New("entries cannot be told apart")

// decodeChunk splits glued entries, the first of which has number seq and
// follows prev. Writer and Line share memory with text.
func decodeChunk(rows []Row, text string, seq int64, prev Hash) ([]Row, error) {
	for ; text != ""; seq++ {
		head, rest, _ := strings.Cut(text, "\n")
		writer, rest, _ := strings.Cut(rest, "\n")
		line, rest, ok := strings.Cut(rest, "\n")
		if !ok || len(rest) < len(prev) {
			return rows, fmt.Errorf("entry %d: cut short: %w", seq, errChunk)
		}
		r := Row{Seq: seq, Writer: writer, Line: line, Prev: prev}
		var err error
		if r.At, r.Recorded, r.Day, err = parseHead(head); err != nil {
			return rows, fmt.Errorf("entry %d: %w", seq, err)
		}
		copy(r.Hash[:], rest)
		text, prev = rest[len(prev):], r.Hash
		rows = append(rows, r)
	}
	return rows, nil
}

// parseHead reads the numbers of a body's first line that follow its own.
func parseHead(head string) (at, recorded int64, day calendar.Day, err error) {
	var n [3]int64
	for i := range n {
		field, rest, more := strings.Cut(head, " ")
		if more != (i < len(n)-1) {
			return at, recorded, day, errChunk
		}
		if n[i], err = parseInt(field); err != nil {
			return at, recorded, day, err
		}
		head = rest
	}
	if n[2] != int64(int32(n[2])) {
		return at, recorded, day, errChunk
	}
	return n[0], n[1], calendar.Day(n[2]), nil
}

// parseInt accepts only the form that the encoding writes: no plus sign, no
// leading zero, up to 18 digits.
func parseInt(s string) (n int64, _ error) {
	digits := strings.TrimPrefix(s, "-")
	if digits == "" || len(digits) > 18 || (digits[0] == '0' && s != "0") {
		return n, errChunk
	}
	for i := range len(digits) {
		c := digits[i] - '0'
		if c > 9 {
			return n, errChunk
		}
		n = n*10 + int64(c)
	}
	if len(digits) != len(s) {
		n = -n
	}
	return n, nil
}
