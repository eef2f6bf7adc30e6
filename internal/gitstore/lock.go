package gitstore

import (
	"bytes"
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"boltback/internal/atomicfile"

	"github.com/gofrs/flock"
)

// Git's locks are files that nobody else may create meanwhile; a crash leaves
// them behind, and nobody can tell whose they were. Ours can be told: each is
// a hard link to a file held-* in our own folder, whose text says which lock
// it is. While we hold that link the file system cannot give the same inode to
// another file. Whoever enters under the kernel's lock on our folder's "lock"
// file is the only living process of ours here, so that each held-* file found
// then was left by a crash. No other lock is ever removed.

const heldPrefix = "held-"

// lockMark is the first word of our locks' text.
const lockMark = "boltback "

// LockedError says that a lock stood in the way longer than we wait.
type LockedError struct {
	Path   string
	Ours   bool          // made by this program, here or on another machine
	Holder string        // process, machine and time, if the lock says so
	Age    time.Duration // since it was made
}

func (e *LockedError) Error() string {
	whose := "another program, most likely Git"
	if e.Ours {
		whose = "boltback (" + e.Holder + ")"
	}
	return fmt.Sprintf("%s is held by %s since %s; if no such program is running on this repository any more, remove that file and try again",
		e.Path, whose, e.Age.Round(time.Second))
}

// locks are what a commit holds while it changes the repository.
type locks struct {
	repo  *Repo
	enter *flock.Flock
	taken []takenLock
}

type takenLock struct{ path, held string }

// lock takes, in Git's order, the locks on the index, on HEAD and on the branch.
func (r *Repo) lock(ctx context.Context, ref string) (*locks, error) {
	l, err := r.enter(ctx)
	if err != nil {
		return nil, err
	}
	if err := r.mend(); err != nil {
		return nil, errors.Join(err, l.release())
	}
	paths := []string{filepath.Join(r.gitDir, "HEAD.lock")}
	if !r.Traits.Bare {
		paths = []string{r.indexPath() + ".lock", paths[0]}
	}
	if ref != "HEAD" {
		paths = append(paths, r.refPath(ref)+".lock")
		if err := r.writer().MkdirAll(filepath.Dir(r.refPath(ref)), 0o777); err != nil {
			return nil, errors.Join(err, l.release())
		}
	}
	for _, path := range paths {
		if err := l.take(ctx, path); err != nil {
			return nil, errors.Join(err, l.release())
		}
	}
	return l, nil
}

// writer writes beside nothing: temporary files lie in our own folder.
func (r *Repo) writer() atomicfile.Writer {
	return atomicfile.Writer{Files: r.opt.Files, Temp: r.own}
}

// enter waits for the kernel's lock among processes of this program. It is
// freed when a process ends, however it ends.
func (r *Repo) enter(ctx context.Context) (*locks, error) {
	if err := (atomicfile.Writer{Files: r.opt.Files}).MkdirAll(r.own, 0o777); err != nil {
		return nil, err
	}
	path := filepath.Join(r.own, "lock")
	f := flock.New(path, flock.SetPermissions(0o666))
	w := wait{repo: r, ctx: ctx}
	for {
		ok, err := f.TryLock()
		if err != nil {
			return nil, fmt.Errorf("lock %s: %w", path, err)
		}
		if ok {
			return &locks{repo: r, enter: f}, nil
		}
		seen, holder := r.holders()
		if err := w.pause(seen, func() error { return &LockedError{Path: path, Ours: true, Holder: holder, Age: w.stood()} }); err != nil {
			return nil, errors.Join(err, f.Close())
		}
	}
}

// holders names the held files, which change with each commit of ours, and
// says who made one of them.
func (r *Repo) holders() (names, holder string) {
	held, _ := filepath.Glob(filepath.Join(globEscape(r.own), heldPrefix+"*"))
	holder = "at work"
	if len(held) > 0 {
		if text, err := os.ReadFile(held[0]); err == nil {
			_, holder = lockText(text)
		}
	}
	return strings.Join(held, "\n"), holder
}

// take makes one of Git's lock files. It waits while the lock changes hands,
// and gives up when one and the same stands longer than our patience.
func (l *locks) take(ctx context.Context, path string) error {
	r := l.repo
	held := filepath.Join(r.own, heldPrefix+strings.ToLower(rand.Text()[:16]))
	text := r.newLockText(path)
	if err := r.create(held, text); err != nil {
		return err
	}
	l.taken = append(l.taken, takenLock{held: held})
	w := wait{repo: r, ctx: ctx}
	for {
		err := r.opt.Files.Link(held, path)
		if err != nil && !errors.Is(err, fs.ErrExist) && linksMissing(err) {
			err = r.create(path, text)
		}
		if err == nil {
			l.taken[len(l.taken)-1].path = path
			return nil
		}
		if !errors.Is(err, fs.ErrExist) {
			return err
		}
		if err := w.pause(identity(path), func() error { return r.lockedBy(path) }); err != nil {
			return err
		}
	}
}

func (r *Repo) create(path string, text []byte) error {
	f, err := r.opt.Files.Create(path, 0o666)
	if err != nil {
		return err
	}
	_, err = f.Write(text)
	if err = errors.Join(err, f.Close()); err != nil {
		err = errors.Join(err, r.opt.Files.Remove(path))
	}
	return err
}

// release gives all locks back, the last one first. A lock that cannot be
// removed keeps its held file, by which the next run recognises it.
func (l *locks) release() error {
	var errs []error
	for i := len(l.taken) - 1; i >= 0; i-- {
		t := l.taken[i]
		if t.path != "" {
			if err := l.repo.opt.Files.Remove(t.path); err != nil {
				errs = append(errs, err)
				continue
			}
		}
		errs = append(errs, l.repo.opt.Files.Remove(t.held))
	}
	return errors.Join(append(errs, l.enter.Close())...)
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
// there are no links, has the very text.
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
	return err == nil && len(text) > 0 && bytes.Equal(there, text)
}

func (r *Repo) newLockText(path string) []byte {
	host, err := os.Hostname()
	if err != nil {
		host = "an unnamed machine"
	}
	return fmt.Appendf(nil, "%s%s\nprocess %d on %s, %s, %s\n", lockMark, path, os.Getpid(), host,
		r.opt.Now().UTC().Format(time.RFC3339), rand.Text())
}

// lockText takes a lock's text apart: which lock it is, and who made it.
func lockText(text []byte) (path, holder string) {
	first, rest, _ := strings.Cut(string(text), "\n")
	path, ours := strings.CutPrefix(first, lockMark)
	if !ours {
		return "", ""
	}
	holder, _, _ = strings.Cut(strings.TrimSpace(rest), "\n")
	if i := strings.LastIndex(holder, ", "); i >= 0 {
		holder = holder[:i]
	}
	return path, holder
}

// lockedBy describes a lock that stands in the way.
func (r *Repo) lockedBy(path string) error {
	e := &LockedError{Path: path}
	if info, err := os.Lstat(path); err == nil {
		e.Age = r.opt.Now().Sub(info.ModTime())
	}
	if text, err := os.ReadFile(path); err == nil {
		_, e.Holder = lockText(text)
		e.Ours = e.Holder != ""
	}
	return e
}
