package atomicfile

import (
	"errors"
	"io"
	"io/fs"
	"os"
)

// FS is what durable writing needs of a file system. OS is the real one;
// Intercept puts a decision in front of each operation.
type FS interface {
	// Create opens a new file for writing; fs.ErrExist if the name is taken.
	// Until it is closed the file counts as in use (see RemoveAbandoned).
	Create(name string, perm fs.FileMode) (File, error)
	// Append opens a file for writing at its end and creates it if need be.
	Append(name string, perm fs.FileMode) (File, error)
	Lstat(name string) (fs.FileInfo, error)
	ReadFile(name string) ([]byte, error)
	ReadDir(name string) ([]fs.DirEntry, error)
	Mkdir(name string, perm fs.FileMode) error
	Link(from, to string) error
	Rename(from, to string) error
	Remove(name string) error
	// RemoveAbandoned removes a file made by Create unless a process still has
	// it open, and reports whether it did.
	RemoveAbandoned(name string) (bool, error)
	// SyncDir makes the names in a folder durable.
	SyncDir(name string) error
}

// File is an open file that can be made durable.
type File interface {
	io.Writer
	Chmod(mode fs.FileMode) error
	Sync() error
	Stat() (fs.FileInfo, error)
	Truncate(size int64) error
	Close() error
}

// OS is the operating system's file system.
type OS struct{}

// Create implements FS. A sweeper may catch the file between its creation and
// its mark; the name is then gone, and the creation is repeated.
func (OS) Create(name string, perm fs.FileMode) (File, error) {
	for {
		f, err := os.OpenFile(name, os.O_CREATE|os.O_EXCL|os.O_WRONLY, perm)
		if err != nil {
			return nil, err
		}
		if err := markInUse(f); err != nil {
			return nil, errors.Join(err, f.Close(), os.Remove(name))
		}
		if isAt(f, name) {
			return f, nil
		}
		if err := f.Close(); err != nil {
			return nil, err
		}
	}
}

func isAt(f *os.File, name string) bool {
	open, err := f.Stat()
	if err != nil {
		return false
	}
	there, err := os.Lstat(name)
	return err == nil && os.SameFile(open, there)
}

// Append implements FS.
func (OS) Append(name string, perm fs.FileMode) (File, error) {
	f, err := os.OpenFile(name, os.O_CREATE|os.O_APPEND|os.O_WRONLY, perm)
	if err != nil {
		return nil, err
	}
	return f, nil
}

// Lstat implements FS.
func (OS) Lstat(name string) (fs.FileInfo, error) { return os.Lstat(name) }

// ReadFile implements FS.
func (OS) ReadFile(name string) ([]byte, error) { return os.ReadFile(name) }

// ReadDir implements FS.
func (OS) ReadDir(name string) ([]fs.DirEntry, error) { return os.ReadDir(name) }

// Mkdir implements FS.
func (OS) Mkdir(name string, perm fs.FileMode) error { return os.Mkdir(name, perm) }

// Link implements FS.
func (OS) Link(from, to string) error { return os.Link(from, to) }

// Rename implements FS.
func (OS) Rename(from, to string) error { return os.Rename(from, to) }

// Remove implements FS.
func (OS) Remove(name string) error { return os.Remove(name) }
