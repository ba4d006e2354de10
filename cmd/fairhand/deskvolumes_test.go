package main

import (
	"slices"
	"strings"
	"testing"
	"time"
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
