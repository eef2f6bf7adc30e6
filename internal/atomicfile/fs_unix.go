//go:build unix

package atomicfile

import (
	"errors"
	"io/fs"
	"os"
	"syscall"
)

// markInUse holds the kernel's advisory lock on an open file. It goes away
// with the process, however that ends.
func markInUse(f *os.File) error {
	err := ignoringEINTR(func() error { return syscall.Flock(int(f.Fd()), syscall.LOCK_EX) })
	if unsupported(err) {
		return nil
	}
	return err
}

// RemoveAbandoned implements FS.
func (OS) RemoveAbandoned(name string) (bool, error) {
	f, err := os.OpenFile(name, os.O_RDONLY|syscall.O_NOFOLLOW, 0)
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	if err != nil {
		return false, err
	}
	defer f.Close()
	err = ignoringEINTR(func() error { return syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB) })
	if errors.Is(err, syscall.EWOULDBLOCK) || unsupported(err) {
		return false, nil
	}
	if err != nil {
		return false, err
	}
	err = os.Remove(name)
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	return err == nil, err
}

// SyncDir implements FS. A file system that cannot sync folders has no more to give.
func (OS) SyncDir(name string) error {
	d, err := os.Open(name)
	if err != nil {
		return err
	}
	err = d.Sync()
	if unsupported(err) {
		err = nil
	}
	return errors.Join(err, d.Close())
}

// noLinks reports whether a file system refused a hard link as such.
func noLinks(err error) bool {
	return unsupported(err) || errors.Is(err, syscall.EPERM) || errors.Is(err, syscall.EMLINK)
}

func unsupported(err error) bool {
	return errors.Is(err, syscall.EINVAL) || errors.Is(err, syscall.ENOTSUP) ||
		errors.Is(err, syscall.EOPNOTSUPP) || errors.Is(err, syscall.ENOSYS)
}

func ignoringEINTR(f func() error) error {
	for {
		if err := f(); !errors.Is(err, syscall.EINTR) {
			return err
		}
	}
}
