// Package pincost is what it costs to try one PIN. It stands in a package of its own so that
// only those of register can reach it, and of them pins alone reads it: no option, file or
// surrounding of the program changes it, and tests that are not about it ask for less.
package pincost

// The second set of parameters that RFC 9106 recommends.
var (
	Passes  uint32 = 3
	KiB     uint32 = 64 << 10
	Threads uint8  = 4
)

// Least has records made that cost next to nothing to try, for tests.
func Least() { Passes, KiB = 1, 64 }
