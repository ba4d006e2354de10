package main

import (
	"os"

	"golang.org/x/sys/windows"
)

// hiding has a console show what is typed, or nothing of it.
func hiding(f *os.File) func(hide bool) error {
	console := windows.Handle(f.Fd())
	return func(hide bool) error {
		var mode uint32
		if err := windows.GetConsoleMode(console, &mode); err != nil {
			return err
		}
		if mode |= windows.ENABLE_ECHO_INPUT; hide {
			mode &^= windows.ENABLE_ECHO_INPUT
		}
		return windows.SetConsoleMode(console, mode)
	}
}
