package store

import (
	"bytes"
	"encoding/binary"
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

// journalOf makes a journal of segments, each the numbers of the pages that it keeps. Of
// page 1 it keeps "first" at its beginning. Its form: sqlite.org/fileformat.html, section 3.
func journalOf(sector, size int, segments ...[]uint32) []byte {
	u32 := binary.BigEndian.AppendUint32
	var all []byte
	for i, kept := range segments {
		all = append(all, make([]byte, (sector-len(all)%sector)%sector)...)
		head := append([]byte(nil), journalMagic...)
		for _, n := range []uint32{uint32(len(kept)), 7, uint32(41 + i), uint32(sector), uint32(size)} { // 7 is the nonce
			head = u32(head, n)
		}
		all = append(all, append(head, make([]byte, sector-len(head))...)...)
		for _, page := range kept {
			content := make([]byte, size)
			if page == 1 {
				copy(content, "first")
			}
			all = u32(append(u32(all, page), content...), 9) // 9 is the checksum
		}
	}
	return all
}

// TestJournalBegins: how many pages a register had is that of the first segment of the
// journal, and its first page is found in whichever segment keeps it; what no engine
// writes is not followed.
func TestJournalBegins(t *testing.T) {
	for _, c := range []struct {
		name  string
		file  []byte
		pages uint32
		first bool
	}{
		{"its first record", journalOf(512, 1024, []uint32{1}), 41, true},
		{"after others", journalOf(512, 1024, []uint32{5, 3, 1}), 41, true},
		{"in a second segment", journalOf(512, 1024, []uint32{5, 3}, []uint32{8, 1}), 41, true},
		{"in a third, one of them empty", journalOf(4096, 512, []uint32{5}, nil, []uint32{1}), 41, true},
		{"a segment that ends on a sector", journalOf(32, 512, []uint32{2, 3, 4, 5}, []uint32{1}), 41, true},
		{"the least and the largest sizes", journalOf(32, 512, []uint32{2}, []uint32{1}), 41, true},
		{"the largest", journalOf(1<<16, 1<<16, []uint32{2}, []uint32{1}), 41, true},
		{"kept nowhere", journalOf(512, 1024, []uint32{5, 3}), 41, false},
		{"cut off in a record", journalOf(512, 1024, []uint32{5, 1})[:512+1032+50], 41, false},
		{"nothing yet", make([]byte, 512), 0, false},
		{"cut off in its heading", journalOf(512, 1024, []uint32{1})[:27], 0, false},
		{"a sector too small", journalOf(31, 512, []uint32{1}), 41, false},
		{"a sector too large", journalOf(1<<16+1, 512, []uint32{1}), 41, false},
		{"a page too small", journalOf(512, 511, []uint32{1}), 41, false},
		{"a page too large", journalOf(512, 1<<16+1, []uint32{1}), 41, false},
	} {
		pages, first := journalBegins(bytes.NewReader(c.file))
		if pages != c.pages || strings.HasPrefix(string(first), "first") != c.first {
			t.Errorf("%s: %d pages, the first begins %.8q", c.name, pages, first)
		}
	}
}
