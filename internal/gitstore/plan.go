package gitstore

import (
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"github.com/go-git/go-git/v5/plumbing"
)

// edit is a checked change: the object that a path is to hold.
type edit struct {
	path   string
	blob   object
	mode   uint32 // 0 keeps what is there
	delete bool
}

// editsOf checks changes and brings them into the order of paths.
func editsOf(changes []Change) ([]edit, error) {
	if len(changes) == 0 {
		return nil, fmt.Errorf("a commit needs at least one path")
	}
	edits := make([]edit, 0, len(changes))
	for _, c := range changes {
		if err := CheckPath(c.Path); err != nil {
			return nil, err
		}
		e := edit{path: c.Path, delete: c.Delete}
		if !c.Delete {
			e.blob = newObject(plumbing.BlobObject, c.Content)
		}
		switch {
		case c.Mode.Type() != 0:
			return nil, &BadPathError{Path: c.Path, Reason: fmt.Sprintf("only regular files are committed, not %s", c.Mode)}
		case c.Mode&0o111 != 0:
			e.mode = modeExec
		case c.Mode != 0:
			e.mode = modeFile
		}
		edits = append(edits, e)
	}
	slices.SortFunc(edits, func(a, b edit) int { return strings.Compare(a.path, b.path) })
	for i := 1; i < len(edits); i++ {
		if edits[i].path == edits[i-1].path {
			return nil, &BadPathError{Path: edits[i].path, Reason: "it is given twice in one commit"}
		}
	}
	return edits, nil
}

// treeBuilder makes the trees that differ from an older tree, and no others.
type treeBuilder struct {
	repo    *Repo
	objects []object
}

// apply returns the id of a tree after edits, whose paths start below dir; the
// zero id if nothing is left in it.
func (b *treeBuilder) apply(dir string, id Hash, edits []edit) (Hash, error) {
	old, err := b.repo.tree(id)
	if err != nil {
		return Hash{}, err
	}
	level := folder{dir: dir, entries: slices.Clone(old)}
	for len(edits) > 0 {
		name, _, _ := strings.Cut(edits[0].path[len(dir):], "/")
		n := 1
		for n < len(edits) && strings.HasPrefix(edits[n].path, dir+name+"/") {
			n++
		}
		was := find(level.entries, name)
		now, err := b.entry(dir, name, was, edits[:n])
		if err != nil {
			return Hash{}, err
		}
		if err := level.replace(was, now); err != nil {
			return Hash{}, err
		}
		edits = edits[n:]
	}
	if len(level.entries) == 0 {
		return Hash{}, nil
	}
	slices.SortFunc(level.entries, compareEntries)
	tree := newObject(plumbing.TreeObject, encodeTree(level.entries))
	if tree.id != id {
		b.objects = append(b.objects, tree)
	}
	return tree.id, nil
}

// entry returns what one name in a tree becomes, mode 0 if it goes.
func (b *treeBuilder) entry(dir, name string, was entry, edits []edit) (entry, error) {
	e := edits[0]
	if e.path != dir+name {
		return b.subfolder(dir+name, was, edits)
	}
	switch {
	case len(edits) > 1:
		return entry{}, &BadPathError{Path: e.path, Reason: "it would be a file and a folder at once"}
	case was.isTree():
		return entry{}, &BadPathError{Path: e.path, Reason: "there is a folder of that name"}
	case was.exists() && !was.isFile():
		return entry{}, &BadPathError{Path: e.path, Reason: "there is a symlink or submodule of that name"}
	case e.delete:
		return entry{}, nil
	}
	now := entry{mode: e.mode, name: name, id: e.blob.id}
	switch {
	case now.mode == 0 && was.exists():
		now.mode = was.mode
	case now.mode == 0:
		now.mode = modeFile
	}
	return now, nil
}

func (b *treeBuilder) subfolder(path string, was entry, edits []edit) (entry, error) {
	if was.exists() && !was.isTree() {
		return entry{}, &BadPathError{Path: edits[0].path, Reason: path + " is not a folder"}
	}
	id, err := b.apply(path+"/", was.id, edits)
	if err != nil || id.IsZero() {
		return entry{}, err
	}
	return entry{mode: modeTree, name: path[strings.LastIndex(path, "/")+1:], id: id}, nil
}

// folder is a tree in the making.
type folder struct {
	dir     string
	entries []entry
	folded  map[string]string // names by what case-blind systems make of them
}

// replace puts now in the place of was. A new name must not be one that
// another system would mix up with a name that is there.
func (f *folder) replace(was, now entry) error {
	switch {
	case was.exists() && now.exists():
		f.entries[slices.Index(f.entries, was)] = now
	case was.exists():
		i := slices.Index(f.entries, was)
		f.entries = slices.Delete(f.entries, i, i+1)
		delete(f.folded, foldName(was.name))
	case now.exists():
		return f.add(now)
	}
	return nil
}

func (f *folder) add(now entry) error {
	if f.folded == nil {
		f.folded = make(map[string]string, len(f.entries))
		for _, e := range f.entries {
			f.folded[foldName(e.name)] = e.name
		}
	}
	key := foldName(now.name)
	if other, taken := f.folded[key]; taken {
		return &BadPathError{Path: f.dir + now.name, Reason: "it is the same file as " + f.dir + other + " where case does not count"}
	}
	f.folded[key] = now.name
	f.entries = append(f.entries, now)
	return nil
}

// plan is a commit that is ready but for its branch.
type plan struct {
	parent  Hash // zero for the first commit
	tree    Hash
	before  Hash // the parent's tree
	commit  Hash
	objects []object
}

func (p plan) unchanged() bool { return p.tree == p.before && !p.parent.IsZero() }

// planOn builds, signs and names the commit that applies edits to parent.
func (r *Repo) planOn(parent Hash, edits []edit, req Request) (plan, error) {
	before, err := r.treeOf(parent)
	if err != nil {
		return plan{}, err
	}
	b := treeBuilder{repo: r}
	tree, err := b.apply("", before, edits)
	if err != nil {
		return plan{}, err
	}
	if tree.IsZero() {
		empty := newObject(plumbing.TreeObject, nil)
		tree, b.objects = empty.id, append(b.objects, empty)
	}
	p := plan{parent: parent, tree: tree, before: before}
	if p.unchanged() {
		return p, nil
	}
	for _, e := range edits {
		if !e.delete {
			p.objects = append(p.objects, e.blob)
		}
	}
	p.objects = append(p.objects, b.objects...)
	raw, err := req.encode(tree, parent)
	if err != nil {
		return plan{}, err
	}
	commit := newObject(plumbing.CommitObject, raw)
	p.commit, p.objects = commit.id, append(p.objects, commit)
	return p, nil
}

// encode makes the commit object's bytes and has them signed.
func (q Request) encode(tree, parent Hash) ([]byte, error) {
	var parents []Hash
	if !parent.IsZero() {
		parents = []Hash{parent}
	}
	payload := encodeCommit(tree, parents, q.Author, q.Committer, q.Message)
	if q.Signer == nil {
		return payload, nil
	}
	armored, err := q.Signer(slices.Clone(payload))
	if err != nil {
		return nil, fmt.Errorf("sign the commit: %w", err)
	}
	if strings.TrimSpace(armored) == "" {
		return nil, fmt.Errorf("sign the commit: the signature is empty")
	}
	return withSignature(payload, armored), nil
}

// treeOf returns the tree of a commit, the zero id for no commit.
func (r *Repo) treeOf(commit Hash) (Hash, error) {
	if commit.IsZero() {
		return Hash{}, nil
	}
	c, err := r.ReadCommit(commit)
	if err != nil {
		return Hash{}, err
	}
	return c.Tree, nil
}

// workMode is the permission for a file in the work tree, before the umask.
func workMode(mode uint32) fs.FileMode {
	if mode == modeExec {
		return 0o777
	}
	return 0o666
}
