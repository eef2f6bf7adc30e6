package gitstore

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"boltback/internal/atomicfile"

	"github.com/gofrs/flock"
)

// mendLeftovers cleans up after a crash, unless another process is at work,
// which will have done so.
func (r *Repo) mendLeftovers() error {
	entries, err := os.ReadDir(r.own)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	left := func(e fs.DirEntry) bool {
		return strings.HasPrefix(e.Name(), heldPrefix) || atomicfile.IsTemp(e.Name())
	}
	if !slices.ContainsFunc(entries, left) {
		return nil
	}
	return r.mendIfAlone()
}

// mend removes what a crash of ours left: locks that are provably ours, and
// temporary files. The caller holds our kernel lock.
func (r *Repo) mend() error {
	held, err := filepath.Glob(filepath.Join(globEscape(r.own), heldPrefix+"*"))
	if err != nil {
		return err
	}
	for _, h := range held {
		if err := r.mendLock(h); err != nil {
			return err
		}
	}
	_, err = r.writer().Sweep(r.own)
	return err
}

// mendIfAlone mends unless another process of ours is at work.
func (r *Repo) mendIfAlone() error {
	f := flock.New(filepath.Join(r.own, "lock"), flock.SetPermissions(0o666))
	ok, err := f.TryLock()
	if err != nil || !ok {
		return errors.Join(err, f.Close())
	}
	return errors.Join(r.mend(), f.Close())
}

func (r *Repo) mendLock(held string) error {
	text, err := r.opt.Files.ReadFile(held)
	if err != nil {
		return err
	}
	path, _ := lockText(text)
	if r.mayLock(path) && sameLock(held, path, text) {
		if err := r.opt.Files.Remove(path); err != nil {
			return err
		}
	}
	return r.opt.Files.Remove(held)
}

// mayLock reports whether a path is one that we could have locked.
func (r *Repo) mayLock(path string) bool {
	rel, err := filepath.Rel(r.common, path)
	return err == nil && filepath.IsLocal(rel) && strings.HasSuffix(path, ".lock")
}

// sameLock reports whether a lock is the file that we hold a link to or, where
// there are no links, has the very text, or as much of it as a crash let
// through. There a crash between the making of a lock and its first byte leaves
// an empty file, which could be anybody's and stays.
func sameLock(held, path string, text []byte) bool {
	a, errA := os.Lstat(held)
	b, errB := os.Lstat(path)
	if errA != nil || errB != nil || !b.Mode().IsRegular() {
		return false
	}
	if os.SameFile(a, b) {
		return true
	}
	there, err := os.ReadFile(path)
	return err == nil && len(there) > len(lockMark) && bytes.HasPrefix(text, there)
}
