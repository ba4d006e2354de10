package watch

import (
	"context"
	"errors"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"fairhand/register"
	"fairhand/register/registertest"
	"fairhand/register/store"
)

// page is a carbon copy that only names its day.
func page(path string, d *register.Day) error {
	return os.WriteFile(path, []byte(d.Title()), 0o600)
}

// TestCopiesAreKeptByRule: a copy each day for ten weeks, each proved and with its
// page; of the old ones the last of each month stays, and nothing of other names goes.
func TestCopiesAreKeptByRule(t *testing.T) {
	b := open(t, box(t))
	c := Copies{Dir: t.TempDir(), Page: page}
	for _, name := range []string{"register-Other-20260101-100000.db", "notes.txt", "register-Ennerholme-x.db"} {
		if err := os.WriteFile(filepath.Join(c.Dir, name), nil, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	first := time.Date(2026, 5, 8, 22, 0, 0, 0, b.Location())
	removed := 0
	var last Copied
	for i := range 70 {
		var err error
		if last, err = c.Make(t.Context(), b.Reader, first.AddDate(0, 0, i), nil); err != nil {
			t.Fatal(err)
		}
		removed += last.Removed
	}
	files, err := filepath.Glob(filepath.Join(c.Dir, "*"))
	if err != nil {
		t.Fatal(err)
	}
	dbs := slices.DeleteFunc(slices.Clone(files), func(n string) bool { return !strings.HasSuffix(n, "-220000.db") })
	pages := slices.DeleteFunc(slices.Clone(files), func(n string) bool { return !strings.HasSuffix(n, ".pdf") })
	// The last day is 16 July: 15 days, and the last of May, of June, and of July so far
	// among those that are older.
	if len(dbs) != 18 || len(pages) != len(dbs) || removed != 70-18 || len(files) != 2*18+3 {
		t.Errorf("%d copies, %d pages, %d removed, %d files: %q", len(dbs), len(pages), removed, len(files), files)
	}
	s, err := store.OpenReadOnly(last.Path)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if r, err := s.Verify(nil); err != nil || r.Tail != b.Store().Tail() {
		t.Error(r, err)
	}
	if text, err := os.ReadFile(last.Page); err != nil || !strings.Contains(string(text), "8 May 2026") {
		t.Error(string(text), err)
	}
}

// TestTurnOverMidnightHasBothPages: the copy at ten has the page of the day so far; what is
// written from then to midnight lies beside the copy at six, and goes with it; also where
// the month ends between.
func TestTurnOverMidnightHasBothPages(t *testing.T) {
	now := time.Date(2026, 5, 31, 20, 0, 0, 0, time.UTC)
	dir := t.TempDir()
	b, err := register.Open(box(t), register.Options{Now: func() time.Time { return now }})
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	pages := map[string]int{} // entries on each page, by the end of its name
	c := Copies{Dir: dir, Page: func(path string, d *register.Day) error {
		pages[filepath.Base(path)[len("register-Ennerholme-"):]] = len(d.Entries)
		return os.WriteFile(path, nil, 0o600)
	}}
	if err := registertest.Log(b, "clock right"); err != nil { // weeks after the last entry
		t.Fatal(err)
	}
	for _, at := range []struct{ day, hour int }{{31, 22}, {31, 23}, {32, 6}, {32, 7}} {
		now = time.Date(2026, 5, at.day, at.hour, 0, 0, 0, b.Location())
		if err := registertest.Log(b, `note "on the hour"`); err != nil {
			t.Fatal(err)
		}
		if at.hour == 23 {
			continue
		}
		if _, err := c.Make(t.Context(), b.Reader, now, nil); err != nil {
			t.Fatal(err)
		}
	}
	want := map[string]int{"20260531-220000.pdf": 3, "20260601-060000-day-2026-05-31.pdf": 4, "20260601-060000.pdf": 1, "20260601-070000.pdf": 2}
	if !maps.Equal(pages, want) {
		t.Errorf("pages %v, want %v", pages, want)
	}
	if _, err := c.Make(t.Context(), b.Reader, now.AddDate(0, 0, 20), nil); err != nil {
		t.Fatal(err)
	}
	if left, err := filepath.Glob(filepath.Join(dir, "*-day-*")); err != nil || len(left) != 0 {
		t.Error("the page of the day before did not go with its copy:", left, err)
	}
}

// TestMissingStickIsAnAlarmAndANote: until a copy is made again; the desk writes on.
func TestMissingStickIsAnAlarmAndANote(t *testing.T) {
	b := open(t, box(t))
	place := filepath.Join(t.TempDir(), "stick")
	w := Over(b)
	try := func(wantStamp string) {
		t.Helper()
		c := &Copies{Dir: place, Page: page}
		_, err := c.Make(t.Context(), b.Reader, time.Now(), nil)
		w.copied(err)
		got := w.Look(time.Now())
		if wantStamp == "" && len(got) != 0 || wantStamp != "" && (len(got) != 1 || got[0].Stamp != wantStamp) {
			t.Fatal(got)
		}
	}
	w.CopyTo(&Copies{Dir: place})
	back := func(want bool) {
		t.Helper()
		if got := w.placeIsBack(); got != want {
			t.Errorf("the place is back: %v, want %v", got, want)
		}
	}
	back(false)
	try(NoCopy)
	back(false)
	events := w.Untold(b.Now())
	if len(events) != 1 || !strings.Contains(events[0].Text, "is the stick in?") || len(w.Untold(b.Now())) != 0 {
		t.Fatal(events)
	}
	if _, err := b.Log(events[0]); err != nil {
		t.Fatal("the note cannot be written:", err)
	}
	if err := os.WriteFile(place, nil, 0o600); err != nil { // not a folder
		t.Fatal(err)
	}
	try(NoCopy)
	back(false)
	if err := errors.Join(os.Remove(place), os.Mkdir(place, 0o700)); err != nil {
		t.Fatal(err)
	}
	back(true) // the next look asks for the copy
	try("")
	back(false)
	full := &os.PathError{Op: "write", Path: filepath.Join(place, "a long name.part"), Err: errors.New("no space left on device")}
	_, err := (&Copies{Dir: place, Page: func(string, *register.Day) error { return full }}).Make(t.Context(), b.Reader, time.Now().Add(time.Hour), nil)
	if alarm := Amiss(err); !errors.Is(err, full.Err) || alarm.Stamp != NoPage || !strings.HasPrefix(alarm.Text, "no space left on device, in the place for copies, "+place) {
		t.Error(err, alarm)
	}
}

// TestPlaceThatVanishes while a copy is made, as a network folder does: it is told, no
// copy is there under its name when it comes back, and the next is made.
func TestPlaceThatVanishes(t *testing.T) {
	b := open(t, box(t))
	place := filepath.Join(t.TempDir(), "place")
	if err := os.Mkdir(place, 0o700); err != nil {
		t.Fatal(err)
	}
	c, now := &Copies{Dir: place, Page: page}, time.Date(2026, 5, 8, 22, 0, 0, 0, b.Location())
	var held error
	_, err := c.Make(t.Context(), b.Reader, now, func(int64, int64) { held = os.Rename(place, place+" elsewhere") })
	if held != nil {
		t.Skip("a folder in which a file is open is not taken away here: ", held)
	}
	if err == nil || !strings.Contains(err.Error(), place) {
		t.Error(err)
	}
	if compared := c.Compare(t.Context(), b.Store(), true); !errors.Is(compared.Missing, os.ErrNotExist) {
		t.Errorf("%+v", compared)
	}
	if err := os.Rename(place+" elsewhere", place); err != nil {
		t.Fatal(err)
	}
	if list, err := filepath.Glob(filepath.Join(place, "*.db")); len(list) != 0 {
		t.Error(list, err)
	}
	if _, err := c.Make(t.Context(), b.Reader, now, nil); err != nil {
		t.Error(err)
	}
	if compared := c.Compare(t.Context(), b.Store(), true); compared.Fit != 1 || compared.Missing != nil || compared.Alarms != nil {
		t.Errorf("%+v", compared)
	}
}

// TestRunCopiesWhenAsked: at the end of a turn, behind the desk; and it ends with it.
func TestRunCopiesWhenAsked(t *testing.T) {
	b := open(t, box(t))
	made := make(chan string, 1)
	w := Over(b)
	w.CopyTo(&Copies{Dir: t.TempDir(), Page: func(path string, _ *register.Day) error { made <- path; return nil }})
	ctx, stop := context.WithCancel(t.Context())
	done := make(chan struct{})
	go func() { defer close(done); w.Run(ctx) }()
	w.Copy()
	<-made
	if err := registertest.Log(b, `note "meanwhile"`); err != nil {
		t.Fatal(err)
	}
	stop()
	<-done
}

// TestCopiesAreKnownByTheirNames: whatever the box is called, in whatever case a folder
// gives them back; no other file is.
func TestCopiesAreKnownByTheirNames(t *testing.T) {
	want := time.Date(2026, 5, 8, 22, 0, 1, 0, time.UTC)
	for _, box := range []string{"Ennerholme", "25", "Gate 33", "No. 7 / PM", "Mon Repos", "Jan 2006 -07"} {
		name := prefixOf(box) + want.Format(copyName)
		for _, is := range []string{name, strings.ToUpper(name)} {
			if at, ok := copiedAt(is, prefixOf(box), time.UTC); !ok || !at.Equal(want) {
				t.Errorf("%s: %v %v", is, at, ok)
			}
		}
		for _, no := range []string{"", name[1:], name + ".part", prefixOf(box), prefixOf(box) + "x.db", prefixOf("Other") + want.Format(copyName)} {
			if _, ok := copiedAt(no, prefixOf(box), time.UTC); ok {
				t.Errorf("%s is taken for a copy of %s", no, box)
			}
		}
	}
}

// TestDamageIsNoFaultOfThePlace: where a copy fails as the register is damaged the error says
// so, also where it begins with what the engine said.
func TestDamageIsNoFaultOfThePlace(t *testing.T) {
	c := Copies{Dir: t.TempDir()}
	err := c.causeFirst(&store.DamagedError{Entry: 3, Kind: store.Unreadable, Cause: errors.New("malformed")})
	if !errors.Is(err, store.ErrDamaged) || !strings.HasPrefix(err.Error(), "malformed, in the place") {
		t.Error(err)
	}
}
