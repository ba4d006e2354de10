package store

import (
	"errors"
	"fmt"
	"testing"
)

// replaceLast puts another entry in the place of the last one, sealed as an
// entry should be, as a program of somebody's own could.
func replaceLast(t *testing.T, path string, r Row) {
	t.Helper()
	r.Line += " altered"
	r.Hash = r.seal()
	forge(t, path, fmt.Sprintf("UPDATE entry SET line = '%s', hash = x'%s' WHERE seq = %d", r.Line, r.Hash, r.Seq))
}

// An entry is tied to the one the writer has seen. When that was replaced in the
// file, with its number and a right seal, nothing may be written behind it.
func TestNothingIsWrittenBehindAReplacedEntry(t *testing.T) {
	s := filled(t, 4)
	replaceLast(t, s.Path(), must(s.Range(4, 4))(t)[0])
	_, err := s.Append(draft(4))
	wantIs(t, err, ErrConflict, "entry 4", "nothing was recorded")
	_, err = s.AppendBatch(drafts(4, 2))
	wantIs(t, err, ErrConflict)
	if n := must(s.loadTail())(t).Seq; n != 4 {
		t.Errorf("the file ends at entry %d", n)
	}
}

// CatchUp takes only what follows from the entry last seen: the programs that
// use it build on what it gives.
func TestCatchUpRefuses(t *testing.T) {
	for _, c := range []struct {
		name   string
		forge  func(t *testing.T, path string, rows []Row)
		entry  int64
		detail string
	}{
		{"a new entry that is not what was sealed", func(t *testing.T, path string, _ []Row) {
			forge(t, path, "UPDATE entry SET line = line || ' altered' WHERE seq = 6")
		}, 6, "does not follow"},
		{"the last new entry not what was sealed", func(t *testing.T, path string, _ []Row) {
			forge(t, path, "UPDATE entry SET at = at + 60 WHERE seq = 7")
		}, 7, "does not follow"},
		{"a gap among the new", func(t *testing.T, path string, _ []Row) {
			forge(t, path, "DELETE FROM entry WHERE seq = 6")
		}, 6, "does not follow"},
		{"the entry last seen replaced", func(t *testing.T, path string, rows []Row) {
			forge(t, path, "DELETE FROM entry WHERE seq > 4")
			replaceLast(t, path, rows[3])
		}, 4, "gone or replaced"},
		{"the entry last seen replaced, others after it", func(t *testing.T, path string, rows []Row) {
			replaceLast(t, path, rows[3])
		}, 5, "does not follow"},
		{"entries seen are gone", func(t *testing.T, path string, _ []Row) {
			forge(t, path, "DELETE FROM entry WHERE seq > 2")
		}, 4, "gone or replaced"},
		{"all entries are gone", func(t *testing.T, path string, _ []Row) {
			forge(t, path, "DELETE FROM entry")
		}, 4, "gone or replaced"},
	} {
		t.Run(c.name, func(t *testing.T) {
			other := filled(t, 4)
			s := must(OpenReadOnly(other.Path()))(t)
			defer s.Close()
			must(other.AppendBatch(drafts(4, 3)))(t)
			rows := must(other.Range(1, 7))(t)
			seen := s.Tail()
			c.forge(t, s.Path(), rows)
			got, err := s.CatchUp()
			wantIs(t, err, ErrDamaged, s.Path(), c.detail)
			var d *DamagedError
			if !errors.As(err, &d) || d.Entry != c.entry || d.Kind != Changed {
				t.Errorf("got %v, want entry %d", err, c.entry)
			}
			if len(got) != 0 || s.Tail() != seen {
				t.Errorf("took %d entries as seen, up to %d", len(got), s.Tail().Seq)
			}
		})
	}
}
