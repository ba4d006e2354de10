package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"fairhand/register"
	"fairhand/register/seal"
)

// TestHalfYearIsNoVolume: what ends within the year, under a seal of that day by the
// key of the box, does not pass for the volume of the year.
func TestHalfYearIsNoVolume(t *testing.T) {
	dir, _ := sealedDemo(t)
	stem := filepath.Join(dir, archiveDir, volumePrefix+"2026")
	if err := os.Mkdir(filepath.Dir(stem), 0o700); err != nil {
		t.Fatal(err)
	}
	must(t, exitFine, "-C", dir, "backup", stem+".db")
	for ending, from := range map[string]string{register.BoxEnding: register.BoxFileName, ".pub": seal.KeyName + ".pub"} {
		text, err := os.ReadFile(filepath.Join(dir, from))
		if err == nil {
			err = os.WriteFile(stem+ending, text, 0o600)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	text, err := os.ReadFile(filepath.Join(dir, "seal-167.txt"))
	if err != nil {
		t.Fatal(err)
	}
	s, err := seal.ParseStatement(string(text))
	if err != nil {
		t.Fatal(err)
	}
	key, err := seal.LoadKey(dir, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		at   time.Time
		want int
	}{
		{time.Date(2026, 12, 31, 23, 59, 59, 0, time.UTC), exitFailed},
		{time.Date(2027, 1, 1, 0, 0, 0, 0, time.UTC), exitFine},
	} {
		s.At = c.at
		said, err := s.Text()
		if err != nil {
			t.Fatal(err)
		}
		signed, err := key.Sign(s)
		if err != nil {
			t.Fatal(err)
		}
		for ending, text := range map[string]string{".txt": said, ".txt" + seal.SignatureEnding: signed} {
			if err := os.WriteFile(stem+ending, []byte(text), 0o600); err != nil {
				t.Fatal(err)
			}
		}
		code, _, errs := fairhand(t, "-C", dir, "archive", "check", stem+".db")
		if code != c.want || code == exitFailed && !strings.Contains(errs, "before 2026 was over") {
			t.Errorf("sealed %s: exit code %d, want %d\n%s", c.at, code, c.want, errs)
		}
	}
	for _, ending := range volumeEndings {
		if err := os.Rename(stem+ending, strings.Replace(stem, "2026", "2025", 1)+ending); err != nil {
			t.Fatal(err)
		}
	}
	code, _, errs := fairhand(t, "-C", dir, "archive", "check", strings.Replace(stem, "2026", "2025", 1)+".db")
	if code != exitFailed || !strings.Contains(errs, "the volume of 2026 under the name of 2025") {
		t.Errorf("named otherwise: exit code %d\n%s", code, errs)
	}
}

// TestNoVolumeGoesByADoubtfulClock: the book was last written long ago by the computer's
// clock, which may be wrong; a volume whose time is over by it stays.
func TestNoVolumeGoesByADoubtfulClock(t *testing.T) {
	dir := neighbourOf(t, func() string { dir, _ := sealedDemo(t); return dir }())
	must(t, exitFine, "-C", dir, "seal", "key")
	volume := filepath.Join(dir, archiveDir, volumePrefix+"2020.db")
	next := filepath.Join(t.TempDir(), "next.txt")
	if err := os.WriteFile(next, []byte("date 2020-05-06\n06:00 duty on \"M. Dunn\"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Remove(filepath.Join(dir, register.RegisterName)); err != nil {
		t.Fatal(err)
	}
	fairhand(t, "-C", dir, "import", "--transcription", "", "--create", next)
	must(t, exitFine, "-C", dir, "archive", "close", "2020")
	f := forge(t, dir) // a clock cannot be set here
	f.do("UPDATE entry SET recorded = recorded - 40 * 86400")
	f.rechain()
	f.done()
	code, _, errs := fairhand(t, "-C", dir, "archive", "due", "--keep", "2", "--remove")
	if _, err := os.Stat(volume); err != nil || code != exitFailed || !strings.Contains(errs, register.ErrClock.Error()) {
		t.Errorf("exit code %d, %v\n%s", code, err, errs)
	}
	must(t, exitFine, "-C", dir, "log", "clock right")
	must(t, exitFine, "-C", dir, "archive", "due", "--keep", "2", "--remove")
	if _, err := os.Stat(volume); err == nil {
		t.Error("the volume is there still")
	}
}

// TestNoSealByADoubtfulClock: a seal says when it was made, and a year is over by a clock:
// where that was asked about and not booked to be right, nothing is sealed and no year closed.
func TestNoSealByADoubtfulClock(t *testing.T) {
	for name, by := range map[string]string{"gone back": "+ 86400", "far on": "- 40 * 86400"} {
		dir := boxWith(t, "date 2020-05-05\n06:00 box open\n06:01 duty on \"A. Fell\"\n")
		f := forge(t, dir) // a clock cannot be set here
		f.do("UPDATE entry SET recorded = recorded " + by)
		f.rechain()
		f.done()
		for _, deed := range [][]string{{"seal", "now"}, {"archive", "close", "2020"}} {
			code, _, errs := fairhand(t, append([]string{"-C", dir}, deed...)...)
			if code != exitFailed || !strings.Contains(errs, register.ErrClock.Error()) {
				t.Errorf("the clock %s, %s: exit code %d\n%s", name, deed, code, errs)
			}
		}
		made, err := filepath.Glob(filepath.Join(dir, "*", "archive-*"))
		seals, err2 := filepath.Glob(filepath.Join(dir, "seal-*"))
		if len(made)+len(seals) > 0 || err != nil || err2 != nil {
			t.Errorf("the clock %s: %v %v %v %v", name, made, seals, err, err2)
		}
		must(t, exitFine, "-C", dir, "log", "clock right")
		must(t, exitFine, "-C", dir, "seal", "now")
		must(t, exitFine, "-C", dir, "archive", "close", "2020")
		must(t, exitFine, "-C", dir, "verify")
	}
}
