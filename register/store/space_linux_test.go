package store

import (
	"testing"

	"golang.org/x/sys/unix"
)

// A network that the system names by a number that is negative as it keeps it is known too.
func TestNetworks(t *testing.T) {
	for magic, want := range map[uint32]string{0x6969: "NFS", 0xff534d42: "SMB", 0xfe534d42: "SMB", 0xef53: "", unix.TMPFS_MAGIC: ""} {
		st := unix.Statfs_t{}
		st.Type = int64(int32(magic))
		if got := networks[kindOf(&st)]; got != want {
			t.Errorf("%#x: %q, want %q", magic, got, want)
		}
	}
	if got := filled(t, 1).Network(); got != "" {
		t.Errorf("a folder of this computer is reached by %s", got)
	}
}
