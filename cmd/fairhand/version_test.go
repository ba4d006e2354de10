package main

import (
	"bytes"
	"os"
	"os/exec"
	"runtime/debug"
	"strings"
	"testing"

	sqlite "modernc.org/sqlite/lib"

	"fairhand/cmd/fairhand/version"
)

// TestVersionAtOnce: the command is answered before the heavy packages are initialised,
// in the words in which it is answered after them.
func TestVersionAtOnce(t *testing.T) {
	exe, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	trace := func(args ...string) (out string, packages int) {
		cmd := exec.Command(exe, args...)
		cmd.Env = append(os.Environ(), "GODEBUG=inittrace=1")
		var said, traced bytes.Buffer
		cmd.Stdout, cmd.Stderr = &said, &traced
		if err := cmd.Run(); err != nil {
			t.Fatalf("version: %v: %s", err, &traced)
		}
		for line := range strings.Lines(traced.String()) {
			if strings.HasPrefix(line, "init github.com/spf13/") || strings.HasPrefix(line, "init fairhand/block ") {
				packages++
			}
		}
		return said.String(), packages
	}
	code, after, errs := fairhand(t, "version")
	if code != exitFine || errs != "" || after != version.Text() {
		t.Errorf("by the command, code %d: %q %q, want %q", code, after, errs, version.Text())
	}
	if out, heavy := trace("version"); out != after || heavy != 0 {
		t.Errorf("at once %q after %d packages that it does not need; by the command %q", out, heavy, after)
	}
	if _, heavy := trace("-test.run", "^$"); heavy == 0 {
		t.Error("the trace shows none of the packages looked for")
	}
}

// TestVersionsAreTrue: what is written down or read by another way is what it stands for.
func TestVersionsAreTrue(t *testing.T) {
	if version.SQLite != sqlite.SQLITE_VERSION {
		t.Errorf("version.SQLite is %s, and the driver's is %s", version.SQLite, sqlite.SQLITE_VERSION)
	}
	info, ok := debug.ReadBuildInfo()
	if !ok || version.Program() != info.Main.Version {
		t.Errorf("version.Program is %q; the build has %q, %v", version.Program(), info.Main.Version, ok)
	}
}
