package registertest

import (
	"os"
	"testing"
)

// Main runs the tests of a package that are not about what a disk keeps, with their
// temporary files in memory where there is a gigabyte to spare: a register waits for the
// disk at each entry, and a test makes one for each case.
func Main(m *testing.M) int {
	if spareMemory() >= 1<<30 {
		if dir, err := os.MkdirTemp(memory, "fairhand"); err == nil {
			defer os.RemoveAll(dir)
			os.Setenv("TMPDIR", dir)
		}
	}
	return m.Run()
}

const memory = "/dev/shm"
