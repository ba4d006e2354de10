package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// TestEarlierVersionsOpen: a register, a seal and exports of each version that was
// ever given out, kept as they were made, are read by this one. A version is a folder
// of testdata/versions; none is ever made anew.
func TestEarlierVersionsOpen(t *testing.T) {
	t.Setenv("HOME", t.TempDir())
	dirs, err := filepath.Glob("testdata/versions/*")
	if err != nil || len(dirs) == 0 {
		t.Fatal("no versions are kept", err)
	}
	for _, kept := range dirs {
		dir := filepath.Join(t.TempDir(), "box")
		if err := os.CopyFS(dir, os.DirFS(kept)); err != nil {
			t.Fatal(err)
		}
		seals, err := filepath.Glob(filepath.Join(dir, "seal-*.txt"))
		if err != nil || len(seals) == 0 {
			t.Fatal("no seal is kept", err)
		}
		must(t, exitFine, "-C", dir, "verify")
		must(t, exitFine, "-C", dir, "seal", "check", seals[0])
		for _, date := range []string{"2026-05-05", "2026-05-06"} {
			must(t, exitFine, "-C", dir, "day", date)
		}
		// Its entries agree; what is made of them may be told otherwise by other rules.
		code, _, errs := fairhand(t, "-C", dir, "verify", "--export", filepath.Join(dir, "day.json"))
		if code != exitFine && !strings.Contains(errs, "its entries are those of the register; what this program makes of them is another") {
			t.Errorf("%s: the export in JSON: %s", kept, errs)
		}
		anew := filepath.Join(t.TempDir(), "anew")
		if err := os.Mkdir(anew, 0o700); err != nil {
			t.Fatal(err)
		}
		text, err := os.ReadFile(filepath.Join(dir, "box.yaml"))
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(anew, "box.yaml"), text, 0o600); err != nil {
			t.Fatal(err)
		}
		if code, _, errs := fairhand(t, "-C", anew, "import", "--create", filepath.Join(dir, "day.notation")); code != exitFine && code != exitFindings {
			t.Errorf("%s: the export in notation: %s", kept, errs)
		}
		if code, _, errs := fairhand(t, "-C", dir, "log", "--clock-right", `note "written on by a later version"`); code != exitFine && code != exitFindings {
			t.Errorf("%s: it cannot be written on: %s", kept, errs)
		}
		must(t, exitFine, "-C", dir, "verify")
	}
	if !slices.ContainsFunc(dirs, func(kept string) bool { return filepath.Base(kept) == fmt.Sprint(fileVersionNow(t)) }) {
		t.Errorf("no register of the present version of the file is kept: %q", dirs)
	}
}

// fileVersionNow is the version of a register made now.
func fileVersionNow(t *testing.T) (n int) {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "now")
	must(t, exitFine, "demo", "--no-desk", dir)
	f := forge(t, dir)
	defer f.done()
	if err := f.db.QueryRow("PRAGMA user_version").Scan(&n); err != nil {
		t.Fatal(err)
	}
	return n
}
