// Package filelock lets programs know of each other by a file that one of them has locked.
// The lock goes with the program, however it ends; the file stays.
package filelock

import "os"

// Take locks the file at a path, which is made when it is not there, until release is
// called; busy where another program has it. The error is that of making or locking it.
func Take(path string) (release func(), busy bool, err error) {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return nil, false, err
	}
	if busy, err = lockFile(f); busy || err != nil {
		f.Close()
		return nil, busy, err
	}
	return func() { f.Close() }, false, nil
}
