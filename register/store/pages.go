package store

import (
	"database/sql"
	"errors"
	"math"
	"slices"
	"strconv"
	"strings"

	"fairhand/register/calendar"
)

// The fast way to read many entries: the engine hands out whole pages of the file, and
// the entries on them are read here as the format has them (SQLite documentation,
// "Database File Format", 1.6 B-tree Pages and 2.1 Record Format,
// https://www.sqlite.org/fileformat2.html). Row by row most of the time goes into the
// crossing. Nothing of it is believed: each entry is proved, and of pages on which they
// are not found as they should be they are read one by one.

// errChunk: the pages do not hold what entries give. It never leaves the package; the
// caller reads the same entries one by one and names the bad one.
var errChunk = errors.New("entries cannot be told apart")

const (
	rootQuery  = "SELECT rootpage FROM sqlite_schema WHERE type = 'table' AND name = 'entry'"
	pagesQuery = "SELECT pgno, data FROM sqlite_dbpage WHERE pgno IN (SELECT value FROM json_each(?))"

	innerPage, leafPage = 5, 13 // first byte of a page of a table
	deepest             = 20    // levels of pages that the engine has at the most

	longest = 35 + 255 // what a page has less than its size for an entry that stands on it alone
)

// inPages reads entries lo to hi, the first of which follows prev.
func (s *Store) inPages(lo, hi int64, prev Hash) ([]Row, error) {
	pages, err := s.leafPages(lo, hi)
	rows := make([]Row, 0, hi-lo+1)
	for i := 0; i < len(pages) && err == nil; i++ {
		rows, err = s.onPage(rows, pages[i], lo, hi)
	}
	for i := range rows {
		r := &rows[i]
		if r.Seq != lo+int64(i) {
			return nil, errors.Join(errChunk, err)
		}
		r.Prev, prev = prev, r.Hash
	}
	if err == nil && int64(len(rows)) != hi-lo+1 {
		err = errChunk
	}
	return rows, err
}

// leafPages are the pages with entries lo to hi, as they all stand at one moment.
func (s *Store) leafPages(lo, hi int64) ([]string, error) {
	tx, err := s.read.BeginTx(background, nil)
	if err != nil {
		return nil, err
	}
	defer tx.Rollback() //nolint:errcheck // nothing was written
	var root int64
	if err := tx.QueryRowContext(background, rootQuery).Scan(&root); err != nil {
		return nil, err
	}
	level := []int64{root}
	for range deepest {
		pages, err := pagesOf(tx, level)
		if err != nil {
			return nil, err
		}
		if number(pages[0], 0, 1) == leafPage {
			return pages, nil
		}
		level = level[:0]
		for _, p := range pages {
			// An entry that stands higher than the others would be found by its number
			// alone, and this reading would not come upon it.
			if number(p, 0, 1) != innerPage {
				return nil, errChunk
			}
			var ordered bool
			if level, ordered = below(level, p, lo, hi); !ordered {
				return nil, errChunk
			}
		}
		if len(level) == 0 {
			break
		}
	}
	return nil, errChunk
}

// pagesOf are the pages of some numbers, in their order.
func pagesOf(tx *sql.Tx, numbers []int64) ([]string, error) {
	q, err := tx.QueryContext(background, pagesQuery, jsonList(numbers))
	if err != nil {
		return nil, err
	}
	defer q.Close()
	pages := make([]string, len(numbers))
	for q.Next() {
		var n int64
		var data sql.RawBytes // the driver's memory, good until the next
		if err := q.Scan(&n, &data); err != nil {
			return nil, err
		}
		if i := slices.Index(numbers, n); i >= 0 {
			pages[i] = string(data)
		}
	}
	if slices.Contains(pages, "") {
		return nil, errors.Join(errChunk, q.Err())
	}
	return pages, q.Err()
}

// jsonList is some numbers as the engine takes a list of them.
func jsonList(numbers []int64) string {
	list := []byte{'['}
	for i, n := range numbers {
		if i > 0 {
			list = append(list, ',')
		}
		list = strconv.AppendInt(list, n, 10)
	}
	return string(append(list, ']'))
}

// below adds the pages under an inner page on which entries lo to hi stand, and says
// whether the numbers on it rise. Where they do not, who looks for one entry by halves may
// come to another page than who goes along them, such as to the hash that was sealed.
func below(level []int64, p string, lo, hi int64) (_ []int64, ordered bool) {
	before := int64(math.MinInt64) // entries of the page end with this
	for i := range number(p, 3, 2) {
		cell := number(p, 12+2*i, 2)
		last, _ := varint(from(p, cell+4))
		if last <= before {
			return level, false
		}
		if last >= lo && before < hi {
			level = append(level, number(p, cell, 4))
		}
		before = last
	}
	if before < hi {
		level = append(level, number(p, 8, 4))
	}
	return level, true
}

// onPage adds those of entries lo to hi that stand on a page.
func (s *Store) onPage(rows []Row, p string, lo, hi int64) ([]Row, error) {
	if number(p, 0, 1) != leafPage {
		return rows, errChunk
	}
	for i := range number(p, 3, 2) {
		size, rest := varint(from(p, number(p, 8+2*i, 2)))
		seq, rest := varint(rest)
		if seq < lo || seq > hi {
			continue
		}
		if size > int64(len(p)-longest) { // it may go on on another page
			row, err := s.scan("SELECT "+columns+inOrder+" WHERE seq = ?", seq)
			if err != nil {
				return rows, err
			}
			rows = append(rows, row...)
			continue
		}
		rows = append(rows, Row{Seq: seq})
		if size > int64(len(rest)) || !rows[len(rows)-1].fill(rest[:size]) {
			return rows[:len(rows)-1], errChunk
		}
	}
	return rows, nil
}

// fill reads the other fields of an entry, and says whether each is there in the type in
// which it is written, and nothing else. Writer and line share memory with the page.
func (r *Row) fill(record string) bool {
	size, types := varint(record)
	f := fields{types: types, body: from(record, size)}
	alias, _ := f.next() // the number stands beside the record
	var day int64
	r.At, r.Recorded, day = f.whole(), f.whole(), f.whole()
	r.Writer, r.Line = f.text(), f.text()
	kind, hash := f.next()
	if kind == 12+2*int64(len(r.Hash)) {
		copy(r.Hash[:], hash)
	}
	r.Day = calendar.Day(day)
	return alias == 0 && kind == 12+2*int64(len(r.Hash)) && !f.bad && f.body == "" && int64(len(record)-len(f.types)) == size && int64(r.Day) == day
}

// fields are those of a record that are still to be read: their types, and what they hold.
type fields struct {
	types, body string
	bad         bool
}

// next is the type of the next field and its bytes.
func (f *fields) next() (kind int64, held string) {
	kind, f.types = varint(f.types)
	n := kind
	switch {
	case kind >= 12:
		n = (kind - 12) / 2
	case kind == 5:
		n = 6
	case kind == 6:
		n = 8
	case kind > 6:
		n = 0
	}
	if n < 0 || n > int64(len(f.body)) {
		f.bad = true
		return kind, ""
	}
	held, f.body = f.body[:n], f.body[n:]
	return kind, held
}

// whole is a field that is a whole number.
func (f *fields) whole() int64 {
	kind, held := f.next()
	switch {
	case kind == 8, kind == 9:
		return kind - 8
	case kind < 1 || kind > 6 || f.bad:
		f.bad = true
		return 0
	}
	n := int64(int8(held[0]))
	for i := range len(held) - 1 {
		n = n<<8 | int64(held[i+1])
	}
	return n
}

// text is a field that is a line of text, or the same bytes kept as no text.
func (f *fields) text() string {
	kind, held := f.next()
	f.bad = f.bad || kind < 12 || strings.IndexByte(held, '\n') >= 0
	return held
}

// from is what stands at a place and after it; nothing beyond the end.
func from(p string, at int64) string {
	if at < 0 || at > int64(len(p)) {
		return ""
	}
	return p[at:]
}

// number is one of some bytes at a place; 0 beyond the end.
func number(p string, at, bytes int64) (n int64) {
	p = from(p, at)
	for i := range min(int(bytes), len(p)) {
		n = n<<8 | int64(p[i])
	}
	return n
}

// varint reads a number of one to nine bytes, and gives what follows it.
func varint(p string) (n int64, rest string) {
	if len(p) > 0 && p[0] < 0x80 {
		return int64(p[0]), p[1:] // as nearly all are
	}
	for i := range min(9, len(p)) {
		if i == 8 {
			return n<<8 | int64(p[i]), p[9:]
		}
		if n = n<<7 | int64(p[i]&0x7f); p[i] < 0x80 {
			return n, p[i+1:]
		}
	}
	return -1, ""
}
