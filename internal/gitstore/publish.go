package gitstore

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"boltback/internal/atomicfile"
)

// publish makes a stored commit the branch's, with all locks held: the work
// tree, the index, the reflogs, and last the branch. If a step fails, the
// steps before it are taken back.
func (r *Repo) publish(ref string, p plan, edits []edit, req Request) (err error) {
	s := newSwaps(r)
	defer func() {
		if err != nil {
			err = errors.Join(err, s.undo())
			return
		}
		s.finish()
	}()
	if !r.Traits.Bare {
		if err := r.publishFiles(s, p, edits); err != nil {
			return err
		}
	}
	branch, err := r.pendingRef(ref, p.commit)
	if err != nil {
		return err
	}
	defer branch.Discard()
	undoLogs, err := r.appendReflogs(ref, reflogEntry(p.parent, p.commit, req.Committer, req.Message))
	if err != nil {
		return err
	}
	s.also(undoLogs)
	// Files and index first: should the power fail, the branch must not lead to
	// a commit whose files are missing, for Git would show them as deleted.
	if err := s.sync(); err != nil {
		return err
	}
	if err := s.install(branch, r.refPath(ref)); err != nil {
		return err
	}
	return s.sync()
}

// pendingRef prepares the file of a branch. An empty folder in its place is
// what Git leaves of a deeper branch.
func (r *Repo) pendingRef(ref string, id Hash) (*atomicfile.Pending, error) {
	path := r.refPath(ref)
	if info, err := os.Lstat(path); err == nil && info.IsDir() {
		if err := r.opt.Files.Remove(path); err != nil {
			return nil, err
		}
	}
	return r.writer().Prepare(path, []byte(id.String()+"\n"), 0o666)
}

// publishFiles brings the work tree and the index to the new commit.
func (r *Repo) publishFiles(s *swaps, p plan, edits []edit) error {
	if err := r.checkIdle(); err != nil {
		return err
	}
	ix, err := r.readIndex()
	if err != nil {
		return err
	}
	if err := ix.accepts(edits); err != nil {
		return err
	}
	trees := newTrees(r)
	if err := r.checkWorkTree(trees, p.before, edits); err != nil {
		return err
	}
	modes, err := modesAfter(trees, p.tree, edits)
	if err != nil {
		return err
	}
	if err := r.writeWorkTree(s, edits, modes); err != nil {
		return err
	}
	r.smudge(ix, edits)
	var entries []indexEntry
	var gone []string
	for i, e := range edits {
		if e.delete {
			gone = append(gone, e.path)
			continue
		}
		info, err := r.opt.Files.Lstat(r.workPath(e.path))
		if err != nil {
			return err
		}
		entries = append(entries, newIndexEntry(e.path, e.blob.id, modes[i], statOf(info)))
	}
	ix.change(entries, gone)
	pending, err := r.writer().Prepare(r.indexPath(), ix.encode(), 0o666)
	if err != nil {
		return err
	}
	defer pending.Discard()
	return s.install(pending, r.indexPath())
}

// modesAfter returns the mode of each edited path in the new tree, 0 if deleted.
func modesAfter(trees *trees, tree Hash, edits []edit) ([]uint32, error) {
	modes := make([]uint32, len(edits))
	for i, e := range edits {
		found, err := trees.lookup(tree, e.path)
		if err != nil {
			return nil, err
		}
		modes[i] = found.mode
	}
	return modes, nil
}

// checkIdle refuses to commit into the middle of a merge or the like.
func (r *Repo) checkIdle() error {
	for name, what := range map[string]string{"MERGE_HEAD": "merge", "CHERRY_PICK_HEAD": "cherry-pick",
		"REVERT_HEAD": "revert", "rebase-merge": "rebase", "rebase-apply": "rebase or am"} {
		if _, err := os.Lstat(filepath.Join(r.gitDir, name)); err == nil {
			return fmt.Errorf("%w: a %s; finish it, or give it up with git %s --abort", ErrUnderWay, what, strings.Fields(what)[0])
		}
	}
	return nil
}

// accepts refuses paths for which the index holds a conflict, or a file where
// a folder is needed or the other way round.
func (ix *gitIndex) accepts(edits []edit) error {
	var clash []string
	for _, e := range edits {
		at, n := ix.find(e.path)
		bad := n > 1 || n == 1 && ix.entries[at].stage() != 0 || !e.delete && ix.below(e.path)
		for dir := e.path; !e.delete && !bad; {
			i := strings.LastIndexByte(dir, '/')
			if i < 0 {
				break
			}
			dir = dir[:i]
			_, n := ix.find(dir)
			bad = n > 0
		}
		if bad {
			clash = append(clash, e.path)
		}
	}
	if len(clash) > 0 {
		return &ConflictError{Paths: slices.Compact(clash), Reason: "Git's index holds a conflict there; resolve it with git status and git add"}
	}
	return nil
}
