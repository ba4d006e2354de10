package store

import (
	"os"
	"path/filepath"
	"runtime"
	"testing"
)

// What Replace puts under a name stands there whole and with the permissions asked for,
// whatever was there; where it cannot, what was there stays and nothing lies beside it.
func TestReplaceWhole(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "box.yaml")
	for _, text := range []string{"the first, which is longer", "the second", ""} {
		for _, mode := range []os.FileMode{0o600, 0o640} {
			if err := Replace(path, mode, []byte(text)); err != nil {
				t.Fatal(err)
			}
			info := must(os.Stat(path))(t)
			if got := string(must(os.ReadFile(path))(t)); got != text || runtime.GOOS != "windows" && info.Mode() != mode {
				t.Errorf("%q, %s, want %q, %s", got, info.Mode(), text, mode)
			}
		}
	}
	full := filepath.Join(dir, "folder", "full")
	if err := os.MkdirAll(full, 0o700); err != nil {
		t.Fatal(err)
	}
	if err := Replace(filepath.Dir(full), 0o600, []byte("x")); err == nil {
		t.Error("a folder was replaced")
	}
	if err := Replace(filepath.Join(dir, "no", "such"), 0o600, nil); err == nil {
		t.Error("put into a folder that is not there")
	}
	if names := must(os.ReadDir(dir))(t); len(names) != 2 {
		t.Errorf("left beside: %v", names)
	}
}
