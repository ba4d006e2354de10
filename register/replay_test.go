package register

import (
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/store"
)

// threeDays fills a book with the same hour on three days running.
func threeDays(t *testing.T) (*Book, *time.Time) {
	b, now := newBook(t, "2026-05-05 10:00")
	for day := 0; day < 3; day++ {
		start := *now
		logAll(t, b, now,
			`Saltgarth <1 >1 <3-1 >3-1 train 2A01`, `Saltgarth <2 >2`,
			`train 2A01 arrived at "Platform 1" complete`, `Saltgarth >1 <1 >2-1 <2-1`,
			`Coldbeck >1 <1 >3-1 <3-1 train 2A01`, `Coldbeck token 1 out`, `Coldbeck >2 <2`,
		)
		*now = now.Add(4 * time.Minute)
		logAll(t, b, now, `Coldbeck <1 >1 <2-1 >2-1`)
		*now = start.AddDate(0, 0, 1)
	}
	return b, now
}

func reopen(t *testing.T, b *Book, now *time.Time) *Book {
	t.Helper()
	dir := b.Dir
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	again, err := Open(dir, Options{Now: func() time.Time { return *now }})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { again.Close() })
	return again
}

func stateText(t *testing.T, s *block.State) string {
	t.Helper()
	text, err := json.MarshalIndent(s, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// TestOpeningComesToTheSameState: from snapshots as from the first entry.
func TestOpeningComesToTheSameState(t *testing.T) {
	b, now := threeDays(t)
	want := stateText(t, b.State())
	if _, ok := b.Store().LastSnapshot(b.program); !ok {
		t.Fatal("no snapshot was kept at the turn of a day")
	}
	again := reopen(t, b, now)
	if diff := cmp.Diff(want, stateText(t, again.State())); diff != "" {
		t.Errorf("opened from snapshots (-written +opened):\n%s", diff)
	}
	if len(again.Recent()) != 8 {
		t.Errorf("%d entries of the last day in memory, want 8", len(again.Recent()))
	}
	if err := again.Store().DropSnapshotsFrom(b.program, 0); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, stateText(t, reopen(t, again, now).State())); diff != "" {
		t.Errorf("replayed from the first entry:\n%s", diff)
	}
}

// inFog is the newest snapshot of a book, with fog, which nobody booked.
func inFog(t *testing.T, b *Book) store.Snapshot {
	t.Helper()
	n, ok := b.Store().LastSnapshot(b.program)
	if !ok {
		t.Fatal("no snapshot")
	}
	n.State = []byte(strings.Replace(string(n.State), `"Fog":false`, `"Fog":true`, 1))
	return n
}

// TestSnapshotThatDisagreesIsDropped: a snapshot whose checksum is right but
// whose state is not what the entries come to is never trusted.
func TestSnapshotThatDisagreesIsDropped(t *testing.T) {
	b, now := threeDays(t)
	want := stateText(t, b.State())
	n := inFog(t, b)
	if err := b.Store().PutSnapshot(n); err != nil {
		t.Fatal(err)
	}
	again := reopen(t, b, now)
	if diff := cmp.Diff(want, stateText(t, again.State())); diff != "" {
		t.Errorf("a false snapshot was believed:\n%s", diff)
	}
	left, ok := again.Store().LastSnapshot(b.program)
	if ok && left.Seq == n.Seq && strings.Contains(string(left.State), `"Fog":true`) {
		t.Errorf("the false snapshot of entry %d is still there", n.Seq)
	}
}

// TestClockGoneBackIsRefused: nothing is written by a clock that has gone back, with
// its time given either, until it is booked that the clock is right.
func TestClockGoneBackIsRefused(t *testing.T) {
	b, now := newBook(t, "2026-05-05 10:00")
	logAll(t, b, now, `note "one"`)
	*now = now.Add(-30 * time.Minute)
	if err := logLine(b, `note "two"`); !errors.Is(err, ErrClock) {
		t.Fatalf("got %v", err)
	}
	if len(b.Recent()) != 1 {
		t.Fatal("something was written")
	}
	if err := logLine(b, `09:20 note "two"`); !errors.Is(err, ErrClock) {
		t.Fatalf("with its time given: %v", err)
	}
	if err := logLine(b, `clock right`); err != nil {
		t.Fatal(err)
	}
	if err := logLine(b, `note "two"`); err != nil || len(b.Recent()) != 4 || !strings.HasPrefix(b.Recent()[1].Line, "09:31 clock set ") {
		t.Errorf("%v; %v", err, b.Recent())
	}
}

// TestTwoBooksOnOneRegister: the second to write is told, has caught up, and
// loses nothing.
func TestTwoBooksOnOneRegister(t *testing.T) {
	b, now := newBook(t, "2026-05-05 10:00")
	logAll(t, b, now, `note "one"`)
	other, err := Open(b.Dir, Options{Now: func() time.Time { return *now }})
	if err != nil {
		t.Fatal(err)
	}
	defer other.Close()
	logAll(t, b, now, `Saltgarth <1 >1 <3-1 >3-1 train 2A01`)
	err = logLine(other, `note "two"`)
	if !errors.Is(err, store.ErrConflict) {
		t.Fatalf("got %v", err)
	}
	if other.State().TrainNamed("2A01") == nil {
		t.Error("the second book has not caught up")
	}
	if err := logLine(other, `note "two"`); err != nil {
		t.Fatalf("after catching up: %v", err)
	}
}

// TestOlderCopiedOverTheRegister: while it is open, as a file manager does; no other
// program wrote entries then, and nothing may be written on top.
func TestOlderCopiedOverTheRegister(t *testing.T) {
	b, now := newBook(t, "2026-05-05 10:00")
	path := filepath.Join(b.Dir, RegisterName)
	older, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	logAll(t, b, now, `note "one"`)
	if err := os.WriteFile(path, older, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := logLine(b, `note "two"`); !errors.Is(err, store.ErrDamaged) || errors.Is(err, store.ErrConflict) || !strings.Contains(err.Error(), "(NOT recorded)") {
		t.Errorf("got %v", err)
	}
	if now, err := os.ReadFile(path); err != nil || !bytes.Equal(now, older) {
		t.Error("it was written into", err)
	}
}

// TestDayEndsKeepOneOfEveryRun: all of the last days, and before them the last
// of every store.SnapshotEvery entries, so that no old day is far from one.
func TestDayEndsKeepOneOfEveryRun(t *testing.T) {
	var d dayEnds
	const days, perDay = 1000, 288
	for i := int64(1); i <= days; i++ {
		d.add(dayEnd{seq: i * perDay})
	}
	if last := d[len(d)-1].seq; last != days*perDay {
		t.Errorf("the last day's end is %d", last)
	}
	if want := lastEnds + (days-lastEnds)*perDay/store.SnapshotEvery + 2; len(d) > want {
		t.Errorf("%d ends are kept, more than %d", len(d), want)
	}
	for i := 1; i < len(d); i++ {
		if gap := d[i].seq - d[i-1].seq; gap > store.SnapshotEvery+perDay {
			t.Errorf("%d entries between two ends kept", gap)
		}
	}
}

// TestMinuteAtTheDesk: entries of one minute written in an order that is not regular are
// read in the one that is as soon as the last of them is written, and so when the
// register is opened again; what was found stays on record.
func TestMinuteAtTheDesk(t *testing.T) {
	b, now := newBook(t, "2026-05-05 10:00")
	write := func(line string) {
		t.Helper()
		if err := logLine(b, line); err != nil {
			t.Fatal(err)
		}
	}
	write(`Coldbeck token 1 out`)
	if len(b.Recent()[0].Findings) == 0 {
		t.Error("a token drawn with no release: nothing is found")
	}
	write(`Coldbeck >1 <1 >3-1 <3-1 train 2A01`)
	*now = now.Add(time.Minute)
	write(`train 2A01 departed for Coldbeck`)
	same := func(b *Book) {
		for _, e := range b.Recent() {
			for _, f := range e.Findings {
				if f.Severity > rulebook.Advice {
					t.Errorf("entry %d: %s", f.Seq, f.Rule)
				}
			}
		}
		d, err := b.LoadDay(t.Context(), b.DayOf(b.Now()))
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range d.Answered {
			if f.Answered != 2 {
				t.Errorf("%s is answered by entry %d, want that below it", f.Rule, f.Answered)
			}
		}
		if len(d.Answered) == 0 {
			t.Error("nothing of it stays on record")
		}
	}
	same(b)
	want := stateText(t, b.State())
	again := reopen(t, b, now)
	if diff := cmp.Diff(want, stateText(t, again.State())); diff != "" {
		t.Errorf("opened again (-written +opened):\n%s", diff)
	}
	same(again)
}
