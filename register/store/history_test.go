package store

import (
	"database/sql"
	"errors"
	"fmt"
	"path/filepath"
	"testing"
)

// TestCorrectionsAreFoundByTheirIndex: in order, from a number on, without a
// scan of the entries.
func TestCorrectionsAreFoundByTheirIndex(t *testing.T) {
	path := filepath.Join(t.TempDir(), "register.db")
	s, err := Create(path, Meta{Railway: "R", Box: "B", Zone: "UTC", Created: 1})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	var drafts []Draft
	for i := range 300 {
		line := fmt.Sprintf("10:00 note \"entry %d\"", i+1)
		if i%100 == 50 {
			line = fmt.Sprintf("10:00 correct %d \"10:00 note \\\"else\\\"\"", i)
		}
		switch i {
		case 170:
			line = `10:00 explain 1 "told"`
		case 171: // the caller reads the line: a note
			line = `10:00 note "to explain 1 is hard"`
		}
		drafts = append(drafts, Draft{At: 1000 + int64(i), Recorded: 1000 + int64(i), Day: 20260505, Line: line})
	}
	if _, err := s.AppendBatch(drafts); err != nil {
		t.Fatal(err)
	}
	rows, err := s.Corrections(60)
	if err != nil || len(rows) != 4 || rows[0].Seq != 151 || rows[1].Seq != 171 || rows[2].Seq != 172 || rows[3].Seq != 251 {
		t.Fatalf("got %v, %v", rows, err)
	}
	var detail string
	var a, b, c int
	plan := "EXPLAIN QUERY PLAN SELECT seq FROM entry WHERE (" + refersWhere + ") AND seq > 60 ORDER BY seq LIMIT 1000"
	if err := s.read.QueryRow(plan).Scan(&a, &b, &c, &detail); err != nil || detail != "SEARCH entry USING INDEX entry_refers (seq>?)" {
		t.Errorf("the plan is %q (%v)", detail, err)
	}
	if _, err := s.Verify(nil); err != nil {
		t.Errorf("verify: %v", err)
	}
}

// TestVerifyMissesNoLostCorrection: an index that has lost a correction is
// reported, since the book would be replayed without it.
func TestVerifyMissesNoLostCorrection(t *testing.T) {
	path := filepath.Join(t.TempDir(), "register.db")
	s, err := Create(path, Meta{Railway: "R", Box: "B", Zone: "UTC", Created: 1})
	if err != nil {
		t.Fatal(err)
	}
	for i, line := range []string{`10:00 note "a"`, `10:01 correct 1 "10:00 note \"b\""`} {
		if _, err := s.Append(Draft{At: int64(1000 + i), Recorded: int64(1000 + i), Day: 20260505, Line: line}); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	raw, err := sql.Open("sqlite", "file:"+path)
	if err != nil {
		t.Fatal(err)
	}
	// The index is emptied behind the engine's back: its definition is exchanged
	// for one that matches nothing, rebuilt, and put back.
	for _, q := range []string{
		"PRAGMA writable_schema=ON",
		"UPDATE sqlite_schema SET sql = replace(sql, 'correct', 'korrekt') WHERE name = 'entry_refers'",
		"PRAGMA schema_version = 77",
	} {
		if _, err := raw.Exec(q); err != nil {
			t.Fatal(err)
		}
	}
	raw.Close()
	raw, _ = sql.Open("sqlite", "file:"+path)
	for _, q := range []string{
		"REINDEX entry_refers",
		"PRAGMA writable_schema=ON",
		"UPDATE sqlite_schema SET sql = replace(sql, 'korrekt', 'correct') WHERE name = 'entry_refers'",
		"PRAGMA schema_version = 78",
	} {
		if _, err := raw.Exec(q); err != nil {
			t.Fatal(err)
		}
	}
	raw.Close()
	s, err = Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if _, err := s.Verify(nil); !errors.Is(err, ErrDamaged) {
		t.Errorf("verify says %v", err)
	}
}
