package export

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func fillWith(s string) func(io.Writer) error {
	return func(w io.Writer) error { _, err := io.WriteString(w, s); return err }
}

// holds fails unless the directory has just these files.
func holds(t *testing.T, dir string, want map[string]string) {
	t.Helper()
	list, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range list {
		got, _ := os.ReadFile(filepath.Join(dir, e.Name()))
		if w, ok := want[e.Name()]; !ok || string(got) != w {
			t.Errorf("%s holds %q", e.Name(), got)
		}
	}
	if len(list) != len(want) {
		t.Errorf("%d files, want %d", len(list), len(want))
	}
}

func TestCreate(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "day.txt")
	if err := Create(path, false, fillWith("one")); err != nil {
		t.Fatal(err)
	}
	holds(t, dir, map[string]string{"day.txt": "one"})
	if err := Create(path, false, fillWith("two")); !errors.Is(err, fs.ErrExist) {
		t.Errorf("an existing file: %v", err)
	}
	holds(t, dir, map[string]string{"day.txt": "one"})
	if err := Create(path, true, fillWith("three")); err != nil {
		t.Fatal(err)
	}
	broken := errors.New("broken")
	err := Create(path, true, func(w io.Writer) error { io.WriteString(w, "half"); return broken })
	if !errors.Is(err, broken) {
		t.Errorf("a failing export: %v", err)
	}
	holds(t, dir, map[string]string{"day.txt": "three"})
	if err := Create(dir, true, fillWith("x")); err == nil || !strings.Contains(err.Error(), "directory") {
		t.Errorf("a directory: %v", err)
	}
	if err := Create(filepath.Join(dir, "none", "day.txt"), false, fillWith("x")); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("a missing directory: %v", err)
	}
}

// A file that appears while the export is being made is not replaced.
func TestCreateDoesNotReplaceANewcomer(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "day.txt")
	err := Create(path, false, func(w io.Writer) error {
		io.WriteString(w, "export")
		return os.WriteFile(path, []byte("newcomer"), 0o644)
	})
	if !errors.Is(err, fs.ErrExist) {
		t.Errorf("error: %v", err)
	}
	holds(t, dir, map[string]string{"day.txt": "newcomer"})
}
