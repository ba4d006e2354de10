package store

import (
	"cmp"
	"database/sql"
	"errors"
	"fmt"
	"iter"
)

const columns = "seq, at, recorded, day, writer, line, hash"

// guardedInsert writes an entry only if the last one is still the one seen
// (?8, its hash). One statement is one transaction and needs no reading first,
// which made it a third cheaper than the same check in a transaction.
const guardedInsert = `INSERT INTO entry(` + columns + `) SELECT ?1, ?2, ?3, ?4, ?5, ?6, ?7
WHERE (SELECT coalesce(max(seq), 0) FROM entry) = ?1 - 1
  AND (?1 = 1 OR (SELECT hash FROM entry WHERE seq = ?1 - 1) = ?8)`

const plainInsert = `INSERT INTO entry(` + columns + `) VALUES(?, ?, ?, ?, ?, ?, ?)`

// next seals a draft as the entry after t.
func next(t Tail, d Draft) Row {
	r := Row{Seq: t.Seq + 1, At: d.At, Recorded: d.Recorded, Day: d.Day, Writer: d.Writer, Line: d.Line, Prev: t.Hash}
	r.Hash = r.seal()
	return r
}

// Append writes one entry and returns it as kept. When the error is nil the
// entry is on disk. ErrConflict means that another program has written since
// this Store last looked: nothing was written, call CatchUp, decide again.
// Any other error says whether the entry was recorded.
func (s *Store) Append(d Draft) (Row, error) {
	if err := s.mayAppend(d); err != nil {
		return Row{}, err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	r := next(s.tail, d)
	err := s.follow(s.insert, &r)
	if err != nil && !errors.Is(err, ErrConflict) {
		err = s.notAppended(r, err)
	}
	if err != nil {
		return Row{}, err
	}
	s.tail = Tail{r.Seq, r.Hash}
	return r, nil
}

// AppendBatch writes all drafts, in their order, or none.
func (s *Store) AppendBatch(drafts []Draft) ([]Row, error) {
	if err := s.mayAppend(drafts...); err != nil || len(drafts) == 0 {
		return nil, err
	}
	rows := make([]Row, 0, len(drafts))
	// in a statement of its own: Go does not say whether a return reads rows before the call
	err := s.appendAll(pointers(drafts), nil, func(r *Row) { rows = append(rows, *r) })
	return rows, err
}

// AppendEach writes all drafts as they come, in their order, or none: an import. What
// is kept of them does not grow with their number. An error of the drafts, or of one of
// them, is returned and nothing was written.
func (s *Store) AppendEach(drafts iter.Seq2[*Draft, error]) error {
	if err := s.mayAppend(); err != nil {
		return err
	}
	return s.appendAll(drafts, nil, func(*Row) {})
}

// pointers gives the values of a list one after the other.
func pointers[T any](list []T) iter.Seq2[*T, error] {
	return func(yield func(*T, error) bool) {
		for i := range list {
			if !yield(&list[i], nil) {
				return
			}
		}
	}
}

// appendAll writes drafts, and the text of a description that the first brings in.
func (s *Store) appendAll(drafts iter.Seq2[*Draft, error], text []string, show func(*Row)) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	var texts []Description
	for _, t := range text {
		texts = append(texts, Description{s.tail.Seq + 1, t})
	}
	t, last := s.tail, Row{Seq: s.tail.Seq + 1} // the row on its way
	var fault error                             // of the drafts
	rows := func(yield func(*Row, error) bool) {
		n := 0
		for d, err := range drafts {
			n++
			if err == nil {
				if err = d.check(); err != nil {
					err = fmt.Errorf("%s: append, entry %d: %w", s.path, n, err)
				}
			}
			if err != nil {
				fault = err
				yield(nil, err)
				return
			}
			last = next(t, *d)
			t = Tail{last.Seq, last.Hash}
			if !yield(&last, nil) {
				return
			}
			show(&last)
		}
	}
	err := s.insertAll(rows, texts...)
	if fault != nil || errors.Is(err, ErrConflict) {
		return cmp.Or(fault, err)
	}
	if err != nil {
		return s.notAppended(last, err)
	}
	s.tail = t
	return nil
}

// insertAll writes sealed rows in one transaction, if the first still follows
// the last entry of the file, with the descriptions that they bring in.
func (s *Store) insertAll(rows iter.Seq2[*Row, error], texts ...Description) error {
	tx, err := s.write.BeginTx(background, nil)
	if err != nil {
		return err
	}
	defer tx.Rollback()
	if err := keep(tx, texts); err != nil {
		return err
	}
	plain, err := tx.Prepare(plainInsert)
	if err != nil {
		return err
	}
	defer plain.Close()
	first := true
	for r, err := range rows {
		switch {
		case err != nil:
		case first:
			err = s.follow(tx.Stmt(s.insert), r)
		default:
			_, err = plain.Exec(r.Seq, r.At, r.Recorded, r.Day, r.Writer, r.Line, r.Hash[:])
		}
		if err != nil {
			return err
		}
		first = false
	}
	return tx.Commit()
}

// follow writes a row by the guarded insert: only if it still follows the last entry.
func (s *Store) follow(guarded *sql.Stmt, r *Row) error {
	res, err := guarded.ExecContext(background, r.Seq, r.At, r.Recorded, r.Day, r.Writer, r.Line, r.Hash[:], r.Prev[:])
	if err != nil {
		return err
	}
	if n, err := res.RowsAffected(); err != nil || n != 1 {
		return s.conflict()
	}
	return nil
}

func (s *Store) mayAppend(drafts ...Draft) error {
	if s.write == nil {
		return &Error{Kind: ErrReadOnly, Path: s.path, Doing: "append: it was opened read-only", Advice: "open it for writing"}
	}
	for i, d := range drafts {
		if err := d.check(); err != nil {
			return fmt.Errorf("%s: append, entry %d of %d: %w", s.path, i+1, len(drafts), err)
		}
	}
	return nil
}

func (s *Store) conflict() error {
	return &Error{Kind: ErrConflict, Path: s.path, Doing: fmt.Sprintf("append after entry %d", s.tail.Seq),
		Advice: "nothing was recorded: read the new entries, then write this one again if it is still right"}
}

// notAppended looks into the file again to say whether the last row of a
// failed append is in it. An error can come after the commit took effect, for
// example from the last sync of the folder.
func (s *Store) notAppended(last Row, cause error) error {
	err := writeFailure(s.path, fmt.Sprintf("append entry %d", last.Seq), cause)
	var hash []byte
	look := s.read.QueryRow("SELECT hash"+inOrder+" WHERE seq = ?", last.Seq).Scan(&hash)
	switch {
	case errors.Is(look, sql.ErrNoRows), look == nil && string(hash) != string(last.Hash[:]):
		return fmt.Errorf("%w (NOT recorded)", err)
	case look == nil:
		return fmt.Errorf("%w (the entry is in the file, but it is not certain that it would survive a power cut: read the register again, do not write it twice)", err)
	}
	return fmt.Errorf("%w (it is not certain whether it was recorded: open the register again and look)", err)
}

// CatchUp reads what other programs have appended since this Store last
// looked, and takes it as seen. It returns ErrDamaged if the new entries do not
// follow from the one last seen.
func (s *Store) CatchUp() ([]Row, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	now, err := s.loadTail()
	if err != nil {
		return nil, failure(s.path, "catch up", err)
	}
	if now == s.tail {
		return nil, nil
	}
	rows, err := s.unproved(s.tail.Seq+1, now.Seq)
	if err != nil {
		return nil, err
	}
	t := s.tail
	for i := range rows {
		r := &rows[i]
		if r.Prev != t.Hash || !r.Intact() { // the seal holds its number
			return nil, &DamagedError{Path: s.path, Entry: t.Seq + 1, Kind: Changed, Detail: "it does not follow from the entry last seen"}
		}
		t = Tail{r.Seq, r.Hash}
	}
	if len(rows) == 0 { // the file has another end, and nothing after the one seen
		return nil, &DamagedError{Path: s.path, Entry: t.Seq, Kind: Changed, Detail: "entries seen before are gone or replaced"}
	}
	s.tail = t
	return rows, nil
}
