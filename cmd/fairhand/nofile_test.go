package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"fairhand/register"
	"fairhand/register/bounded"
	"fairhand/register/pins"
	"fairhand/register/seal"
)

// noFiles are what can lie under the name of a file and is none: pipes, which whoever
// opens them waits for, and devices without an end, where there are such.
var noFiles = map[string]func(path string) error{
	"directory": func(path string) error { return os.Mkdir(path, 0o700) },
}

// waited is as long as a command may take that reads what is no file.
const waited = time.Minute

// TestNoFile: whatever lies in the place of a file that the program reads, each command
// ends, and those that need it tell; nothing is written in its place, even by force.
func TestNoFile(t *testing.T) {
	pristine, _ := sealedDemo(t)
	saltgarth := neighbourOf(t, pristine)
	archive := filepath.Join(pristine, archiveDir)
	if err := os.MkdirAll(archive, 0o700); err != nil {
		t.Fatal(err)
	}
	places := []struct {
		name, told string // commands that need it and must tell
	}{
		{register.RegisterName, "verify day words"},
		{register.RegisterName + "-journal", "verify day"},
		{register.BoxFileName, "verify day handover audit now log json compare gather"},
		{seal.KeyName, "now"},
		{seal.KeyName + ".pub", "verify"},
		{"seal-167.txt", "verify"},
		{"seal-167.txt" + seal.SignatureEnding, "verify"},
		{"day.json", "filed"},
		{"weekday.csv", "handover json"},
		{"special-2026-05-05.csv", "handover json"},
		{register.NoticesName, "handover"},
		{pins.FileName, ""},
		{"half-typed.txt", ""},
		{archiveDir + "/archive-2020.db", "due"},
		{archiveDir + "/archive-2020.db" + holdEnding, ""},
		{"config.yaml", "config"},
	}
	tried := []deed{{"verify", "verify"}, {"day", "day 2026-05-05"}, {"handover", "handover"}, {"audit", "audit"}, {"now", "seal now"},
		{"json", "export --date 2026-05-05 --format json"}, {"compare", "compare BOX SALTGARTH"}, {"gather", "gather OUT BOX"}, {"words", "seal words"},
		{"filed", "verify --export BOX/day.json"}, {"due", "archive due"}, {"config", "config --config BOX/config.yaml"},
		{"force", "export --date 2026-05-05 --format csv --force -o BOX/PLACE"}, {"log", `log note_"x"`}}
	for _, place := range places {
		for kind, put := range noFiles {
			if testing.Short() && kind != "pipe" && len(noFiles) > 1 {
				continue
			}
			dir := copyBox(t, pristine)
			path := filepath.Join(dir, filepath.FromSlash(place.name))
			os.Remove(path)
			if err := put(path); err != nil {
				t.Fatal(err)
			}
			for _, d := range tried {
				needs := slices.Contains(strings.Fields(place.told), d.name)
				if !needs && !slices.Contains([]string{"verify", "log", "force"}, d.name) {
					continue
				}
				d.args = strings.ReplaceAll(d.args, "PLACE", place.name)
				got := ended(t, func() given { return d.try(t, dir, saltgarth) }, kind+" for "+place.name+", "+d.name)
				if needs && got.stderr == "" && !strings.Contains(got.out, bounded.ErrNoFile.Error()) {
					t.Errorf("%s for %s, then %s: not told; exit code %d\n%.300s", kind, place.name, d.name, got.code, got.out)
				}
			}
			if _, err := os.Lstat(path); err != nil {
				t.Errorf("%s for %s: written over", kind, place.name)
			}
		}
	}
}

// ended runs a command that may wait without end.
func ended(t *testing.T, run func() given, what string) (got given) {
	t.Helper()
	done := make(chan given, 1)
	go func() { done <- run() }()
	select {
	case got = <-done:
	case <-time.After(waited):
		t.Fatalf("%s: not through after %s", what, waited)
	}
	return got
}
