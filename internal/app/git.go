package app

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"iter"
	"time"

	"boltback/internal/attest"
	"boltback/internal/history"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// Git opens and makes the repositories of cars and workshops.
type Git interface {
	// Open opens the repository whose top is dir; the error is ErrNoRepository where there is none, and *Unusable where it is
	// in a form that would not be read rightly.
	Open(dir string) (Repository, error)
	// Init makes a repository in dir.
	Init(dir string) (Repository, error)
	// Unbundle makes a repository in dir out of what Bundle wrote, with its files; nothing in it is believed unseen. What does
	// not hold is a *Doubtful.
	Unbundle(ctx context.Context, dir string, bundle io.Reader) (Repository, error)
}

// Repository is one car's history, and the only way to add to it.
type Repository interface {
	// Head is the commit one stands on, "" before the first.
	Head() (commit string, err error)
	// Resolve finds the commit that a person names: HEAD, a branch, a tag, an id, a day.
	Resolve(revision string) (commit string, err error)
	// Files reads a commit without a checkout.
	Files(commit string) (fs.FS, error)
	// Unsaved lists the paths that are not as the last commit has them.
	Unsaved() ([]string, error)
	// Listed gives the paths of which Git keeps two versions until somebody chooses, and those at which it keeps a commit of
	// another repository.
	Listed() (contested, submodules []string, err error)
	// CarryOn ends a commit that a crash cut short.
	CarryOn(ctx context.Context) error
	// Save commits the given paths and nothing else. The commit is "" where nothing had to change.
	Save(ctx context.Context, save Save) (commit string, err error)
	// Tag makes a signed tag on a commit. A name that is taken is fs.ErrExist: tags do not move.
	Tag(ctx context.Context, tag Tagging) error
	// Changes gives the files that differ between two commits; "" is the time before the first.
	Changes(old, now string) ([]history.Pair, error)
	// Log walks the history, newest first.
	Log() iter.Seq2[Revision, error]
	// History walks the commits that changed one path, newest first, with its bytes from then on (nil where it was removed).
	History(path string) iter.Seq2[history.Version, error]
	// Firsts gives each of these files as it was first committed, those that never were left out: one walk for all of them.
	Firsts(paths []string) (map[string]history.Version, error)
	// Advance takes over what another copy of this history has more. Where both have commits of their own the error is a
	// *Forked, and nothing is touched.
	Advance(ctx context.Context, other Repository) error
	// Bundle writes head, branches and tags with all that they lead to, for stock git to clone.
	Bundle(ctx context.Context, w io.Writer) error
	Evidence
}

// Save is one commit to make.
type Save struct {
	Changes []Change
	Author  Author
	When    time.Time
	Message string
	// Expect is the commit the changes were made against.
	Expect string
	// Sign signs this commit instead of the user's own key; nil leaves it to that.
	Sign func(payload []byte) (armored string, err error)
}

// Tagging is one annotated tag to make.
type Tagging struct {
	Name, Commit, Message string
	Tagger                Author
	When                  time.Time
	Sign                  func(payload []byte) (armored string, err error)
}

// Change is what one path holds after a commit; Delete takes it away.
type Change struct {
	Path    string
	Content []byte
	Delete  bool
}

// Author is who is named in a commit. The address says nothing but slug and workshop.
type Author struct{ Name, Email string }

// Revision is one commit with the commits before it.
type Revision struct {
	history.Revision
	Parents []string
}

// Doubtful says why a history that came from elsewhere is not taken.
type Doubtful struct{ Reason error }

// Error gives the reason.
func (d *Doubtful) Error() string { return d.Reason.Error() }

// Unusable says why a folder's repository, sound as it may be for Git, is not read here, and what can be done about it.
type Unusable struct{ Reason, Remedy string }

// Error gives both.
func (u *Unusable) Error() string {
	return "this repository is not one to rely on: " + u.Reason + "; " + u.Remedy
}

// Forked says that two copies of a history each have commits of their own.
type Forked struct {
	// Base is the newest commit that both have; "" if there is none.
	Base         string
	Ours, Theirs int
}

// Error names the commit at which they part.
func (f *Forked) Error() string {
	if f.Base == "" {
		return "the two histories have no commit in common"
	}
	return fmt.Sprintf("the two histories part after commit %s; commits here alone: %d, in the bag alone: %d", f.Base, f.Ours, f.Theirs)
}

// ErrNoRepository says that a folder is no Git repository.
var ErrNoRepository = errors.New("this folder is not under Git")

// Identity is who works at this machine, from the user's own configuration.
type Identity struct {
	// Person is the name of the person's record: people/<workshop>/<slug>.
	Person record.Ref
	// Pins are fingerprints of keys by a ledger's first commit or by a car's handle: what the user knows by another way.
	Pins map[string][]string
	// Authority is the address of a time-stamping authority (RFC 3161); "" for none.
	Authority string
	// Roots are the certificates of the authorities that the user trusts.
	Roots attest.Roots
}

// repository opens a car's repository for writing.
func (e Env) repository(car Car) (Repository, error) {
	repo, err := e.Git.Open(car.Path)
	if errors.Is(err, ErrNoRepository) {
		if car.Book {
			return nil, &Usage{Message: "the workshop's address book is not under Git, so nothing can be recorded in it", Hint: "git init makes a repository of " + car.Path}
		}
		return nil, &Usage{Message: fmt.Sprintf("%s is not under Git, so nothing can be recorded in it", car.Name), Hint: "boltback intake makes a new car; git init makes a repository of this one"}
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %w", car.Name, err)
	}
	return repo, nil
}

// At reads a car as it lies in its folder, or, with a revision, as the ledger knew it then. Commit names what was read.
func (e Env) At(car Car, revision string) (s *ledger.Snapshot, commit string, err error) {
	if revision == "" {
		s, err = e.Snapshot(car)
		return s, e.standsOn(car), err
	}
	repo, err := e.repository(car)
	if err != nil {
		return nil, "", err
	}
	id, err := repo.Resolve(revision)
	if err != nil {
		return nil, "", &Usage{Message: fmt.Sprintf("--at %s: %v", revision, err), Hint: "name a commit, a branch, a tag, or a day as 2026-03-02"}
	}
	files, err := repo.Files(id)
	if err != nil {
		return nil, "", fmt.Errorf("%s at %s: %w", car.Name, revision, err)
	}
	s, err = car.load(files)
	if err != nil {
		return nil, "", fmt.Errorf("%s at %s: %w", car.Name, revision, err)
	}
	return s, id, nil
}

// standsOn names the commit that a folder stands on, with a remark where files differ from it; "" where there is none.
func (e Env) standsOn(car Car) string {
	repo, err := e.Git.Open(car.Path)
	if err != nil {
		return ""
	}
	head, err := repo.Head()
	if err != nil || head == "" {
		return ""
	}
	if unsaved, err := repo.Unsaved(); err != nil || len(unsaved) > 0 {
		return head + " with changes not committed"
	}
	return head
}
