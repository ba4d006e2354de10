package watch

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
	"time"

	"fairhand/register"
	"fairhand/register/sheet"
)

// TestAlteredUnderTheEngine: bytes of the file are changed by a program that is no database,
// and so leaves the count by which the engine knows that its pages in memory are old ones.
func TestAlteredUnderTheEngine(t *testing.T) {
	dir := box(t)
	b := open(t, dir)
	w, now := Over(b), time.Now()
	if err := w.Prove(t.Context()); err != nil {
		t.Fatal(err)
	}
	w.Look(now)
	rows, err := b.Store().Range(20, 20)
	if err != nil {
		t.Fatal(err)
	}
	path, line := filepath.Join(dir, register.RegisterName), []byte(rows[0].Line)
	content, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	other := bytes.ReplaceAll(content, line, append([]byte{line[0] ^ 1}, line[1:]...)) // where it was too
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil || bytes.Equal(other, content) {
		t.Fatal(err)
	}
	if _, err := f.Write(other); err != nil {
		t.Fatal(err)
	}
	f.Close()
	if w.Look(now); !w.Doubted() {
		t.Error("altered, and not doubted")
	}
	if err := w.Prove(t.Context()); err != nil {
		t.Fatal(err)
	}
	if got := w.Look(now); len(got) != 1 || got[0].Stamp != sheet.Damaged {
		t.Error(got)
	}
}
