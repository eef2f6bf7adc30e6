package gitstore

import (
	"bufio"
	"compress/zlib"
	"context"
	"crypto/sha1"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"

	"github.com/go-git/go-git/v5/plumbing"
)

// bundleSignature begins a bundle of version 2 (Git's gitformat-bundle documentation).
const bundleSignature = "# v2 git bundle\n"

// Ref is a reference and the object that it stands for.
type Ref struct {
	Name string // in full, as refs/heads/main
	ID   Hash
}

// Refs lists HEAD, the branches and the tags, HEAD first and the others by name. What was fetched from elsewhere is not
// among them.
func (r *Repo) Refs() ([]Ref, error) {
	h, err := r.head()
	if err != nil {
		return nil, err
	}
	var list []Ref
	if !h.id.IsZero() {
		list = append(list, Ref{"HEAD", h.id})
	}
	for _, prefix := range []string{"refs/heads/", "refs/tags/"} {
		names, err := r.namesBelow(prefix)
		if err != nil {
			return nil, err
		}
		for _, name := range names {
			_, id, err := r.resolve(name)
			if err != nil {
				return nil, fmt.Errorf("%s: %w", name, err)
			}
			list = append(list, Ref{name, id})
		}
	}
	return list, nil
}

// namesBelow lists the references below a prefix, loose and packed, each once and in order.
func (r *Repo) namesBelow(prefix string) ([]string, error) {
	var names []string
	top := filepath.Join(r.common, filepath.FromSlash(prefix))
	err := filepath.WalkDir(top, func(path string, d fs.DirEntry, err error) error {
		if err != nil || !d.Type().IsRegular() {
			return err
		}
		rel, err := filepath.Rel(top, path)
		if name := prefix + filepath.ToSlash(rel); err == nil && checkRefName(name) == nil {
			names = append(names, name)
		}
		return err
	})
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	packed, err := readWithin(r.common, "packed-refs")
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	for line := range strings.Lines(string(packed)) {
		if _, name, _ := strings.Cut(strings.TrimRight(line, "\r\n"), " "); strings.HasPrefix(name, prefix) && checkRefName(name) == nil {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return slices.Compact(names), nil
}

// listed is an object that goes into a pack.
type listed struct {
	kind plumbing.ObjectType
	id   Hash
}

// WriteBundle writes HEAD, all branches and all tags, with every object that they lead to and no other, as a bundle that
// stock git clones. Objects stand in it whole, none as a difference from another, and are written one by one: no more than
// one of them is held in memory. Each is held against its id on the way.
func (r *Repo) WriteBundle(ctx context.Context, w io.Writer) error {
	if r.Traits.Shallow {
		return &RefusedError{Dir: r.root, Reason: "its history has been cut off", Remedy: "run git fetch --unshallow, and hand over the whole of it"}
	}
	refs, err := r.Refs()
	if err != nil {
		return err
	}
	if len(refs) == 0 {
		return ErrNoCommits
	}
	objects, err := r.search(ctx, refs, nil)
	if err != nil {
		return err
	}
	b := bufio.NewWriter(w)
	fmt.Fprint(b, bundleSignature) // what fails here shows at Flush
	for _, ref := range refs {
		fmt.Fprintf(b, "%s %s\n", ref.ID, ref.Name)
	}
	fmt.Fprint(b, "\n")
	if err := r.writePack(ctx, b, objects); err != nil {
		return err
	}
	return b.Flush()
}

// writePack writes a pack of version 2 (Git's gitformat-pack documentation).
func (r *Repo) writePack(ctx context.Context, w io.Writer, objects []listed) error {
	sum := sha1.New()
	out := io.MultiWriter(w, sum)
	head := binary.BigEndian.AppendUint32([]byte("PACK\x00\x00\x00\x02"), uint32(len(objects)))
	if _, err := out.Write(head); err != nil {
		return err
	}
	z := zlib.NewWriter(out)
	for _, o := range objects {
		if err := ctx.Err(); err != nil {
			return err
		}
		data, err := r.objects.readAs(o.kind, o.id)
		if err != nil {
			return err
		}
		if _, err := out.Write(packedHead(o.kind, len(data))); err != nil {
			return err
		}
		z.Reset(out)
		_, err = z.Write(data)
		if err := errors.Join(err, z.Close()); err != nil {
			return err
		}
	}
	_, err := w.Write(sum.Sum(nil))
	return err
}

// packedHead is an object's kind and size as a pack has them: seven bits a byte, the lowest first, four in the first.
func packedHead(kind plumbing.ObjectType, size int) []byte {
	b := []byte{byte(kind)<<4 | byte(size&0x0f)}
	for size >>= 4; size > 0; size >>= 7 {
		b[len(b)-1] |= 0x80
		b = append(b, byte(size&0x7f))
	}
	return b
}

// search lists each object that references lead to, once: commits and tags, then folders and files. Look is asked about each
// entry of a folder that is met for the first time, with its path; nil asks nobody.
func (r *Repo) search(ctx context.Context, refs []Ref, look func(path string, e entry) error) ([]listed, error) {
	s := search{repo: r, seen: map[Hash]bool{}, look: look}
	for _, ref := range refs {
		if err := s.name(ref.ID); err != nil {
			return nil, fmt.Errorf("%s: %w", ref.Name, err)
		}
	}
	for len(s.commits) > 0 {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if err := s.commit(); err != nil {
			return nil, err
		}
	}
	for _, id := range s.roots {
		if err := s.tree(id, ""); err != nil {
			return nil, err
		}
	}
	return s.found, nil
}

// search gathers what references lead to.
type search struct {
	repo    *Repo
	seen    map[Hash]bool
	commits []Hash // still to be read
	roots   []Hash // the commits' folders
	found   []listed
	look    func(path string, e entry) error
}

func (s *search) add(kind plumbing.ObjectType, id Hash) (again bool) {
	if s.seen[id] {
		return true
	}
	s.seen[id] = true
	s.found = append(s.found, listed{kind, id})
	return false
}

// name follows a reference: tags, and then the commit.
func (s *search) name(id Hash) error {
	kind, _, err := s.repo.objects.read(id)
	if err != nil {
		return err
	}
	if kind != plumbing.TagObject {
		return s.ask(id)
	}
	t, err := s.repo.ReadTag(id)
	if err != nil || s.add(plumbing.TagObject, id) {
		return err
	}
	return s.name(t.Target)
}

func (s *search) ask(id Hash) error {
	if !s.add(plumbing.CommitObject, id) {
		s.commits = append(s.commits, id)
	}
	return nil
}

// commit reads the next commit that waits.
func (s *search) commit() error {
	last := len(s.commits) - 1
	c, err := s.repo.ReadCommit(s.commits[last])
	if err != nil {
		return err
	}
	s.commits = s.commits[:last]
	for _, p := range c.Parents {
		if err := s.ask(p); err != nil {
			return err
		}
	}
	s.roots = append(s.roots, c.Tree)
	return nil
}

func (s *search) tree(id Hash, at string) error {
	if s.add(plumbing.TreeObject, id) {
		return nil
	}
	data, err := s.repo.objects.readAs(plumbing.TreeObject, id)
	if err != nil {
		return err
	}
	entries, err := parseTree(data)
	if err != nil {
		return fmt.Errorf("tree %s: %w", id, err)
	}
	for _, e := range entries {
		path := at + e.name
		if s.look != nil {
			if err := s.look(path, e); err != nil {
				return err
			}
		}
		switch {
		case e.isTree():
			if err := s.tree(e.id, path+"/"); err != nil {
				return err
			}
		case e.mode&modeKind != modeModule:
			s.add(plumbing.BlobObject, e.id)
		}
	}
	return nil
}
