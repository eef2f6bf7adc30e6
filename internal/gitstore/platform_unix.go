//go:build unix

package gitstore

import (
	"errors"
	"io/fs"
	"os"
	"syscall"
)

// errNotDir is what the system says about a path that leads through a file.
var errNotDir error = syscall.ENOTDIR

// foreign reports whether a file belongs to somebody else than the user of
// this process. Where that cannot be told, it does not.
func foreign(name string) bool {
	info, err := os.Stat(name)
	if err != nil {
		return false
	}
	st, ok := info.Sys().(*syscall.Stat_t)
	return ok && int(st.Uid) != os.Geteuid()
}

// sameDevice reports whether two folders lie on one file system.
func sameDevice(a, b string) bool {
	ai, errA := os.Stat(a)
	bi, errB := os.Stat(b)
	if errA != nil || errB != nil {
		return false
	}
	as, okA := ai.Sys().(*syscall.Stat_t)
	bs, okB := bi.Sys().(*syscall.Stat_t)
	return okA && okB && as.Dev == bs.Dev
}

// statOf returns the numbers that Git's index keeps about a file.
func statOf(info fs.FileInfo) fileStat {
	s := fileStat{size: uint32(info.Size())}
	s.mtime.set(info.ModTime().Unix(), int64(info.ModTime().Nanosecond()))
	s.ctime = s.mtime
	if st, ok := info.Sys().(*syscall.Stat_t); ok {
		sec, nsec := changeTime(st)
		s.ctime.set(sec, nsec)
		s.dev, s.ino = uint32(st.Dev), uint32(st.Ino)
		s.uid, s.gid = st.Uid, st.Gid
	}
	return s
}

// linksMissing reports whether a file system refused a hard link as such.
func linksMissing(err error) bool {
	for _, e := range []syscall.Errno{syscall.EPERM, syscall.EMLINK, syscall.ENOTSUP, syscall.EOPNOTSUPP, syscall.ENOSYS} {
		if errors.Is(err, e) {
			return true
		}
	}
	return false
}

// modesUntold says that the system does not keep the right to execute.
const modesUntold = false
