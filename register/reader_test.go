package register

import (
	"fmt"
	"runtime/debug"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"fairhand/block"
)

// TestOldDayWhileCorrecting: a day long ago is read on one goroutine while the
// signaller corrects entries on another. The race detector looks on.
func TestOldDayWhileCorrecting(t *testing.T) {
	b, now := threeDays(t)
	old := b.Recent()[0].Day
	logAll(t, b, now, `note "today"`)
	done := make(chan error)
	go func() {
		var err error
		for i := 0; i < 20 && err == nil; i++ {
			if _, err = b.LoadDay(t.Context(), old); err == nil {
				_, _, err = b.ProvedBefore(t.Context(), 10)
			}
			if err == nil {
				_, err = b.RunningTimes(t.Context())
			}
			if err == nil {
				err = b.Search(t.Context(), "note", func(SearchPart) error { return nil })
			}
			if err == nil {
				_, err = b.Glance(old)
			}
		}
		done <- err
	}()
	for i := range 10 {
		logAll(t, b, now, fmt.Sprintf(`correct %d "Saltgarth <1 >1 <3-1 >3-1 train 2A0%d"`, 1+8*(i%3), i))
	}
	if err := <-done; err != nil {
		t.Error(err)
	}
}

// TestPreviewOverAChangeOfTheClocks: a correction is judged on the date of its
// entry, not on its own: 01:30 was no time of the day on which it is written.
func TestPreviewOverAChangeOfTheClocks(t *testing.T) {
	b, now := newBook(t, "2026-03-28 01:20")
	logAll(t, b, now, `note "a"`)
	*now = time.Date(2026, 3, 29, 6, 0, 0, 0, b.Location())
	events, err := b.Parse(`correct 1 "01:30 Saltgarth <2 >2"`)
	if err != nil {
		t.Fatal(err)
	}
	_, before := b.Preview(events[0])
	if _, err := b.Log(events[0]); err != nil {
		t.Fatal(err)
	}
	d, err := b.LoadDay(t.Context(), 20260328)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(d.Entries[0].Findings, before); diff != "" {
		t.Errorf("(-found when written +told before):\n%s", diff)
	}
}

// TestCheckOverAChangeOfTheClocks: a right book is not refused, and a wrong one is.
func TestCheckOverAChangeOfTheClocks(t *testing.T) {
	b, _ := newBook(t, "2026-03-28 01:20")
	check := func(book string) error {
		_, err := Check(t.Context(), b.Box(), b.Location(), strings.NewReader(book), func(block.Finding) error { return nil })
		return err
	}
	if err := check("date 2026-03-28\n01:20 note \"a\"\ndate 2026-03-29\n06:00 correct 1 \"01:30 note \\\"b\\\"\"\n"); err != nil {
		t.Errorf("01:30 of the day before: %v", err)
	}
	err := check("date 2026-03-29\n06:00 note \"a\"\ndate 2026-03-30\n06:00 correct 1 \"01:30 note \\\"b\\\"\"\n")
	if err == nil || !strings.HasPrefix(err.Error(), "line 4, column 1: the line that is to stand instead: the clocks never showed") {
		t.Errorf("01:30 of the day on which the clocks left it out: %v", err)
	}
}

// TestSnapshotsFollowWhatMadeThem: a snapshot of other rules, of another build or
// of another description of the box is not read; the book is replayed instead, and
// the new ones are believed from then on.
func TestSnapshotsFollowWhatMadeThem(t *testing.T) {
	b, now := threeDays(t)
	want := stateText(t, b.State())
	n := inFog(t, b) // as a program with other rules would have left it
	if err := b.Store().DropSnapshotsFrom("", 0); err != nil {
		t.Fatal(err)
	}
	for _, seq := range []int64{8, 16} {
		rows, err := b.Store().Range(seq, seq)
		if err != nil {
			t.Fatal(err)
		}
		n.Seq, n.Hash, n.Program = seq, rows[0].Hash, "fairhand of other rules"
		if err := b.Store().PutSnapshot(n); err != nil {
			t.Fatal(err)
		}
	}
	again := reopen(t, b, now)
	if stateText(t, again.State()) != want {
		t.Error("the state of other rules was believed")
	}
	if _, ok := again.Store().LastSnapshot(again.program); !ok {
		t.Error("no snapshot of these rules was kept")
	}
}

// TestProgramTag differs by the rules, by the build and by the box.
func TestProgramTag(t *testing.T) {
	b, _ := newBook(t, "2026-05-05 10:00")
	box := *b.Box()
	tag := programTag(&box)
	if tag != programTag(&box) {
		t.Error("the same program has two tags")
	}
	box.Booking++
	if tag == programTag(&box) {
		t.Error("another box has the same tag")
	}
	if text := block.Fingerprint(); !strings.Contains(text, "train-detained") || !strings.Contains(text, "accepted-section-occupied") || text != block.Fingerprint() {
		t.Error("the fingerprint of the rules lacks rows or rules, or changes")
	}
}

// A build that the tools have not named is told from others by its file: what one build kept is
// else believed, and called forged, by the next that judges otherwise.
func TestBuildsAreToldApart(t *testing.T) {
	settings := func(kv ...string) (out []debug.BuildSetting) {
		for i := 0; i < len(kv); i += 2 {
			out = append(out, debug.BuildSetting{Key: kv[i], Value: kv[i+1]})
		}
		return out
	}
	for _, c := range []struct {
		info debug.BuildInfo
		want bool
	}{
		{debug.BuildInfo{Main: debug.Module{Version: "v1.2.3", Sum: "h1:x"}}, true},
		{debug.BuildInfo{Main: debug.Module{Version: "(devel)"}}, false},
		{debug.BuildInfo{Settings: settings("vcs.revision", "a1", "vcs.modified", "false")}, true},
		{debug.BuildInfo{Settings: settings("vcs.revision", "a1", "vcs.modified", "true")}, false},
		{debug.BuildInfo{Settings: settings("-trimpath", "true")}, false},
	} {
		if got := named(&c.info); got != c.want {
			t.Errorf("%+v: %v", c.info, got)
		}
	}
	if executable() == "" {
		t.Error("this program has no file")
	}
}
