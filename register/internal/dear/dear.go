// Package dear is what is made dear to try: one PIN, one head whose words might be those told.
// It stands in a package of its own so that only those of register can reach it, and of them
// pins and seal alone read it: no option, file or surrounding of the program changes it, and
// tests that are not about it ask for less.
package dear

// What a PIN costs: the second set of parameters that RFC 9106 recommends.
var (
	Passes  uint32 = 3
	KiB     uint32 = 64 << 10
	Threads uint8  = 4
)

// Stretch is N of the scrypt that draws the words of a head.
var Stretch = 1 << 15

// Cheaply has either cost next to nothing, for tests.
func Cheaply() { Passes, KiB, Stretch = 1, 64, 2 }
