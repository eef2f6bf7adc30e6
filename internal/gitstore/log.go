package gitstore

import (
	"container/heap"
	"iter"
)

// LogOptions bound a walk; the zero value walks everything.
type LogOptions struct {
	// FirstParent follows only the first parent of a merge: the branch's own story.
	FirstParent bool
	// Not leaves out a commit and all that can be reached from it.
	Not Hash
	// Proven computes each commit's id anew from its bytes. Without it the walk
	// rests on the checksums of packs and of zlib.
	Proven bool
}

// Log walks the commits that from can be reached by, the newest first by the
// committer's time, and never a commit before one of its children that was
// found so far. Each comes with its parents, its payload and its signature.
// The walk reads as it goes: stop it by leaving the loop. An error ends it. At
// the boundary of a shallow clone it ends without one (see Traits.Shallow).
func (r *Repo) Log(from Hash, opt LogOptions) iter.Seq2[*Commit, error] {
	return func(yield func(*Commit, error) bool) {
		w := newWalk(r, opt.FirstParent)
		if opt.Proven {
			w.read = r.ReadCommit
		}
		if err := w.hide(opt.Not); err != nil {
			yield(nil, err)
			return
		}
		if err := w.add(from); err != nil {
			yield(nil, err)
			return
		}
		for {
			c, err := w.next()
			if err != nil {
				yield(nil, err)
				return
			}
			if c == nil || !yield(c, nil) {
				return
			}
		}
	}
}

// walk is a walk over a history, in the order of commit times.
type walk struct {
	repo        *Repo
	read        func(Hash) (*Commit, error)
	firstParent bool
	seen        map[Hash]Hash // each commit found so far, with its tree
	queue       commitQueue
}

func newWalk(r *Repo, firstParent bool) *walk {
	return &walk{repo: r, read: r.readCommitUnchecked, firstParent: firstParent, seen: map[Hash]Hash{}}
}

// hide marks all that can be reached from a commit as seen.
func (w *walk) hide(from Hash) error {
	if from.IsZero() {
		return nil
	}
	h := newWalk(w.repo, false)
	if err := h.add(from); err != nil {
		return err
	}
	for {
		c, err := h.next()
		if err != nil {
			return err
		}
		if c == nil {
			w.seen = h.seen
			return nil
		}
	}
}

func (w *walk) add(id Hash) error {
	if _, ok := w.seen[id]; ok {
		return nil
	}
	c, err := w.read(id)
	if err != nil {
		return err
	}
	w.seen[id] = c.Tree
	heap.Push(&w.queue, queued{c, len(w.seen)})
	return nil
}

// next returns the newest commit that waits, nil at the end, and queues its parents.
func (w *walk) next() (*Commit, error) {
	if len(w.queue) == 0 {
		return nil, nil
	}
	c := heap.Pop(&w.queue).(queued).commit
	parents := w.repo.parents(c)
	if w.firstParent {
		parents = parents[:min(1, len(parents))]
	}
	for _, p := range parents {
		if err := w.add(p); err != nil {
			return nil, err
		}
	}
	return c, nil
}

// parents returns the parents that are there: none at the boundary of a shallow clone.
func (r *Repo) parents(c *Commit) []Hash {
	if r.shallow[c.ID] {
		return nil
	}
	return c.Parents
}

// commitQueue is a heap: the newest first, of equal ones the one found first.
type commitQueue []queued

type queued struct {
	commit *Commit
	nth    int
}

func (q commitQueue) Len() int      { return len(q) }
func (q commitQueue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *commitQueue) Push(x any)   { *q = append(*q, x.(queued)) }

func (q commitQueue) Less(i, j int) bool {
	a, b := q[i].commit.Committer.When, q[j].commit.Committer.When
	if !a.Equal(b) {
		return a.After(b)
	}
	return q[i].nth < q[j].nth
}

func (q *commitQueue) Pop() any {
	last := len(*q) - 1
	x := (*q)[last]
	*q = (*q)[:last]
	return x
}
