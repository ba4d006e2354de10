//go:build darwin || freebsd

package store

import "golang.org/x/sys/unix"

func kindOf(st *unix.Statfs_t) string { return unix.ByteSliceToString(st.Fstypename[:]) }

// networks are the kinds of file systems that lie on another computer.
var networks = map[string]string{"nfs": "NFS", "smbfs": "SMB", "afpfs": "AFP", "webdav": "WebDAV"}
