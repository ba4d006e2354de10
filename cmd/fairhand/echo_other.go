//go:build !linux && !windows

package main

import (
	"errors"
	"os"
)

// hiding is not known here: that what is typed is shown is told.
func hiding(*os.File) func(hide bool) error {
	return func(bool) error { return errors.ErrUnsupported }
}
