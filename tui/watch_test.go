package tui

import (
	"os"
	"strings"
	"testing"

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
