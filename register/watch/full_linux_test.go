package watch

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// small is a medium of some kilobytes.
func small(t *testing.T, dir, size string) {
	t.Helper()
	if err := syscall.Mount("none", dir, "tmpfs", 0, "size="+size); err != nil {
		t.Skipf("cannot mount here (needs root): %v", err)
	}
	t.Cleanup(func() { _ = syscall.Unmount(dir, syscall.MNT_DETACH) })
}

// TestDiskNearlyFull: how much room there is is an alarm of the desk before nothing more can
// be written.
func TestDiskNearlyFull(t *testing.T) {
	from, dir := box(t), t.TempDir()
	small(t, dir, "8m")
	if err := os.CopyFS(dir, os.DirFS(from)); err != nil {
		t.Fatal(err)
	}
	w, now := Over(open(t, dir)), time.Now()
	full := func(want bool) {
		t.Helper()
		if got := w.Look(now); (len(got) == 1 && got[0].Stamp == Full && strings.Contains(got[0].Text, "MB are free")) != want || len(got) > 1 {
			t.Error(got)
		}
	}
	full(true)
	if err := syscall.Mount("none", dir, "tmpfs", syscall.MS_REMOUNT, "size=64m"); err != nil {
		t.Skip(err)
	}
	full(true) // it is not asked each second
	now = now.Add(spaceEvery)
	full(false)
}

// TestStickIsFull: a copy that has no room is an alarm and a note, nothing of it is left
// behind, and an entry is written all the same.
func TestStickIsFull(t *testing.T) {
	b, stick := open(t, box(t)), t.TempDir()
	small(t, stick, "16k")
	w := Over(b)
	_, err := (&Copies{Dir: stick, Page: page}).Make(t.Context(), b.Reader, time.Now(), nil)
	w.copied(err)
	if got := w.Look(time.Now()); len(got) != 1 || got[0].Stamp != NoCopy || !strings.Contains(got[0].Text, "the disk is full") {
		t.Error(got)
	}
	if left, err := filepath.Glob(filepath.Join(stick, "*")); len(left) > 0 || err != nil {
		t.Error("left behind:", left, err)
	}
	events := w.Untold(b.Now())
	if len(events) != 1 || !strings.Contains(events[0].Text, "no copy of the register was made: ") {
		t.Fatal(events)
	}
	if _, err := b.Log(events[0]); err != nil {
		t.Error(err)
	}
}
