package gitstore

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// locate finds the parts of a repository: a .git folder, the .git file of a further work tree, or a bare repository. Nothing
// of a folder is believed that would lead a reader out of it: whoever hands one over would choose what else of a
// disk is opened.
func (r *Repo) locate() error {
	dot := filepath.Join(r.root, ".git")
	info, err := os.Lstat(dot)
	switch {
	case err == nil && info.IsDir():
		r.gitDir = dot
	case err == nil && info.Mode().IsRegular():
		return r.locateLinked(dot)
	case err == nil:
		return elsewhere("its .git is a link")
	case errors.Is(err, fs.ErrNotExist):
		r.gitDir = r.root
	default:
		return err
	}
	r.common = r.gitDir
	if _, err := os.Lstat(filepath.Join(r.gitDir, "commondir")); err == nil {
		return elsewhere("the file commondir in its .git says that its history lies in another folder")
	}
	return r.checkParts()
}

// checkParts looks for what every repository has.
func (r *Repo) checkParts() error {
	for _, need := range []struct{ dir, name string }{{r.gitDir, "HEAD"}, {r.common, "objects"}, {r.common, "refs"}} {
		info, err := os.Lstat(filepath.Join(need.dir, need.name))
		if err != nil {
			return fmt.Errorf("%s: %w", r.root, ErrNotRepository)
		}
		if need.name != "HEAD" && info.Mode()&fs.ModeSymlink != 0 {
			return elsewhere("its folder " + need.name + " is a link")
		}
	}
	return nil
}

func elsewhere(reason string) error {
	return &RefusedError{Reason: reason + ", and so it does not hold its own history",
		Remedy: "if you know where that is, git clone it from there and open the clone"}
}

// locateLinked follows the .git file that "git worktree add" writes. It is followed only to a repository that knows this very
// folder as a work tree of its own, which the owner of that repository alone can bring about; no other file is
// opened there before.
func (r *Repo) locateLinked(dot string) error {
	text, err := readWithin(r.root, ".git")
	if err != nil {
		return err
	}
	to, ok := strings.CutPrefix(strings.TrimRight(string(text), "\r\n"), "gitdir: ")
	if !ok || to == "" || strings.HasPrefix(to, "//") || strings.HasPrefix(to, `\\`) {
		return elsewhere(fmt.Sprintf("its .git is the file %.80q", text))
	}
	if !filepath.IsAbs(to) {
		to = filepath.Join(r.root, to)
	}
	to = filepath.Clean(to)
	if filepath.Base(filepath.Dir(to)) != "worktrees" || !knows(to, dot) {
		return elsewhere("its .git points to " + to + ", where this folder is not known")
	}
	shared, err := readWithin(to, "commondir")
	if err != nil || strings.TrimSpace(string(shared)) != "../.." {
		return elsewhere("its .git points to " + to + ", which is no work tree's")
	}
	r.gitDir, r.common, r.Traits.Linked = to, filepath.Dir(filepath.Dir(to)), true
	return r.checkParts()
}

// knows says whether a repository's entry for a work tree names this .git file.
func knows(entry, dot string) bool {
	text, err := readWithin(entry, "gitdir")
	if err != nil {
		return false
	}
	back := strings.TrimRight(string(text), "\r\n")
	if !filepath.IsAbs(back) {
		back = filepath.Join(entry, back)
	}
	whole, err := filepath.EvalSymlinks(dot) // Git writes the path that links lead to
	return filepath.Clean(back) == dot || err == nil && filepath.Clean(back) == whole
}
