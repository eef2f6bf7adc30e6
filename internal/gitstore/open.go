// Package gitstore keeps a ledger in a Git repository: it reads a revision as
// an fs.FS, walks a history, tells what differs, and commits given paths.
//
// Stock Git and this package work on one repository at the same time. Its formats
// are read with pieces of go-git; where things lie, how far a chain of differences
// is followed, locks, index, references, reflogs and the writing of objects are
// done here, because a library that ignores Git's locks loses commits, and one
// that believes a pack can be led round in circles. What is on disk after a crash at any moment is the old state or the
// new one, and the next Commit removes what the crash left behind.
//
// Nothing that a repository configures is ever run: no hooks, no filters, no
// helpers. A commit made here therefore does not run the hooks that git commit
// would, and names come from the caller, never from a repository's
// configuration.
package gitstore

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"sync"
	"time"

	"boltback/internal/atomicfile"
)

// ErrNotRepository is returned by Open for a folder that holds no repository.
var ErrNotRepository = errors.New("not a Git repository")

// ErrForeignOwner is returned by Commit when the repository belongs to another
// user: what it holds may be read, not changed.
var ErrForeignOwner = errors.New("the repository belongs to another user; change its owner or clone it to write to it")

// RefusedError says why a repository, sound as it may be for Git, is not one
// that this package reads, and what can be done about it.
type RefusedError struct {
	Dir    string
	Reason string
	Remedy string
}

// Error gives the reason and the remedy.
func (e *RefusedError) Error() string {
	return fmt.Sprintf("cannot use the repository %s: %s; %s", e.Dir, e.Reason, e.Remedy)
}

// Options are what a Repo takes from outside; the zero value is the real thing.
type Options struct {
	// Files is what everything is written through; nil is the operating system.
	Files atomicfile.FS
	// Now is the clock for lock ages; nil is time.Now.
	Now func() time.Time
	// Sleep waits between attempts at a lock, and gives up when the context does.
	Sleep func(context.Context, time.Duration) error
	// Patience is how long one and the same lock may stand in the way; 0 is ten seconds.
	Patience time.Duration
	// Memo is a file outside the repository in which HistoryOf keeps what its
	// walks met; "" keeps nothing.
	Memo string
}

// Traits are facts about a repository that a reader of its history should know.
type Traits struct {
	Bare     bool // it has no work tree
	Linked   bool // it is a further work tree of a repository that lies elsewhere and knows of it
	Shallow  bool // its history has been cut off at some commits
	Replaced bool // Git shows other objects in place of some; this package shows the original ones
	Foreign  bool // it belongs to another user and is not written to
}

// Repo is an open repository. Its methods may be called by several goroutines
// at once. It sees what others commit meanwhile.
type Repo struct {
	Traits  Traits
	root    string // the work tree, "" if bare
	gitDir  string // HEAD, index and HEAD's reflog
	common  string // objects, branches, configuration; the same as gitDir unless linked
	own     string // our own folder for locks and temporary files, in common
	config  config
	objects *objects
	shallow map[Hash]bool
	proven  sync.Map // commits whose ids were computed anew: Hash to filesOf
	opt     Options
}

// Open opens the repository whose top is dir, a work tree or a bare
// repository. Folders above dir are not searched. A repository in a form that
// cannot be read rightly is refused with a *RefusedError.
func Open(dir string) (*Repo, error) { return OpenWith(dir, Options{}) }

// OpenWith is Open with a file system, a clock and patience of the caller's.
func OpenWith(dir string, opt Options) (*Repo, error) {
	root, err := filepath.Abs(dir)
	if err != nil {
		return nil, err
	}
	r := &Repo{root: root, opt: opt.withDefaults()}
	err = r.locate()
	if err == nil {
		r.own = filepath.Join(r.common, "boltback")
		err = r.probe()
	}
	if err != nil {
		var refused *RefusedError
		if errors.As(err, &refused) {
			refused.Dir = root
		}
		return nil, err
	}
	return r, nil
}

func (o Options) withDefaults() Options {
	if o.Files == nil {
		o.Files = atomicfile.OS{}
	}
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Sleep == nil {
		o.Sleep = sleep
	}
	if o.Patience == 0 {
		o.Patience = 10 * time.Second
	}
	return o
}

func sleep(ctx context.Context, d time.Duration) error {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-ctx.Done():
		return ctx.Err()
	case <-t.C:
		return nil
	}
}

// Close gives back the open pack files.
func (r *Repo) Close() error { return r.objects.close() }

// Dir returns the absolute path of the work tree, of the repository if bare.
func (r *Repo) Dir() string {
	if r.Traits.Bare {
		return r.gitDir
	}
	return r.root
}
