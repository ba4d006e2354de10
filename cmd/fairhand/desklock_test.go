package main

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"

	"fairhand/register/filelock"
)

// A desk says that another is open on the same register, as long as that is open.
func TestSecondDeskKnowsOfTheFirst(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "demo")
	fairhand := func(args ...string) string {
		var out, errOut bytes.Buffer
		if code := run(t.Context(), args, strings.NewReader("q\ny\n"), &out, &errOut); code != 0 {
			t.Fatalf("%v: exit status %d\n%s", args, code, errOut.String())
		}
		return out.String()
	}
	fairhand("demo", "--no-desk", dir)
	told := func(want bool) {
		t.Helper()
		if got := fairhand("-C", dir, "talk"); strings.Contains(got, "Another desk is open") != want {
			t.Errorf("want it said: %v\n%s", want, got)
		}
	}
	told(false)
	release, busy, err := filelock.Take(filepath.Join(dir, deskLock))
	if err != nil || busy {
		t.Fatal(busy, err)
	}
	told(true)
	release()
	told(false)
}
