//go:build unix

package cache

import (
	"io/fs"
	"os"
	"syscall"
)

// entryOf gives how a file looks on disk.
func entryOf(path string, info fs.FileInfo) entry {
	e := entry{path: path, size: info.Size(), modified: info.ModTime().UnixNano()}
	if st, ok := info.Sys().(*syscall.Stat_t); ok {
		e.changed, e.inode = changeTime(st), uint64(st.Ino)
	}
	return e
}

// own reports whether a file is the user's, and no other user may write to it.
func own(info fs.FileInfo) bool {
	st, ok := info.Sys().(*syscall.Stat_t)
	return ok && int(st.Uid) == os.Geteuid() && info.Mode().Perm()&0o022 == 0
}

// notThroughLinks is the flag that refuses to open what a link shows.
const notThroughLinks = syscall.O_NOFOLLOW
