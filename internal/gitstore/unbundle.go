package gitstore

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"

	"boltback/internal/atomicfile"

	"github.com/go-git/go-git/v5/plumbing"
	"github.com/go-git/go-git/v5/plumbing/format/idxfile"
)

// Bounds on the references of a bundle, and on the files of its last commit.
const (
	mostRefs  = 1 << 16
	mostFiles = 1 << 18
)

// BadBundleError says why a bundle is not taken.
type BadBundleError struct{ Reason error }

// Error gives the reason.
func (e *BadBundleError) Error() string { return "the bundle cannot be taken: " + e.Reason.Error() }

// Unwrap gives the reason itself.
func (e *BadBundleError) Unwrap() error { return e.Reason }

// Unbundle makes a repository in dir out of a bundle as WriteBundle writes it, with its work tree, and opens it. A bundle may
// come from a stranger: the id of each object is worked out from its bytes, everything that a reference leads to has to be
// there and nothing else, and no path of the whole history may lead out of the work tree or into Git's own folder. Of what a
// repository can configure or run nothing is in a bundle, and nothing is taken. What fails leaves a folder that is no use:
// the caller builds it out of sight and removes it.
func Unbundle(ctx context.Context, dir string, bundle io.Reader, opt Options) (*Repo, error) {
	r, err := InitWith(dir, opt)
	if err != nil {
		return nil, err
	}
	in := bufio.NewReaderSize(bundle, 1<<16)
	refs, err := readBundleHead(in)
	if err != nil {
		return nil, errors.Join(&BadBundleError{err}, r.Close())
	}
	kinds, err := r.takePack(in)
	if err = errors.Join(err, r.Close()); err != nil {
		return nil, err
	}
	if r, err = OpenWith(dir, opt); err != nil {
		return nil, err
	}
	err = r.holdBundle(ctx, refs, kinds)
	if err != nil && ctx.Err() == nil {
		err = &BadBundleError{err}
	} else if err != nil {
		err = ctx.Err()
	} else if err = r.nameAll(refs); err == nil {
		err = r.checkout(ctx, refs[0].ID)
	}
	if err != nil {
		return nil, errors.Join(err, r.Close())
	}
	return r, nil
}

// readBundleHead reads the references of a bundle; HEAD comes first.
func readBundleHead(in *bufio.Reader) ([]Ref, error) {
	first, err := in.ReadSlice('\n')
	if err != nil || string(first) != bundleSignature {
		return nil, errors.New("it does not begin as a bundle of version 2")
	}
	var refs []Ref
	seen := map[string]bool{}
	for len(refs) < mostRefs {
		line, err := in.ReadSlice('\n')
		if err != nil {
			return nil, fmt.Errorf("its list of references is cut short: %w", err)
		}
		if len(line) == 1 {
			return headFirst(refs)
		}
		id, name, ok := strings.Cut(strings.TrimSuffix(string(line), "\n"), " ")
		hash, err := ParseHash(id)
		if !ok || err != nil {
			return nil, fmt.Errorf("%q is no reference; a bundle that builds on another history is not taken", id)
		}
		if name != "HEAD" && !strings.HasPrefix(name, "refs/heads/") && !strings.HasPrefix(name, "refs/tags/") || checkRefName(name) != nil || seen[name] {
			return nil, fmt.Errorf("%q is neither HEAD nor a branch nor a tag, or is there twice", name)
		}
		seen[name] = true
		refs = append(refs, Ref{name, hash})
	}
	return nil, fmt.Errorf("it has more than %d references", mostRefs)
}

func headFirst(refs []Ref) ([]Ref, error) {
	i := slices.IndexFunc(refs, func(r Ref) bool { return r.Name == "HEAD" })
	if i < 0 {
		return nil, errors.New("it does not say where the history ends: HEAD is missing")
	}
	refs[0], refs[i] = refs[i], refs[0]
	return refs, nil
}

// takePack stores the pack that follows, and its index. Both are written under names by which Git passes, and the index gets its own last:
// Git goes by it, and a pack without one is no part of the repository. What a crash left under these names goes first.
func (r *Repo) takePack(in *bufio.Reader) (kinds map[Hash]plumbing.ObjectType, err error) {
	folder := filepath.Join(r.objects.dir, "pack")
	incoming := []string{filepath.Join(folder, "tmp_pack_incoming"), filepath.Join(folder, "tmp_idx_incoming")}
	for _, path := range incoming {
		if err := r.opt.Files.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return nil, err
		}
	}
	defer func() {
		if err != nil {
			for _, path := range incoming {
				_ = r.opt.Files.Remove(path) // one that is not there too
			}
		}
	}()
	var index *idxfile.MemoryIndex
	err = r.fill(incoming[0], 0o444, func(w io.Writer) (err error) {
		if index, kinds, err = readPack(in, w); err != nil {
			err = &BadBundleError{err}
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	err = r.fill(incoming[1], 0o444, func(w io.Writer) error {
		_, err := idxfile.NewEncoder(w).Encode(index)
		return err
	})
	if err != nil {
		return nil, err
	}
	name := filepath.Join(folder, "pack-"+Hash(index.PackfileChecksum).String())
	for i, ending := range []string{".pack", ".idx"} {
		if err := r.opt.Files.Rename(incoming[i], name+ending); err != nil {
			return nil, err
		}
	}
	return kinds, r.opt.Files.SyncDir(folder)
}

// fill writes a new file as a stream, durably but for its name.
func (r *Repo) fill(path string, perm fs.FileMode, write func(io.Writer) error) (err error) {
	f, err := r.opt.Files.Create(path, perm)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	b := bufio.NewWriterSize(f, 1<<16)
	if err := write(b); err != nil {
		return err
	}
	return errors.Join(b.Flush(), f.Sync())
}

// holdBundle holds what came against what the references lead to.
func (r *Repo) holdBundle(ctx context.Context, refs []Ref, kinds map[Hash]plumbing.ObjectType) error {
	look := func(path string, e entry) error {
		if !e.isTree() && e.mode != modeFile && e.mode != modeExec {
			return fmt.Errorf("%q is neither a file nor a folder (mode %o), and is not followed", path, e.mode)
		}
		return CheckPath(path)
	}
	found, err := r.search(ctx, refs, look)
	if err != nil {
		return err
	}
	for _, o := range found {
		if kind, there := kinds[o.id]; !there || kind != o.kind {
			return fmt.Errorf("object %s, a %s, is missing", o.id, o.kind)
		}
	}
	if len(found) != len(kinds) {
		return fmt.Errorf("%d objects came that no reference leads to", len(kinds)-len(found))
	}
	return nil
}

// nameAll gives branches and tags their names and puts HEAD on the branch that ends where it does.
func (r *Repo) nameAll(refs []Ref) error {
	branch := ""
	slices.SortFunc(refs[1:], func(a, b Ref) int { return strings.Compare(a.Name, b.Name) })
	var packed strings.Builder
	for _, ref := range refs[1:] {
		fmt.Fprintf(&packed, "%s %s\n", ref.ID, ref.Name)
		if ref.ID == refs[0].ID && strings.HasPrefix(ref.Name, "refs/heads/") && (branch == "" || ref.Name == "refs/heads/main") {
			branch = ref.Name
		}
	}
	if branch == "" {
		return &BadBundleError{errors.New("no branch ends where HEAD does")}
	}
	w := r.writer()
	if err := w.MkdirAll(r.own, 0o777); err != nil {
		return err
	}
	if _, err := w.Replace(filepath.Join(r.common, "packed-refs"), []byte(packed.String()), 0o666); err != nil {
		return err
	}
	_, err := w.Replace(filepath.Join(r.gitDir, "HEAD"), []byte("ref: "+branch+"\n"), 0o666)
	return err
}

// checkout writes the files of a commit into an empty work tree, one by one, and the index. Nothing is converted, whatever
// attributes say.
func (r *Repo) checkout(ctx context.Context, commit Hash) error {
	root, err := r.treeOf(commit)
	if err != nil {
		return err
	}
	ix := &gitIndex{}
	folders := dirSet{}
	if err := r.checkoutTree(ctx, root, "", ix, folders); err != nil {
		return err
	}
	slices.SortFunc(ix.entries, func(a, b indexEntry) int { return strings.Compare(a.name, b.name) })
	if err := folders.sync(r.opt.Files); err != nil {
		return err
	}
	_, err = r.writer().Replace(r.indexPath(), ix.encode(), 0o666)
	return err
}

func (r *Repo) checkoutTree(ctx context.Context, id Hash, at string, ix *gitIndex, folders dirSet) error {
	entries, err := r.tree(id)
	if err != nil {
		return err
	}
	if err := (atomicfile.Writer{Files: r.opt.Files}).MkdirAll(r.workPath(at), 0o777); err != nil {
		return err
	}
	folders.add(r.workPath(at))
	seen := map[string]string{}
	for _, e := range entries {
		if err := ctx.Err(); err != nil {
			return err
		}
		if other, twice := seen[foldName(e.name)]; twice {
			return &BadBundleError{fmt.Errorf("%q and %q are one file on some system", at+other, at+e.name)}
		}
		seen[foldName(e.name)] = e.name
		if e.isTree() {
			err = r.checkoutTree(ctx, e.id, at+e.name+"/", ix, folders)
		} else {
			err = r.checkoutFile(at+e.name, e, ix)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func (r *Repo) checkoutFile(name string, e entry, ix *gitIndex) error {
	data, err := r.objects.readAs(plumbing.BlobObject, e.id)
	if err != nil {
		return err
	}
	if len(ix.entries) >= mostFiles {
		return &BadBundleError{fmt.Errorf("it has more than %d files", mostFiles)}
	}
	err = r.fill(r.workPath(name), fs.FileMode(0o666|e.mode&0o111), func(w io.Writer) error { _, err := w.Write(data); return err })
	if err != nil {
		return err
	}
	info, err := r.opt.Files.Lstat(r.workPath(name))
	if err != nil {
		return err
	}
	ix.entries = append(ix.entries, newIndexEntry(name, e.id, e.mode, statOf(info)))
	return nil
}
