package filelock

import (
	"os"

	"golang.org/x/sys/windows"
)

// lockFile locks a file until it is closed; busy where another has it.
func lockFile(f *os.File) (busy bool, err error) {
	err = windows.LockFileEx(windows.Handle(f.Fd()), windows.LOCKFILE_EXCLUSIVE_LOCK|windows.LOCKFILE_FAIL_IMMEDIATELY, 0, 1, 0, new(windows.Overlapped))
	return err == windows.ERROR_LOCK_VIOLATION, err
}
