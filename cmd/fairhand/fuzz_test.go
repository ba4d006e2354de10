package main

import (
	"os"
	"path/filepath"
	"testing"
	"unicode"
)

// FuzzOptions: no configuration file breaks the program, and nothing raw of it is told.
func FuzzOptions(f *testing.F) {
	f.Add([]byte("color: never\nascii: true\n"))
	f.Add([]byte("dir: 2E10\n"))
	f.Add([]byte("colour: \x1b[2J\n"))
	f.Add([]byte("dir: \"a\\e]52;c;\"\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		path := filepath.Join(t.TempDir(), "config.yaml")
		if err := os.WriteFile(path, text, 0o600); err != nil {
			t.Fatal(err)
		}
		code, out, errs := fairhand(t, "--config", path, "config")
		if code != exitFine && errs == "" {
			t.Errorf("exit code %d, and nothing is said", code)
		}
		for _, c := range out + errs {
			if unicode.IsControl(c) && c != '\n' && c != '\t' {
				t.Fatalf("%q is told of %q", out+errs, text)
			}
		}
	})
}
