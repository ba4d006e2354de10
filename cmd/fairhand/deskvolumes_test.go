package main

import (
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"fairhand/register/store"
	"fairhand/register/watch"
)

// TestDeskLooksAtVolumes: what is wrong with a volume beside the register is an alarm at the
// desk once the proof behind it has ended, and nothing is where nothing is wrong.
func TestDeskLooksAtVolumes(t *testing.T) {
	t.Setenv("HOME", t.TempDir())
	pristine := besideBox(t)
	for _, c := range []struct {
		name string
		do   func(*forger)
		want string
	}{
		{"nothing", func(*forger) {}, ""},
		{"a volume altered, chain made anew", func(f *forger) { ofVolume(f, `UPDATE entry SET line = '06:00 note "x"' WHERE seq = 1`, true) }, "A VOLUME DOES NOT FIT"},
		{"one that is held taken away", gone(volume+".db", volume+".db.hold", volume+".txt", volume+".pub"), "HELD VOLUME GONE"},
	} {
		dir := copyBox(t, pristine)
		f := forge(t, dir)
		c.do(f)
		f.done()
		book, err := openDir(dir, false)
		if err != nil {
			t.Fatal(err)
		}
		over := deskOptions(book, options{Dir: dir}).Watch
		if err := over.Prove(t.Context()); err != nil {
			t.Error(err)
		}
		var stamps []string
		for _, a := range over.Look(time.Now()) {
			stamps = append(stamps, a.Stamp)
		}
		stamps = slices.DeleteFunc(stamps, func(s string) bool { return strings.Contains(s, "DISK") || strings.Contains(s, "NETWORK") })
		if got := strings.Join(stamps, ", "); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
		if err := book.Close(); err != nil {
			t.Error(err)
		}
	}
}

// TestProvedOnce: a volume is proved again only when its file is another.
func TestProvedOnce(t *testing.T) {
	t.Setenv("HOME", t.TempDir())
	dir := besideBox(t)
	path := filepath.Join(dir, volume+".db")
	var proofs watch.Proofs
	info, err := os.Stat(path)
	if err = errors.Join(err, proofs.Damage(path)); err != nil {
		t.Fatal(err)
	}
	f := forge(t, dir)
	ofVolume(f, `UPDATE entry SET writer = 'N. Body' WHERE seq = 2`, false)
	f.done()
	if now, err := os.Stat(path); err == nil && now.Size() == info.Size() {
		if err := errors.Join(os.Chtimes(path, info.ModTime(), info.ModTime()), proofs.Damage(path)); err != nil {
			t.Error("a file of the same length and time was read again:", err)
		}
	}
	later := info.ModTime().Add(time.Minute)
	if err := os.Chtimes(path, later, later); err != nil {
		t.Fatal(err)
	}
	for range 2 { // what is damaged is told each time
		if err := proofs.Damage(path); !errors.Is(err, store.ErrDamaged) {
			t.Error("a volume that was altered since is taken for whole:", err)
		}
	}
}
