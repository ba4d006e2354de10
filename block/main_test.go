package block_test

import (
	"os"
	"runtime/debug"
	"testing"
)

// TestMain has garbage collected seldom: what a search keeps is little beside what it
// throws away, and to collect it as a program does took a third of the time.
func TestMain(m *testing.M) {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(1000)
		debug.SetMemoryLimit(2 << 30) // from where on it is collected as often as that asks for
	}
	os.Exit(m.Run())
}
