package store

import (
	"path/filepath"

	"golang.org/x/sys/windows"
)

func networkOf(dir string) string {
	abs, err := filepath.Abs(dir)
	if err != nil {
		return ""
	}
	root, err := windows.UTF16PtrFromString(filepath.VolumeName(abs) + `\`)
	if err != nil || windows.GetDriveType(root) != windows.DRIVE_REMOTE {
		return ""
	}
	return "a network drive"
}

func freeBytes(dir string) (int64, error) {
	name, err := windows.UTF16PtrFromString(dir)
	if err != nil {
		return 0, err
	}
	var free uint64
	if err := windows.GetDiskFreeSpaceEx(name, &free, nil, nil); err != nil {
		return 0, err
	}
	return int64(min(free, 1<<62)), nil
}
