package store

import (
	"errors"
	"fmt"
	"path/filepath"
)

// LowSpace is how little room on the disk of a register is told: some 100,000
// entries, or years of a busy box, and room enough to make a copy elsewhere first.
const LowSpace = 32 << 20

// Space says whether the disk of the register has room to write on: nil, or
// ErrFull with what is left, while entries can still be written. Where the system
// does not say how much is left it is nil.
func (s *Store) Space() error {
	free, err := freeBytes(filepath.Dir(s.path))
	if errors.Is(err, errors.ErrUnsupported) {
		return nil
	}
	if err != nil {
		return &Error{Path: s.path, Doing: "look how much room the disk has", Cause: err, Advice: "see that the disk is there"}
	}
	return lowSpace(s.path, free)
}

// Network says by what network the folder of the register is reached; empty for a disk of
// this computer, and where the system does not say. The locks by which two programs that
// write at once know of each other are not kept by every network.
func (s *Store) Network() string { return networkOf(filepath.Dir(s.path)) }

func lowSpace(path string, free int64) error {
	if free >= LowSpace {
		return nil
	}
	return &Error{Kind: ErrFull, Path: path, Doing: fmt.Sprintf("only %d MB are free", free>>20), Advice: "make room, or make a backup to another disk now"}
}
