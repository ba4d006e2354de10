package registertest

import "os"

// Depth is how much of a search is done: few, or all of it with FAIRHAND_DEPTH=full, as CI
// runs it.
func Depth[T any](few, all T) T {
	if os.Getenv("FAIRHAND_DEPTH") == "full" {
		return all
	}
	return few
}
