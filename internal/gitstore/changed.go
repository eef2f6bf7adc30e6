package gitstore

import (
	"slices"
	"strings"
)

// Difference is a path that two commits hold differently. A side that lacks
// the path has a zero id.
type Difference struct {
	Path     string
	Old, New Hash // of the file's bytes; for a submodule, of its commit
	// ModeOnly says that the bytes are the same and only the kind of entry or
	// the right to execute differs.
	ModeOnly bool
}

// Changed lists the paths that differ between two commits, in order. Folders
// that are the same on both sides are not opened. A zero hash is the time
// before the first commit.
func (r *Repo) Changed(old, new Hash) ([]Difference, error) {
	a, err := r.treeOf(old)
	if err != nil {
		return nil, err
	}
	b, err := r.treeOf(new)
	if err != nil {
		return nil, err
	}
	var list []Difference
	if err := r.compare("", a, b, &list); err != nil {
		return nil, err
	}
	slices.SortFunc(list, func(a, b Difference) int { return strings.Compare(a.Path, b.Path) })
	return list, nil
}

func (r *Repo) compare(dir string, a, b Hash, list *[]Difference) error {
	if a == b {
		return nil
	}
	old, err := r.treeUnchecked(a)
	if err != nil {
		return err
	}
	now, err := r.treeUnchecked(b)
	if err != nil {
		return err
	}
	was := make(map[string]entry, len(old))
	for _, e := range old {
		was[e.name] = e
	}
	for _, e := range now {
		if err := r.compareEntry(dir+e.name, was[e.name], e, list); err != nil {
			return err
		}
		delete(was, e.name)
	}
	for _, e := range was {
		if err := r.compareEntry(dir+e.name, e, entry{}, list); err != nil {
			return err
		}
	}
	return nil
}

// compareEntry compares one name; a folder on one side is compared with nothing.
func (r *Repo) compareEntry(path string, old, now entry, list *[]Difference) error {
	if old == now {
		return nil
	}
	var oldTree, newTree Hash
	if old.isTree() {
		oldTree, old = old.id, entry{}
	}
	if now.isTree() {
		newTree, now = now.id, entry{}
	}
	if old.exists() || now.exists() {
		*list = append(*list, Difference{Path: path, Old: old.id, New: now.id, ModeOnly: old.id == now.id})
	}
	return r.compare(path+"/", oldTree, newTree, list)
}
