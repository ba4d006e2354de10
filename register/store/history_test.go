package store

import (
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
