package gitstore

import (
	"errors"
	"io/fs"
	"os"
	"path"
	"slices"
	"strings"

	"github.com/go-git/go-git/v5/plumbing"
)

// State is how a path stands on one side of a comparison.
type State int

// The states of a path.
const (
	Same State = iota
	Added
	Modified
	Deleted
	Untracked // in the work tree only
	Conflict  // Git's index holds several sides of a merge
)

// String returns the state as a word.
func (s State) String() string {
	return [...]string{"same", "added", "modified", "deleted", "untracked", "conflict"}[s]
}

// PathStatus is a path that is not the same in the last commit, in the index
// and in the work tree.
type PathStatus struct {
	Path   string
	Staged State // the index against the last commit
	Work   State // the work tree against the index
}

// Status lists, in order of path, what is not committed. Files are read only
// where their size and times do not settle the matter. Two things are stricter
// than in git status: ignore rules are not consulted, for an ignored record is
// an unsaved record all the same; and a file marked assume-unchanged is looked
// at like any other. Temporary files of this program and repositories inside
// the work tree are left out. Nothing is written.
func (r *Repo) Status() ([]PathStatus, error) {
	if r.Traits.Bare {
		return nil, errors.New("a bare repository has no work tree to compare")
	}
	ix, err := r.readIndex()
	if err != nil {
		return nil, err
	}
	s := &status{repo: r, index: ix, found: map[string]*PathStatus{}}
	if err := s.compareHead(); err != nil {
		return nil, err
	}
	if err := s.walk(""); err != nil {
		return nil, err
	}
	s.missing()
	list := make([]PathStatus, 0, len(s.found))
	for _, p := range s.found {
		list = append(list, *p)
	}
	slices.SortFunc(list, func(a, b PathStatus) int { return strings.Compare(a.Path, b.Path) })
	return list, nil
}

// Listed is what the index alone says of a folder.
type Listed struct {
	// Contested are the files that Git left for somebody to choose: it holds several sides of a merge, a rebase or the like.
	Contested []string
	// Submodules are the places at which it has a commit of another repository, whether or not that lies there.
	Submodules []string
}

// Listed reads the index once, and nothing else. Both lists are in order of path.
func (r *Repo) Listed() (Listed, error) {
	var l Listed
	ix, err := r.readIndex()
	if err != nil {
		return l, err
	}
	for _, e := range ix.entries {
		if n := len(l.Contested); e.stage() != 0 && (n == 0 || l.Contested[n-1] != e.name) {
			l.Contested = append(l.Contested, e.name)
		}
		if e.mode() == modeModule {
			l.Submodules = append(l.Submodules, e.name)
		}
	}
	return l, nil
}

type status struct {
	repo  *Repo
	index *gitIndex
	seen  []bool // which index entries the work tree has
	found map[string]*PathStatus
}

func (s *status) at(path string) *PathStatus {
	p := s.found[path]
	if p == nil {
		p = &PathStatus{Path: path}
		s.found[path] = p
	}
	return p
}

// compareHead compares the index with the last commit's tree, both in order.
func (s *status) compareHead() error {
	h, err := s.repo.head()
	if err != nil {
		return err
	}
	tree, err := s.repo.treeOf(h.id)
	if err != nil {
		return err
	}
	committed := map[string]entry{}
	if err := s.repo.flatten("", tree, committed); err != nil {
		return err
	}
	s.seen = make([]bool, len(s.index.entries))
	for i, e := range s.index.entries {
		if e.moreFlags()&flagIntentToAdd != 0 {
			continue // not in the index yet
		}
		old, ok := committed[e.name]
		delete(committed, e.name)
		switch {
		case e.stage() != 0:
			s.at(e.name).Staged, s.seen[i] = Conflict, true
		case !ok:
			s.at(e.name).Staged = Added
		case old.id != e.id() || old.mode != e.mode():
			s.at(e.name).Staged = Modified
		}
	}
	for name := range committed {
		s.at(name).Staged = Deleted
	}
	return nil
}

// flatten lists all files of a tree by path.
func (r *Repo) flatten(dir string, id Hash, into map[string]entry) error {
	entries, err := r.treeUnchecked(id)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if !e.isTree() {
			into[dir+e.name] = e
		} else if err := r.flatten(dir+e.name+"/", e.id, into); err != nil {
			return err
		}
	}
	return nil
}

// walk compares one folder of the work tree, and those in it, with the index.
func (s *status) walk(dir string) error {
	list, err := os.ReadDir(s.repo.workPath(dir))
	if err != nil {
		return err
	}
	for _, d := range list {
		name := path.Join(dir, d.Name())
		if dir == "" && d.Name() == ".git" {
			continue
		}
		if err := s.compareWork(name, d); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return nil
}

func (s *status) compareWork(name string, d fs.DirEntry) error {
	at, n := s.index.find(name)
	if n > 0 && s.index.entries[at].stage() != 0 {
		return nil
	}
	if d.IsDir() {
		if n > 0 && s.index.entries[at].mode()&modeKind == modeModule {
			s.seen[at] = true
			return nil
		}
		if _, err := os.Lstat(s.repo.workPath(name + "/.git")); err == nil {
			return nil
		}
		return s.walk(name)
	}
	if n == 0 {
		if !d.Type().IsRegular() && d.Type() != fs.ModeSymlink || strings.HasPrefix(d.Name(), ".boltback-") {
			return nil
		}
		s.at(name).Work = Untracked
		return nil
	}
	info, err := d.Info()
	if err != nil {
		return err
	}
	s.seen[at] = true
	state, err := s.repo.compareFile(s.index, s.index.entries[at], info)
	if err == nil && state != Same {
		s.at(name).Work = state
	}
	return err
}

// compareFile compares a file with its index entry, by its size and times as
// far as they can be trusted, by its bytes otherwise.
func (r *Repo) compareFile(ix *gitIndex, e indexEntry, info fs.FileInfo) (State, error) {
	if e.moreFlags()&flagIntentToAdd != 0 {
		return Added, nil
	}
	mode := uint32(modeFile)
	switch {
	case info.Mode()&fs.ModeSymlink != 0:
		mode = modeSymlink
	case !info.Mode().IsRegular():
		return Modified, nil
	case info.Mode()&0o100 != 0:
		mode = modeExec
	}
	if mode != e.mode() && !modesUntold {
		return Modified, nil
	}
	// Size 0 for content that is not empty is the mark that smudge describes.
	marked := e.word(sizeAt) == 0 && e.id() != BlobID(nil)
	if statOf(info) == e.stat() && !ix.racy(e) && !marked {
		return Same, nil
	}
	data, err := r.workBytes(e.name, mode)
	if err != nil {
		return Same, err
	}
	if idOf(plumbing.BlobObject, data) != e.id() {
		return Modified, nil
	}
	return Same, nil
}

// workBytes returns what Git would store of a file: of a symlink, its target.
func (r *Repo) workBytes(name string, mode uint32) ([]byte, error) {
	if mode != modeSymlink {
		return os.ReadFile(r.workPath(name))
	}
	target, err := os.Readlink(r.workPath(name))
	return []byte(target), err
}

// missing finds the index entries that the work tree does not have. Those that
// a sparse checkout left out are not missed.
func (s *status) missing() {
	for i, e := range s.index.entries {
		if !s.seen[i] && e.moreFlags()&flagSkipWorktree == 0 && e.mode()&modeKind != modeModule {
			s.at(e.name).Work = Deleted
		}
	}
}
