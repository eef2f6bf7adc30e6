package gitstore

import (
	"context"
	"errors"
	"io/fs"
	"strings"
	"unicode/utf8"

	"boltback/internal/atomicfile"
)

// Change is what one path is to hold after a commit.
type Change struct {
	// Path is slash-separated, from the top of the repository; see CheckPath.
	Path    string
	Content []byte
	// Delete removes the path; one that is not there stays away.
	Delete bool
	// Mode 0 keeps the mode of the file, 0644 for a new one. Otherwise only
	// the right to execute is taken from it, as Git does.
	Mode fs.FileMode
}

// Request asks for one commit on the branch that HEAD points to.
type Request struct {
	Changes   []Change
	Author    Person
	Committer Person // the author if zero
	Message   string
	// Signer returns the armored signature over the payload, which is the
	// commit without it. It is called again if the branch moves in between.
	// Nil makes an unsigned commit.
	Signer func(payload []byte) (armored string, err error)
	// Expect is the commit that the changes were made against; zero means the
	// commit that HEAD is at when Commit is called.
	Expect Hash
}

// Result tells what a commit did.
type Result struct {
	Commit    Hash // the commit that HEAD is at now
	Parent    Hash // zero if it is the first one
	Unchanged bool // every path held its content already: nothing was committed
}

// ConflictError names paths that somebody else has changed meanwhile.
type ConflictError struct {
	Paths  []string
	Reason string
}

// Error names the paths and says what is in their way.
func (e *ConflictError) Error() string {
	return strings.Join(e.Paths, ", ") + ": " + e.Reason
}

// ErrUnderWay is returned while Git is in the middle of a merge, a rebase or
// the like, which a commit would disturb.
var ErrUnderWay = errors.New("the repository is in the middle of something")

// Commit writes the given paths into the work tree and commits them, and
// nothing else: what the user has staged stays staged, and edits in other
// files stay as they are. All is durable when it returns.
//
// Everything is prepared before the locks are taken. If the branch has moved
// by then, the trees are built again on its new commit, unless one of the
// paths was changed there, which is a *ConflictError; so is a path whose file
// in the work tree holds something that is neither committed nor asked for.
// A lock that stands too long is a *LockedError. After an error the
// repository and the work tree are as they were. A commit that a crash cut
// short is carried to its end first.
func (r *Repo) Commit(ctx context.Context, req Request) (Result, error) {
	edits, err := r.accept(&req)
	if err != nil {
		return Result{}, err
	}
	if err := r.mendLeftovers(); err != nil {
		return Result{}, err
	}
	if err := r.CarryOn(ctx); err != nil {
		return Result{}, err
	}
	for {
		done, again, err := r.attempt(ctx, edits, req)
		if err != nil || !again {
			return done, err
		}
	}
}

// accept checks a request before anything is touched.
func (r *Repo) accept(req *Request) ([]edit, error) {
	if r.Traits.Foreign {
		return nil, ErrForeignOwner
	}
	if req.Committer == (Person{}) {
		req.Committer = req.Author
	}
	if err := errors.Join(req.Author.check("author"), req.Committer.check("committer")); err != nil {
		return nil, err
	}
	if strings.TrimSpace(req.Message) == "" || !utf8.ValidString(req.Message) || strings.ContainsRune(req.Message, 0) {
		return nil, errors.New("the commit message must be some text in UTF-8")
	}
	req.Message = strings.TrimRight(strings.TrimLeft(req.Message, "\n"), "\n") + "\n"
	return editsOf(req.Changes)
}

// attempt makes one commit. It is to be made again if HEAD was switched to
// another branch before the locks were taken.
func (r *Repo) attempt(ctx context.Context, edits []edit, req Request) (done Result, again bool, err error) {
	start, err := r.head()
	if err != nil {
		return Result{}, false, err
	}
	base := req.Expect
	if base.IsZero() {
		base = start.id
	}
	p, err := r.prepare(base, start.id, edits, req)
	if err != nil || p.unchanged() {
		return Result{Commit: start.id, Parent: p.parent, Unchanged: err == nil}, false, err
	}
	l, err := r.lock(ctx, r.commitLocks(start.ref)...)
	if err != nil {
		return Result{}, false, err
	}
	// A lock that cannot be removed is removed by the next run.
	defer func() { _ = l.release() }()
	now, err := r.head()
	if err != nil || now.ref != start.ref {
		return Result{}, err == nil, err
	}
	if now.id != start.id {
		p, err = r.prepare(base, now.id, edits, req)
		if err != nil || p.unchanged() {
			return Result{Commit: now.id, Parent: p.parent, Unchanged: err == nil}, false, err
		}
	}
	if err := ctx.Err(); err != nil {
		return Result{}, false, err
	}
	if err := r.note(begun{now.ref, p.parent, p.commit}); err != nil {
		return Result{}, false, err
	}
	if err := r.publish(now.ref, p, edits, req); err != nil {
		return Result{}, false, errors.Join(err, r.forgetNote())
	}
	_ = r.forgetNote() // one that stays says what is true by now, and goes with the next commit
	return Result{Commit: p.commit, Parent: p.parent}, false, nil
}

// prepare plans the commit on parent and stores its objects.
func (r *Repo) prepare(base, parent Hash, edits []edit, req Request) (plan, error) {
	if err := r.checkMoved(base, parent, edits); err != nil {
		return plan{}, err
	}
	p, err := r.planOn(parent, edits, req)
	if err != nil || p.unchanged() {
		return p, err
	}
	if err := (atomicfile.Writer{Files: r.opt.Files}).MkdirAll(r.own, 0o777); err != nil {
		return p, err
	}
	return p, r.objects.write(r.writer(), p.objects)
}

// checkMoved finds the paths that differ between the commit that the changes
// were made against and the one that they shall go on top of.
func (r *Repo) checkMoved(base, parent Hash, edits []edit) error {
	if base == parent {
		return nil
	}
	before, err := r.treeOf(base)
	if err != nil {
		return err
	}
	now, err := r.treeOf(parent)
	if err != nil {
		return err
	}
	var moved []string
	trees := newTrees(r)
	for _, e := range edits {
		old, err := trees.lookup(before, e.path)
		if err != nil {
			return err
		}
		cur, err := trees.lookup(now, e.path)
		if err != nil {
			return err
		}
		same := cur.id == e.blob.id && !e.delete || e.delete && !cur.exists()
		if old != cur && !same {
			moved = append(moved, e.path)
		}
	}
	if len(moved) > 0 {
		return &ConflictError{Paths: moved, Reason: "changed by another commit meanwhile; look at what it says and change it again"}
	}
	return nil
}
