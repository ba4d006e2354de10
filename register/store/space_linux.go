package store

import "golang.org/x/sys/unix"

func kindOf(st *unix.Statfs_t) int64 { return int64(uint32(st.Type)) }

// networks are the kinds of file systems that lie on another computer (statfs(2)).
var networks = map[int64]string{
	unix.NFS_SUPER_MAGIC: "NFS", unix.SMB_SUPER_MAGIC: "SMB", unix.SMB2_SUPER_MAGIC: "SMB", unix.CIFS_SUPER_MAGIC: "SMB",
	unix.AFS_SUPER_MAGIC: "AFS", unix.CODA_SUPER_MAGIC: "Coda", unix.CEPH_SUPER_MAGIC: "Ceph", unix.V9FS_MAGIC: "9P",
}
