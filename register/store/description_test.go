package store

import (
	"path/filepath"
	"strings"
	"testing"
)

// TestDescriptionsOfVersionOne: a file made before there were descriptions opens,
// is proved, and becomes one of version 2 with the first that is kept; a copy and
// what is salvaged have it too.
func TestDescriptionsOfVersionOne(t *testing.T) {
	made := filled(t, 3)
	path := made.Path()
	made.Close()
	db := raw(t, path)
	must(db.Exec("DROP TABLE description; PRAGMA user_version = 1"))(t) // its triggers go with it
	db.Close()

	s := must(Open(path))(t)
	t.Cleanup(func() { s.Close() })
	must(s.Verify(nil))(t)
	if d := must(s.Descriptions(-1))(t); len(d) != 0 {
		t.Errorf("kept: %v", d)
	}
	version := func() int64 { return must(s.number("read the version", "PRAGMA user_version"))(t) }
	draft := Draft{At: 1_777_000_200, Recorded: 1_777_000_200, Day: 20260424, Writer: "A. Fell", Line: "04:09 note \"x\""}
	if must(s.AppendBatch([]Draft{draft}))(t); version() != 1 { // an older program can read it still
		t.Errorf("version %d without a description", version())
	}
	draft.Line = "04:10 box described " + Digest("box: Ennerholme\n")
	if row := must(s.AppendDescription(draft, "box: Ennerholme\n"))(t); row.Seq != 5 || version() != 2 {
		t.Errorf("entry %d", row.Seq)
	}
	must(s.Verify(nil))(t)
	dst := filepath.Join(t.TempDir(), "copy.db")
	must(s.Backup(t.Context(), dst, nil))(t)
	saved := filepath.Join(t.TempDir(), "saved.db")
	must(Salvage(t.Context(), path, saved, "", func(*Row, bool) error { return nil }))(t)
	for _, path := range []string{path, dst, saved} {
		c := must(OpenReadOnly(path))(t)
		must(c.Verify(nil))(t)
		if d := must(c.Descriptions(-1))(t); len(d) != 1 || d[0] != (Description{5, "box: Ennerholme\n"}) {
			t.Errorf("%s: %v", path, d)
		}
		c.Close()
	}
}

// TestFirstDescriptionIsSealed: the description that a register began with is part of
// what its chain begins with, and is not changed behind its back.
func TestFirstDescriptionIsSealed(t *testing.T) {
	path := filepath.Join(t.TempDir(), "register.db")
	s := must(Create(path, Meta{Railway: "Thrackley Vale Railway", Box: "Ennerholme", Zone: "Europe/London", Created: 1, Description: "box: Ennerholme\n"}))(t)
	must(s.Append(Draft{At: 60, Recorded: 60, Day: 19700101, Line: "01:01 note \"x\""}))(t)
	s.Close()
	db := raw(t, path)
	if _, err := db.Exec("UPDATE description SET text = 'box: Coldbeck'"); err == nil {
		t.Error("a description can be changed")
	}
	if _, err := db.Exec("DELETE FROM description"); err == nil {
		t.Error("a description can be removed")
	}
	must(db.Exec("DROP TRIGGER description_no_update; UPDATE description SET text = 'box: Coldbeck'"))(t)
	for _, o := range schema {
		if o.name == "description_no_update" {
			must(db.Exec(o.sql))(t)
		}
	}
	db.Close()
	c := must(OpenReadOnly(path))(t)
	defer c.Close()
	_, err := c.Verify(nil)
	wantIs(t, err, ErrDamaged, "the first description of the box is not what the chain begins with")
}

// A description that is not the one its entry names, or is gone, is copied nowhere as
// proved, and what is salvaged ends before it.
func TestDescriptionLost(t *testing.T) {
	for _, forgery := range []string{
		"UPDATE description SET text = 'box: Coldbeck'", "DELETE FROM description",
	} {
		s := filled(t, 3)
		path := s.Path()
		text := "box: Ennerholme\n"
		row := must(s.AppendDescription(Draft{At: 1_777_000_200, Recorded: 1_777_000_200, Day: 20260424, Line: "04:10 box described " + Digest(text) + ` "late-after 10"`}, text))(t)
		must(s.Append(Draft{At: 1_777_000_260, Recorded: 1_777_000_260, Day: 20260424, Line: `04:11 note "x"`}))(t)
		db := raw(t, path)
		must(db.Exec("DROP TRIGGER description_no_update; DROP TRIGGER description_no_delete; " + forgery))(t)
		for _, o := range schema {
			if strings.HasPrefix(o.name, "description_no_") {
				must(db.Exec(o.sql))(t)
			}
		}
		db.Close()
		dst := filepath.Join(t.TempDir(), "copy.db")
		_, err := s.Backup(t.Context(), dst, nil)
		damageIs(t, err, path, row.Seq, Changed, "the description of the box that it brings in is not in the file as it was")
		s.Close()
		saved := filepath.Join(t.TempDir(), "saved.db")
		got := must(Salvage(t.Context(), path, saved, "", func(*Row, bool) error { return nil }))(t)
		if got.Proved.Seq != row.Seq-1 || len(got.Rest) != 2 || got.Rest[0].Proved || !got.Rest[1].Proved {
			t.Errorf("%s: salvaged %+v", forgery, got)
		}
	}
}
