package tui

import (
	"context"
	"database/sql"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"fairhand/register"
	"fairhand/register/sheet"
	"fairhand/register/store"
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

// TestEndOfATurnMakesACopy: the signaller who signs off leaves a copy of the register in the
// second place, and nothing else that is written does.
func TestEndOfATurnMakesACopy(t *testing.T) {
	r := newRig(t, "box.yaml", 100, 30, Options{})
	place, made := t.TempDir(), make(chan string, 9)
	w := watch.Over(r.book)
	w.CopyTo(&watch.Copies{Dir: place, Page: func(path string, _ *register.Day) error { made <- path; return nil }})
	r.desk.clerk.watch = w
	ctx, stop := context.WithCancel(t.Context())
	done := watchBehind(ctx, w)
	defer func() { stop(); <-done }()
	r.press("e").press("duty on \"A. Fell\"", "Enter").press("e").press("note \"lamps lit\"", "Enter")
	select {
	case path := <-made:
		t.Error("a copy in the middle of a turn:", path)
	case <-time.After(50 * time.Millisecond):
	}
	r.press("e").press("duty off \"A. Fell\"", "Enter")
	select {
	case <-made:
	case <-time.After(time.Minute):
		t.Fatalf("no copy is made:\n%s", r.text())
	}
	copies, err := filepath.Glob(filepath.Join(place, "*.db"))
	if err != nil || len(copies) != 1 {
		t.Fatal(copies, err)
	}
	c, err := store.OpenReadOnly(copies[0])
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	if c.Tail() != r.book.Store().Tail() {
		t.Errorf("the copy ends with %v, the register with %v", c.Tail(), r.book.Store().Tail())
	}
}
