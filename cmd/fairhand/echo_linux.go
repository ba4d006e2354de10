package main

import (
	"os"

	"golang.org/x/sys/unix"
)

// hiding has a terminal show what is typed, or only that a line ended.
func hiding(f *os.File) func(hide bool) error {
	fd := int(f.Fd())
	return func(hide bool) error {
		t, err := unix.IoctlGetTermios(fd, unix.TCGETS)
		if err != nil {
			return err
		}
		if t.Lflag |= unix.ECHO; hide {
			t.Lflag = t.Lflag&^unix.ECHO | unix.ECHONL
		}
		return unix.IoctlSetTermios(fd, unix.TCSETS, t)
	}
}
