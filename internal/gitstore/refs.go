package gitstore

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/go-git/go-git/v5/plumbing"
)

// maxSymrefs bounds a chain of references that point to one another.
const maxSymrefs = 5

// head is where the next commit goes.
type head struct {
	ref string // the branch, as refs/heads/...; "HEAD" if detached
	id  Hash   // the commit, zero if the branch is unborn
}

// Head is what HEAD points to.
type Head struct {
	Branch string // full name, as refs/heads/main; empty if detached
	Commit Hash   // zero if nothing was committed yet
}

// Head reads where the repository stands now.
func (r *Repo) Head() (Head, error) {
	h, err := r.head()
	if err != nil || h.ref == "HEAD" {
		return Head{Commit: h.id}, err
	}
	return Head{Branch: h.ref, Commit: h.id}, nil
}

func (r *Repo) head() (head, error) {
	name, id, err := r.resolve("HEAD")
	if errors.Is(err, fs.ErrNotExist) && name != "HEAD" {
		return head{ref: name}, nil
	}
	return head{ref: name, id: id}, err
}

// resolve follows symbolic references from name to the one that holds an id,
// and returns that one's name. For one that does not exist the error is
// fs.ErrNotExist, still with the name.
func (r *Repo) resolve(name string) (string, Hash, error) {
	for range maxSymrefs {
		id, target, err := r.readRef(name)
		if err != nil || target == "" {
			return name, id, err
		}
		name = target
	}
	return name, Hash{}, fmt.Errorf("reference %s: more than %d references point to one another", name, maxSymrefs)
}

// readRef reads one reference, loose or packed: an id, or the name it points to.
func (r *Repo) readRef(name string) (id Hash, target string, err error) {
	file := r.refPath(name)
	data, err := r.readLoose(name)
	if errors.Is(err, fs.ErrNotExist) {
		id, err = r.packedRef(name)
		return id, "", err
	}
	if err != nil {
		return id, "", err
	}
	text := strings.TrimRight(data, " \t\r\n")
	if target, ok := strings.CutPrefix(text, "ref:"); ok {
		target = strings.TrimSpace(target)
		if err := checkRefName(target); err != nil {
			return id, "", fmt.Errorf("%s: %w", file, err)
		}
		return id, target, nil
	}
	if len(text) > 40 && (text[40] == ' ' || text[40] == '\t' || text[40] == '\n') {
		text = text[:40]
	}
	id, err = ParseHash(text)
	if err != nil {
		return id, "", fmt.Errorf("%s: %w", file, err)
	}
	return id, "", nil
}

// readLoose reads a reference file. An empty folder of that name is what Git
// leaves when it deletes a deeper branch, and counts as nothing.
func (r *Repo) readLoose(name string) (string, error) {
	file := r.refPath(name)
	info, err := os.Lstat(file)
	if errors.Is(err, errNotDir) || err == nil && info.IsDir() {
		return "", fs.ErrNotExist
	}
	if err != nil {
		return "", err
	}
	if !info.Mode().IsRegular() {
		return "", fmt.Errorf("%s is a symlink; run git symbolic-ref to make it a plain file", file)
	}
	data, err := readWithin(r.refHome(name), name)
	return string(data), err
}

// checkRefName refuses names that could lead outside the reference folders.
func checkRefName(name string) error {
	ref := plumbing.ReferenceName(name)
	if name != "HEAD" && (!strings.HasPrefix(name, "refs/") || !ref.IsSafe() || ref.Validate() != nil) {
		return fmt.Errorf("%q is not the name of a reference", name)
	}
	return nil
}

// refPath is where a reference lies if it is loose. A linked work tree has its
// own HEAD and a few kinds of its own; all branches are common.
func (r *Repo) refPath(name string) string {
	return filepath.Join(r.refHome(name), filepath.FromSlash(name))
}

func (r *Repo) refHome(name string) string {
	if strings.HasPrefix(name, "refs/") && !strings.HasPrefix(name, "refs/bisect/") &&
		!strings.HasPrefix(name, "refs/worktree/") && !strings.HasPrefix(name, "refs/rewritten/") {
		return r.common
	}
	return r.gitDir
}

// packedRef looks a reference up in packed-refs.
func (r *Repo) packedRef(name string) (Hash, error) {
	data, err := readWithin(r.common, "packed-refs")
	if err != nil {
		return Hash{}, err
	}
	return packedRefIn(data, name)
}

// packedRefIn looks a reference up in the lines "id name"; those of "#" and "^" are remarks.
func packedRefIn(data []byte, name string) (Hash, error) {
	for line := range bytes.Lines(data) {
		id, ref, ok := strings.Cut(strings.TrimRight(string(line), "\r\n"), " ")
		if ok && ref == name && id != "#" {
			return ParseHash(id)
		}
	}
	return Hash{}, fs.ErrNotExist
}
