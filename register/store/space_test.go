package store

import (
	"errors"
	"io/fs"
	"path/filepath"
	"testing"
)

func TestSpace(t *testing.T) {
	s := filled(t, 1)
	free, err := freeBytes(t.TempDir())
	if errors.Is(err, errors.ErrUnsupported) {
		t.Skip("this system does not say")
	}
	if err != nil || free <= 0 {
		t.Fatal(free, err)
	}
	if err := s.Space(); (err == nil) != (free >= LowSpace) && free > 2*LowSpace {
		t.Error(err)
	}
	if err := lowSpace("register.db", LowSpace); err != nil {
		t.Error(err)
	}
	wantIs(t, lowSpace("register.db", LowSpace-1), ErrFull, "register.db: only 31 MB are free", "backup")
	s.path = filepath.Join(t.TempDir(), "no", "register.db")
	wantIs(t, s.Space(), fs.ErrNotExist, s.path+": look how much room")
	if _, err := freeBytes("no such folder"); err == nil {
		t.Error("a folder that is not there has room")
	}
}
