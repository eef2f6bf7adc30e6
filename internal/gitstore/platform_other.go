//go:build !unix

package gitstore

import (
	"errors"
	"io/fs"
	"path/filepath"
	"syscall"
)

// errNotDir is what the system says about a path that leads through a file.
var errNotDir error = syscall.ENOTDIR

// foreign cannot be told here from what the standard library offers.
func foreign(string) bool { return false }

// sameDevice compares drive letters and shares.
func sameDevice(a, b string) bool { return filepath.VolumeName(a) == filepath.VolumeName(b) }

// statOf returns the numbers that Git's index keeps about a file. Git for
// Windows, too, stores zero for those that the system does not have.
func statOf(info fs.FileInfo) fileStat {
	s := fileStat{size: uint32(info.Size())}
	s.mtime.set(info.ModTime().Unix(), int64(info.ModTime().Nanosecond()))
	s.ctime = s.mtime
	return s
}

// linksMissing reports whether a file system refused a hard link as such.
func linksMissing(err error) bool {
	return errors.Is(err, errors.ErrUnsupported) || errors.Is(err, fs.ErrPermission)
}

// modesUntold says that the system does not keep the right to execute.
const modesUntold = true
