package gitstore

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/go-git/go-git/v5/plumbing"
	"github.com/gofrs/flock"
)

// begunName is the note of a commit that is being published. Its objects are
// stored by then, so that a run after a crash can carry it to its end.
const begunName = "begun"

// begun is what the note says: which branch goes from which commit to which.
type begun struct {
	ref            string
	parent, commit Hash
}

func (r *Repo) begunPath() string { return filepath.Join(r.own, begunName) }

// note writes down that a commit is about to be published.
func (r *Repo) note(b begun) error {
	text := fmt.Sprintf("%s\n%s\n%s\n", b.ref, b.parent, b.commit)
	_, err := r.writer().Replace(r.begunPath(), []byte(text), 0o666)
	return err
}

// forgetNote takes the note away: the commit is published, or taken back.
func (r *Repo) forgetNote() error {
	err := r.opt.Files.Remove(r.begunPath())
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	return err
}

// readNote returns the note, and false where there is none that can be used.
func (r *Repo) readNote() (begun, bool) {
	text, err := r.opt.Files.ReadFile(r.begunPath())
	lines := strings.Split(string(text), "\n")
	if err != nil || len(lines) != 4 || !strings.HasPrefix(lines[0], "refs/heads/") && lines[0] != "HEAD" {
		return begun{}, false
	}
	parent, err1 := ParseHash(lines[1])
	commit, err2 := ParseHash(lines[2])
	return begun{lines[0], parent, commit}, err1 == nil && err2 == nil
}

// CarryOn ends a commit that a crash cut short; every commit does so before it begins. If
// another process of ours is at work, it has seen to that.
func (r *Repo) CarryOn(ctx context.Context) error {
	if _, err := os.Lstat(r.begunPath()); err != nil {
		return nil // none is there, or none can be reached
	}
	if alone, err := r.alone(); err != nil || !alone {
		return err
	}
	b, ok := r.readNote()
	if !ok {
		return r.forgetNote()
	}
	l, err := r.lock(ctx, r.commitLocks(b.ref)...)
	if err != nil {
		return err
	}
	defer func() { _ = l.release() }()
	if b, ok = r.readNote(); !ok {
		return nil // another process was quicker
	}
	return r.complete(b)
}

// alone reports whether no other process of ours is at work right now.
func (r *Repo) alone() (bool, error) {
	f := flock.New(filepath.Join(r.own, "lock"), flock.SetPermissions(0o666))
	ok, err := f.TryLock()
	return ok, errors.Join(err, f.Close())
}

// complete publishes what the note names, with all locks held. Where somebody
// has gone on from the old state meanwhile, what they made of it stays, and
// only the note goes.
func (r *Repo) complete(b begun) error {
	now, err := r.head()
	if err != nil {
		return err
	}
	if now.ref != b.ref || now.id != b.parent {
		return r.forgetNote()
	}
	p, edits, req, err := r.replan(b)
	if err != nil {
		return errors.Join(err, r.forgetNote())
	}
	err = r.publish(b.ref, p, edits, req)
	var conflict *ConflictError
	var refused *BadPathError
	if err != nil && !errors.As(err, &conflict) && !errors.As(err, &refused) && !errors.Is(err, ErrUnderWay) {
		return err // the next run tries again
	}
	return r.forgetNote()
}

// replan finds from a stored commit what it was made of.
func (r *Repo) replan(b begun) (plan, []edit, Request, error) {
	c, err := r.ReadCommit(b.commit)
	if err != nil {
		return plan{}, nil, Request{}, err
	}
	before, err := r.treeOf(b.parent)
	if err != nil {
		return plan{}, nil, Request{}, err
	}
	differences, err := r.Changed(b.parent, b.commit)
	if err != nil {
		return plan{}, nil, Request{}, err
	}
	files, err := r.FS(b.commit)
	if err != nil {
		return plan{}, nil, Request{}, err
	}
	var edits []edit
	for _, d := range differences {
		e := edit{path: d.Path, delete: d.New.IsZero()}
		if !e.delete {
			data, err := files.ReadFile(d.Path)
			if err != nil {
				return plan{}, nil, Request{}, err
			}
			e.blob = newObject(plumbing.BlobObject, data)
		}
		edits = append(edits, e)
	}
	req := Request{Author: c.Author, Committer: c.Committer, Message: c.Message}
	return plan{parent: b.parent, tree: c.Tree, before: before, commit: b.commit}, edits, req, nil
}
