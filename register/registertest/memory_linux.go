package registertest

import "syscall"

// spareMemory is how many bytes can be written to the memory that looks like a disk.
func spareMemory() uint64 {
	var s syscall.Statfs_t
	if syscall.Statfs(memory, &s) != nil {
		return 0
	}
	return s.Bavail * uint64(s.Bsize)
}
