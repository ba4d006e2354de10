//go:build linux || darwin || freebsd

package filelock

import (
	"os"

	"golang.org/x/sys/unix"
)

// lockFile locks a file until it is closed; busy where another has it.
func lockFile(f *os.File) (busy bool, err error) {
	err = unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB)
	return err == unix.EWOULDBLOCK, err
}
