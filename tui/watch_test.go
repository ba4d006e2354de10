package tui

import (
	"database/sql"
	"os"
	"strings"
	"testing"

	"fairhand/register/sheet"
	"fairhand/register/watch"
)

// TestDeskTellsItsFileIsGone: at the next tick and not at the next bell, for as long
// as it lasts, and no longer.
func TestDeskTellsItsFileIsGone(t *testing.T) {
	r := newRig(t, "box.yaml", 100, 30, Options{})
	r.desk.clerk.watch = watch.Over(r.book)
	path := r.book.Store().Path()
	if strings.Contains(r.at("10:01").text(), watch.Lost) {
		t.Fatal("told before anything happened")
	}
	if err := os.Rename(path, path+".away"); err != nil {
		t.Skip("an open file cannot be renamed here:", err)
	}
	if got := r.at("10:02").text(); !strings.Contains(got, watch.Lost) {
		t.Errorf("not told that the file is gone:\n%s", got)
	}
	if err := os.Rename(path+".away", path); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(r.at("10:03").text(), watch.Lost) {
		t.Error("still told when the file is back")
	}
}

// TestAlterationAtTheDesk: a past entry that is changed while the desk is open is an
// alarm that stands, and the next entry begins a continuation that says so.
func TestAlterationAtTheDesk(t *testing.T) {
	r := newRig(t, "box.yaml", 100, 30, Options{})
	r.log("09:00 duty on \"A. Fell\"", "09:01 note \"lamps lit\"", "09:02 note \"stove lit\"")
	w := watch.Over(r.book)
	r.desk.clerk.watch = w
	if err := w.Prove(t.Context()); err != nil {
		t.Fatal(err)
	}
	r.at("10:01")
	db, err := sql.Open("sqlite", r.book.Store().Path())
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	var trigger string
	if err := db.QueryRow("SELECT sql FROM sqlite_schema WHERE name = 'entry_no_update'").Scan(&trigger); err != nil {
		t.Fatal(err)
	}
	for _, q := range []string{"DROP TRIGGER entry_no_update", "UPDATE entry SET line = '09:01 note \"nothing\"' WHERE seq = 2", trigger} {
		if _, err := db.Exec(q); err != nil {
			t.Fatal(err)
		}
	}
	r.at("10:02")
	if !w.Doubted() {
		t.Fatal("not doubted")
	}
	if err := w.Prove(t.Context()); err != nil {
		t.Fatal(err)
	}
	r.at("10:03").want(sheet.Damaged).want("entry 2")
	r.press("e").press("note \"train 1A01 late\"", "Enter").want("Written as 5")
	got := r.lines()
	if n := len(got); !strings.Contains(got[n-2], "REGISTER DAMAGED at entry 2") || !strings.Contains(got[n-2], "continuation") {
		t.Errorf("%q", got[n-2:])
	}
	r.at("10:04").want(sheet.Damaged)
}
