package main

import (
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"fairhand/register"
	"fairhand/register/notation"
)

// TestFilesOfASystem: where the modes of files protect nothing, the help says so first
// and in capitals, and so does verify; where they do, it says what they do not.
func TestFilesOfASystem(t *testing.T) {
	const not = "ON WINDOWS THE PROGRAM PROTECTS NO FILE"
	for system, first := range map[string]string{"windows": not, "linux": "owner only", "darwin": "owner only"} {
		_, files, _ := strings.Cut(proofReference(system), "Who may read and write the files:")
		line, _, _ := strings.Cut(strings.TrimSpace(files), "\n")
		if !strings.Contains(line, first) || !strings.Contains(files, not) || !strings.Contains(files, "icacls") || !strings.Contains(files, "--lock") {
			t.Errorf("on %s the first line on files is %q", system, line)
		}
	}
	dir := boxWith(t, "date 2026-05-05\n06:00 box open\n")
	for system, want := range map[string]bool{"windows": true, "linux": false} {
		if said := filesHere(system, dir); (said != "") != want {
			t.Errorf("verify on %s says %q", system, said)
		}
	}
	if runtime.GOOS == "windows" {
		return
	}
	for _, name := range []string{".", register.RegisterName} {
		path := filepath.Join(dir, name)
		for _, mode := range []fs.FileMode{0o722, 0o755} {
			want := mode == 0o722
			if err := os.Chmod(path, mode); err != nil {
				t.Fatal(err)
			}
			if out := must(t, exitFine, "-C", dir, "verify"); strings.Contains(strings.Join(strings.Fields(out), " "), "may write into "+path+":") != want {
				t.Errorf("%s with mode %o: %s", path, mode, out)
			}
		}
	}
}

// TestClockHelp: each line of the book that the help on the clock tells is one.
func TestClockHelp(t *testing.T) {
	for _, line := range []string{"clock right", `correct 170 "2026-05-06 10:00 note \"of another day\""`, "clock slow 2"} {
		if _, err := notation.ParseLine(time.UTC, 1_777_000_000, line); !strings.Contains(clockHelp, line) || err != nil {
			t.Errorf("%s: %v", line, err)
		}
	}
}
