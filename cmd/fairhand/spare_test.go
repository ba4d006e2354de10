package main

import (
	"os"
	"path/filepath"
	"testing"
)

// TestForceSpares: nothing that cannot be had again is written over, under its
// name, through links, or where it lies elsewhere; what an export made is.
func TestForceSpares(t *testing.T) {
	dir, _ := sealedDemo(t)
	elsewhere := t.TempDir()
	copyOf := func(name, as string) string {
		data, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(elsewhere, as)
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	link := func(make func(old, new string) error, name, as string) string {
		path := filepath.Join(elsewhere, as)
		if err := make(filepath.Join(dir, name), path); err != nil {
			t.Fatal(err)
		}
		return path
	}
	spared := []string{
		link(os.Symlink, "register.db", "soft"), link(os.Link, "register.db", "hard"), link(os.Symlink, "seal_ed25519", "softkey"),
		link(os.Link, "seal_ed25519", "hardkey"), link(os.Link, "box.yaml", "hardbox"), link(os.Symlink, "seal-167.txt", "softseal"),
		copyOf("register.db", "copy.db"), copyOf("seal_ed25519", "key"), copyOf("seal-167.txt", "s"), copyOf("seal-167.txt.sig", "g"), copyOf("box.yaml", "box.yaml"),
	}
	for _, name := range []string{"register.db", "box.yaml", "seal_ed25519", "seal_ed25519.pub", "seal-167.txt", "seal-167.txt.sig"} {
		spared = append(spared, filepath.Join(dir, name))
	}
	for _, path := range spared {
		before, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		code, _, errs := fairhand(t, "-C", dir, "export", "--format", "csv", "--date", "2026-05-05", "-o", path, "--force")
		after, _ := os.ReadFile(path)
		if code != exitFailed || string(before) != string(after) {
			t.Errorf("%s: exit code %d\n%s", path, code, errs)
		}
	}
	page := filepath.Join(elsewhere, "day.csv")
	for range 2 {
		must(t, exitFine, "-C", dir, "export", "--format", "csv", "--date", "2026-05-05", "-o", page, "--force")
	}
}
