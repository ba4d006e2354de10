package store

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// halfWritten gives a register and the journal beside it as a killed program leaves
// them: the file with pages of a transaction that never ended.
func halfWritten(t *testing.T, s *Store, spilt bool) (file, journal []byte) {
	t.Helper()
	db := raw(t, s.Path())
	if spilt {
		must(db.Exec("PRAGMA cache_size = 1"))(t)
	}
	tx := must(db.Begin())(t)
	defer tx.Rollback()
	for seq := s.Tail().Seq + 1; seq <= s.Tail().Seq+50; seq++ {
		must(tx.Exec("INSERT INTO entry VALUES(?, 1, 1, 20260501, '', ?, randomblob(32))", seq, strings.Repeat("half ", 400)))(t)
	}
	return must(os.ReadFile(s.Path()))(t), must(os.ReadFile(s.Path() + journalEnding))(t)
}

// TestForeignBeside: what the engine would read into a register from beside it is refused
// where it is of another file, or of this one as it was before or is no more, and nothing
// is touched. Rolled back by the mere look of verify it would destroy the register.
func TestForeignBeside(t *testing.T) {
	here, other := filled(t, 120), filled(t, 30)
	early, earlyJournal := halfWritten(t, here, true)
	_, begun := halfWritten(t, other, false) // by its first bytes the engine takes nothing from it
	_, theirs := halfWritten(t, other, true)
	for i := range 3 { // each a change of its own, as entries are
		must(here.AppendBatch(drafts(120+i, 1)))(t)
	}
	sound := must(os.ReadFile(here.Path()))(t)
	for name, beside := range map[string]struct {
		ending  string
		content []byte
	}{
		"journal of another": {journalEnding, theirs}, "one without a beginning": {journalEnding, begun},
		"journal of before": {journalEnding, earlyJournal}, "pages of another": {walEnding, []byte("anything")},
	} {
		path := filepath.Join(t.TempDir(), "register.db")
		must(0, os.WriteFile(path, sound, 0o600))(t)
		must(0, os.WriteFile(path+beside.ending, beside.content, 0o600))(t)
		for _, open := range []func(string) (*Store, error){OpenReadOnly, Open} {
			s, err := open(path)
			if err == nil {
				s.Close()
			}
			if name == "one without a beginning" {
				must(s, err)(t)
				continue
			}
			wantIs(t, err, ErrForeign, path+beside.ending, "nothing was touched")
		}
		if string(must(os.ReadFile(path))(t)) != string(sound) {
			t.Errorf("%s: the register was touched", name)
		}
		// put back from a copy, with the register gone and what lay beside it left
		must(0, os.Remove(path))(t)
		must(here.Replace(t.Context(), path, filepath.Join(filepath.Dir(path), "kept.db"), nil))(t)
		must(must(OpenReadOnly(path))(t).Verify(nil))(t)
	}
	path := filepath.Join(t.TempDir(), "register.db") // the one whose journal it is
	must(0, os.WriteFile(path, early, 0o600))(t)
	must(0, os.WriteFile(path+journalEnding, earlyJournal, 0o600))(t)
	s := must(OpenReadOnly(path))(t)
	defer s.Close()
	if r := must(s.Verify(nil))(t); r.Entries != 120 {
		t.Errorf("%+v", r)
	}
}
