// Package app holds the use cases, one a file: find the cars meant, read them, and ask the core. It returns values and
// holds no sentence that a reader sees beyond errors. What it needs of the world it declares as ports, which package
// main fills in: files, Git, the clock.
package app

import (
	"context"
	"io"
	"io/fs"
	"time"

	"boltback/internal/attest"
)

// Files is what the use cases need of the file system. Paths are the operating system's.
type Files interface {
	// Absolute makes a path absolute and clean; a relative one starts at the working folder.
	Absolute(path string) (string, error)
	// Folder reads below a folder and never outside it.
	Folder(path string) fs.FS
	// Replace writes a whole file durably, and says whether its bytes changed.
	Replace(path string, content []byte) (changed bool, err error)
	// Create writes a new file durably and refuses to touch one that is there.
	Create(path string, content []byte) error
	// Keep writes a file that nobody may change, durably, or finds that the very same bytes are there already.
	Keep(path string, content []byte) error
	// Hide is Keep for what nobody else at this machine may read.
	Hide(path string, content []byte) error
	// Fill is Create for a file whose bytes are too many to be held at once; folders above it are made. What fails leaves a
	// file that is not whole, so it is for folders that Build makes.
	Fill(path string, fill func(io.Writer) error) error
	// Assemble is Build for one file: what fill writes becomes path when all of it is there, and path must not exist. Last,
	// unless nil, is asked when all is on disk but for the name; an error of it leaves nothing.
	Assemble(path string, perm fs.FileMode, fill func(io.Writer) error, last func() error) error
	// Remove takes a file away, durably; one that is not there is no error.
	Remove(path string) error
	// MakeFolder makes a folder and those above it.
	MakeFolder(path string) error
	// Build has a folder made whole or not at all: build fills a folder beside path that nobody takes for anything, and
	// when it succeeds that folder becomes path, which must not exist or be empty. What an earlier crash left there is
	// removed first.
	Build(path string, build func(folder string) error) error
	// Aside gives use a folder beside path that nobody takes for anything, and takes it away again whatever comes of it.
	Aside(path string, use func(folder string) error) error
}

// Env is the world of one run.
type Env struct {
	Files Files
	Git   Git
	// Identity reads who works at this machine from the user's own configuration, never from a repository's.
	Identity func() (Identity, error)
	// Signer opens the key that this user signs with; the error says why there is none. What it gives shows nothing of the
	// private half.
	Signer func() (attest.Signer, error)
	// AskAuthority sends a time-stamp request to an address that the user gave, and returns the answer as it came. It is the
	// only thing here that reaches a network, and nothing in a ledger can bring it about.
	AskAuthority func(ctx context.Context, address string, request []byte) (answer []byte, err error)
	// Random fills a slice with random bytes, for nonces, salts and the ids of new ledgers.
	Random func([]byte)
	// Memories remember what earlier checks found; nil remembers nothing.
	Memories Memories
	Now      func() time.Time
	// Zone is where the workshop's days begin and end.
	Zone *time.Location
	// Program names this build on documents.
	Program string
}

// Usage says that the words of a command do not fit; Hint names what would.
type Usage struct{ Message, Hint string }

// Error gives the message alone; the hint is printed under it.
func (u *Usage) Error() string { return u.Message }
