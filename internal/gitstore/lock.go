package gitstore

import (
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
	Alive  bool          // the kernel says that the holder runs right now
}

// Error says whose the lock seems and what to do about it.
func (e *LockedError) Error() string {
	if e.Alive {
		return fmt.Sprintf("%s is held by another boltback (%s), which has not come on for %s; wait for it, or end that process",
			e.Path, e.Holder, e.Age.Round(time.Second))
	}
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

// lock enters, mends what a crash left, and takes the given lock files.
func (r *Repo) lock(ctx context.Context, paths ...string) (*locks, error) {
	l, err := r.enter(ctx)
	if err != nil {
		return nil, err
	}
	if err := r.mend(); err != nil {
		return nil, errors.Join(err, l.release())
	}
	for _, path := range paths {
		err := r.makeFolder(filepath.Dir(path))
		if err == nil {
			err = l.take(ctx, path)
		}
		if err != nil {
			return nil, errors.Join(err, l.release())
		}
	}
	return l, nil
}

// commitLocks are the locks that git commit takes, in its order: on the index,
// on HEAD and on the branch.
func (r *Repo) commitLocks(ref string) []string {
	var paths []string
	if !r.Traits.Bare {
		paths = append(paths, r.indexPath()+".lock")
	}
	paths = append(paths, filepath.Join(r.gitDir, "HEAD.lock"))
	if ref != "HEAD" {
		paths = append(paths, r.refPath(ref)+".lock")
	}
	return paths
}

// makeFolder makes a folder inside the repository. It may not lead through a
// symlink, by which a repository could have us write elsewhere.
func (r *Repo) makeFolder(dir string) error {
	home := r.common
	if rel, err := filepath.Rel(home, dir); err != nil || !filepath.IsLocal(rel) {
		home = r.gitDir
	}
	for d := dir; d != home && d != filepath.Dir(d); d = filepath.Dir(d) {
		info, err := r.opt.Files.Lstat(d)
		if err == nil && !info.IsDir() {
			return &fs.PathError{Op: "mkdir", Path: d, Err: atomicfile.ErrNotRegular}
		}
	}
	return r.writer().MkdirAll(dir, 0o777)
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
		if err := w.pause(seen, func() error { return &LockedError{Path: path, Ours: true, Alive: true, Holder: holder, Age: w.stood()} }); err != nil {
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
