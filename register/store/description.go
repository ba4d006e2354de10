package store

import (
	"database/sql"
	"slices"
	"strings"
)

// Description is the box as it was described from an entry on.
type Description struct {
	Entry int64  // that brought it in; 0: the register began with it
	Text  string // word for word
}

const keepDescription = "INSERT INTO description(entry, text) VALUES(?, ?)"

// AppendDescription writes an entry that brings in a description of the box, and
// its text with it, or neither. It is Append otherwise. The text is proved by the
// entry alone, whose line is to hold its Digest.
func (s *Store) AppendDescription(d Draft, text string) (Row, error) {
	if err := s.mayAppend(d); err != nil {
		return Row{}, err
	}
	var row Row
	err := s.appendAll(pointers([]Draft{d}), []string{text}, func(r *Row) { row = *r })
	return row, err
}

// DescriptionLost is the damage of an entry that brings in a description of the box
// whose text is not kept, or is another.
func DescriptionLost(path string, entry int64) *DamagedError {
	return &DamagedError{Path: path, Entry: entry, Kind: Changed, Detail: "the description of the box that it brings in is not in the file as it was"}
}

// described says whether the text of an entry that brings in a description is among
// texts, and another entry has none. Such a line has, behind its time, the words and
// the digest.
func described(r *Row, texts []Description) bool {
	_, body, _ := strings.Cut(r.Line, " ")
	digest, brings := strings.CutPrefix(body, "box described ")
	digest, _, _ = strings.Cut(digest, " ")
	i := slices.IndexFunc(texts, func(d Description) bool { return d.Entry == r.Seq })
	return brings == (i >= 0) && (!brings || Digest(texts[i].Text) == digest)
}

// keep writes descriptions, and before the first of a file of version 1 what
// version 2 has more.
func keep(tx *sql.Tx, texts []Description) error {
	if len(texts) == 0 {
		return nil
	}
	var version int
	if err := tx.QueryRow("PRAGMA user_version").Scan(&version); err != nil {
		return err
	}
	if version < 2 {
		if err := makeObjects(tx, schema[len(schema)-sinceTwo:]); err != nil {
			return err
		}
		if _, err := tx.Exec("PRAGMA user_version = 2"); err != nil {
			return err
		}
	}
	for _, t := range texts {
		if _, err := tx.Exec(keepDescription, t.Entry, t.Text); err != nil {
			return err
		}
	}
	return nil
}

// firstDescription is the text kept for entry 0, "" for none.
func (s *Store) firstDescription() (string, error) {
	all, err := s.Descriptions(-1)
	if len(all) == 0 || all[0].Entry > 0 {
		return "", err
	}
	return all[0].Text, nil // what is wrong behind it, those who read that are told
}

// describedAt is the digest of the description in force at an entry, "" for none.
func (s *Store) describedAt(seq int64) (string, error) {
	if there, err := s.keepsDescriptions(); err != nil || !there {
		return "", err
	}
	var text sql.NullString
	err := s.ask("read the description of the box", "SELECT (SELECT text FROM description WHERE entry <= ? ORDER BY entry DESC LIMIT 1)", []any{seq}, &text)
	if err != nil || !text.Valid {
		return "", err
	}
	return Digest(text.String), nil
}

// keepsDescriptions says whether it is no file of version 1.
func (s *Store) keepsDescriptions() (bool, error) {
	n, err := s.number("look for descriptions of the box", "SELECT count(*) FROM sqlite_schema WHERE name = 'description'")
	return n > 0, err
}

// Descriptions gives those that were brought in by entries after a number, the
// oldest first. That of entry 0 is in the heading (Meta). Nothing is proved here.
func (s *Store) Descriptions(after int64) ([]Description, error) {
	if there, err := s.keepsDescriptions(); err != nil || !there {
		return nil, err
	}
	before := after
	out, err := collect(s, func(q *sql.Rows, d *Description) error {
		err := q.Scan(&d.Entry, &d.Text)
		if err == nil && d.Entry <= before { // in a file that was edited there may be two of one number
			err = DescriptionLost(s.path, d.Entry)
		}
		before = d.Entry
		return err
	}, "SELECT entry, text FROM description WHERE entry > ? ORDER BY entry", after)
	return out, failure(s.path, "read the descriptions of the box", err)
}
