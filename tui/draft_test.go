package tui

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestDraft(t *testing.T) {
	dir := t.TempDir()
	path, victim := filepath.Join(dir, draftName), filepath.Join(dir, "victim.txt")
	if err := keepDraft(path, "Coldbeck <3-1 tr"); err != nil {
		t.Fatal(err)
	}
	if got := takeDraft(path); got != "Coldbeck <3-1 tr" || takeDraft(path) != "" {
		t.Errorf("%q, and it must be gone then", got)
	}
	if err := os.WriteFile(victim, []byte("precious"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(victim, path); err != nil {
		t.Skip("no links here:", err)
	}
	if got := takeDraft(path); got != "" {
		t.Errorf("%q was read through a link", got)
	}
	if err := keepDraft(path, "half"); err != nil {
		t.Fatal(err)
	}
	if text, err := os.ReadFile(victim); err != nil || string(text) != "precious" {
		t.Errorf("the link's target is now %q, %v", text, err)
	}
	if err := keepDraft(filepath.Join(dir, "no such folder", "x"), "a line"); err == nil || !strings.Contains(err.Error(), "a line") {
		t.Error(err)
	}
}
