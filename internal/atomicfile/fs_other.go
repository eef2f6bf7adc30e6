//go:build !unix

package atomicfile

import (
	"errors"
	"io/fs"
	"os"
)

// markInUse does nothing: an open file cannot be removed on such a system.
func markInUse(*os.File) error { return nil }

// RemoveAbandoned implements FS. The system refuses while the file is open.
func (OS) RemoveAbandoned(name string) (bool, error) {
	err := os.Remove(name)
	if errors.Is(err, fs.ErrNotExist) || err != nil && !errors.Is(err, fs.ErrPermission) {
		return false, nil
	}
	return err == nil, err
}

// SyncDir implements FS. Folders cannot be synced on such a system.
func (OS) SyncDir(string) error { return nil }

// noLinks reports whether a file system refused a hard link as such.
func noLinks(err error) bool {
	return errors.Is(err, errors.ErrUnsupported) || errors.Is(err, fs.ErrPermission)
}
