package gitstore

import (
	"fmt"
	"iter"
	"strings"

	"github.com/go-git/go-git/v5/plumbing"
)

// Revised is one commit that gave a path its content.
type Revised struct {
	Commit *Commit
	// Blob is what the path holds from this commit on, zero if it was removed.
	// For a folder it is the id of its tree.
	Blob Hash
}

// History walks the commits that changed one path, the newest first: those in
// which it is unlike in every parent (a first commit counts if it has the
// path). All sides of a merge are followed, also those that were not taken
// over, so that nothing that was once committed is hidden; a merge that took
// one side as it was is not a change. Renames are not followed, for a record's
// path is its identity. Only the tree entries on the way to the path are
// compared, so that a commit which did not touch them costs one tree.
// Stop the walk by leaving the loop.
func (r *Repo) History(from Hash, path string) iter.Seq2[Revised, error] {
	return func(yield func(Revised, error) bool) {
		t := &trace{repo: r, parts: strings.Split(path, "/"), known: map[treeAt]entry{}}
		w := newWalk(r, false)
		if err := w.add(from); err != nil {
			yield(Revised{}, err)
			return
		}
		for {
			c, err := w.next()
			if c == nil && err == nil {
				return
			}
			var now entry
			changed := false
			if err == nil {
				now, changed, err = t.changed(w, c)
			}
			if err != nil {
				yield(Revised{}, err)
				return
			}
			if changed && !yield(Revised{c, now.id}, nil) {
				return
			}
		}
	}
}

// trace finds one path in many trees. Most commits share their subtrees, so
// what was found below a tree is kept.
type trace struct {
	repo  *Repo
	parts []string
	known map[treeAt]entry
}

// treeAt is a tree met at a depth of the path.
type treeAt struct {
	depth int
	id    Hash
}

// changed compares the path in a commit with the path in its parents, which
// the walk has read already.
func (t *trace) changed(w *walk, c *Commit) (now entry, changed bool, err error) {
	if now, err = t.find(treeAt{0, c.Tree}); err != nil {
		return now, false, err
	}
	parents := t.repo.parents(c)
	for _, p := range parents {
		old, err := t.find(treeAt{0, w.seen[p]})
		if err != nil || old == now {
			return now, false, err
		}
	}
	return now, len(parents) > 0 || now.exists(), nil
}

// find returns the entry that the rest of the path has below a tree.
func (t *trace) find(at treeAt) (entry, error) {
	if e, ok := t.known[at]; ok {
		return e, nil
	}
	data, err := t.repo.objects.readUnchecked(plumbing.TreeObject, at.id)
	if err != nil {
		return entry{}, err
	}
	e, err := scanTree(data, t.parts[at.depth])
	if err != nil {
		return entry{}, fmt.Errorf("tree %s: %w", at.id, err)
	}
	switch last := at.depth == len(t.parts)-1; {
	case !last && e.isTree():
		e, err = t.find(treeAt{at.depth + 1, e.id})
	case !last:
		e = entry{}
	}
	if err == nil {
		t.known[at] = e
	}
	return e, err
}

// Content reads what a path held from a commit on; nil if it was removed. A
// folder, a link or a submodule has no bytes, which is an error.
func (r *Repo) Content(v Revised) ([]byte, error) {
	if v.Blob.IsZero() {
		return nil, nil
	}
	return r.objects.readAs(plumbing.BlobObject, v.Blob)
}
