//go:build !windows

package main

import (
	"os"

	"golang.org/x/sys/unix"
)

func init() {
	noFiles["pipe"] = func(path string) error { return unix.Mkfifo(path, 0o600) }
	noFiles["link to a device"] = func(path string) error { return os.Symlink("/dev/zero", path) }
}
