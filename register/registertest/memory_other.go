//go:build !linux

package registertest

func spareMemory() uint64 { return 0 }
