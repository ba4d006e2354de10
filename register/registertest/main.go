package registertest

import (
	"os"
	"runtime/debug"
	"strings"

	"fairhand/register/internal/dear"
)

// Main runs the tests of a package that are not about what a disk keeps, with their
// temporary files in memory where there is a gigabyte to spare: a register waits for the
// disk at each entry, and a test makes one for each case. A program that
// a test starts, and may kill, has those of the test. Garbage is collected seldom: what a
// test keeps is little, and to collect it as a program does took a quarter of the time. PINs and
// the words of a head cost next to nothing to try: what they cost else is held by the tests of pins and seal.
func Main(m interface{ Run() int }) int {
	Program()
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(1000)
		debug.SetMemoryLimit(2 << 30) // from where on it is collected as often as that asks for
	}
	if !strings.HasPrefix(os.TempDir(), memory) && spareMemory() >= 1<<30 {
		if dir, err := os.MkdirTemp(memory, "fh"); err == nil {
			defer os.RemoveAll(dir)
			os.Setenv("TMPDIR", dir)
		}
	}
	return m.Run()
}

// Program prepares one that a test starts of itself as Main does.
func Program() { dear.Cheaply() }

const memory = "/dev/shm"
