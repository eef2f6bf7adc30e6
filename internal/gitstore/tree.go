package gitstore

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"sync"

	"github.com/go-git/go-git/v5/plumbing"
)

// The modes that Git gives to tree entries.
const (
	modeTree    = 0o040000
	modeFile    = 0o100644
	modeExec    = 0o100755
	modeSymlink = 0o120000
	modeModule  = 0o160000
	modeKind    = 0o170000
)

// emptyTree is the id of a tree without entries, which need not be stored.
var emptyTree = Hash{0x4b, 0x82, 0x5d, 0xc6, 0x42, 0xcb, 0x6e, 0xb9, 0xa0, 0x60, 0xe5, 0x4b, 0xf8, 0xd6, 0x92, 0x88, 0xfb, 0xee, 0x49, 0x04}

// entry is one line of a tree: a name without slashes, what it is, its object.
type entry struct {
	mode uint32
	name string
	id   Hash
}

func (e entry) isTree() bool { return e.mode&modeKind == modeTree }
func (e entry) isFile() bool { return e.mode&modeKind == 0o100000 }
func (e entry) exists() bool { return e.mode != 0 }

// parseTree reads a tree object. Names that could leave their folder are
// errors: a tree may come from a stranger.
func parseTree(data []byte) ([]entry, error) {
	var entries []entry
	for len(data) > 0 {
		e, rest, err := parseEntry(data)
		if err != nil {
			return nil, err
		}
		entries = append(entries, e)
		data = rest
	}
	return entries, nil
}

func parseEntry(data []byte) (e entry, rest []byte, err error) {
	head, rest, ok := bytes.Cut(data, []byte{0})
	mode, name, spaced := strings.Cut(string(head), " ")
	if !ok || !spaced || len(rest) < len(e.id) {
		return e, nil, errors.New("a tree is cut short")
	}
	for _, c := range []byte(mode) {
		if c < '0' || c > '7' || len(mode) > 6 {
			return e, nil, fmt.Errorf("a tree has the mode %q, which is not octal", mode)
		}
		e.mode = e.mode<<3 | uint32(c-'0')
	}
	if e.mode == 0 || name == "" || name == "." || name == ".." || strings.ContainsAny(name, "/\x00") {
		return e, nil, fmt.Errorf("a tree has the entry %q with mode %q", name, mode)
	}
	e.name = name
	copy(e.id[:], rest)
	return e, rest[len(e.id):], nil
}

// encodeTree writes entries, which must be in Git's order, as a tree object.
func encodeTree(entries []entry) []byte {
	var b bytes.Buffer
	for _, e := range entries {
		fmt.Fprintf(&b, "%o %s\x00", e.mode, e.name)
		b.Write(e.id[:])
	}
	return b.Bytes()
}

// compareEntries is Git's order of tree entries: by bytes, where a folder
// counts as if its name ended with a slash.
func compareEntries(a, b entry) int {
	return strings.Compare(sortName(a), sortName(b))
}

func sortName(e entry) string {
	if e.isTree() {
		return e.name + "/"
	}
	return e.name
}

// tree reads and parses a tree, whose id is computed anew; the zero id is the empty tree.
func (r *Repo) tree(id Hash) ([]entry, error) { return parsedTree(id, r.objects.readAs) }

// treeUnchecked is tree for walks over a history.
func (r *Repo) treeUnchecked(id Hash) ([]entry, error) {
	return parsedTree(id, r.objects.readUnchecked)
}

func parsedTree(id Hash, read func(plumbing.ObjectType, Hash) ([]byte, error)) ([]entry, error) {
	if id.IsZero() || id == emptyTree {
		return nil, nil
	}
	data, err := read(plumbing.TreeObject, id)
	if err != nil {
		return nil, err
	}
	entries, err := parseTree(data)
	if err != nil {
		return nil, fmt.Errorf("tree %s: %w", id, err)
	}
	return entries, nil
}

// trees reads each tree once and keeps it, for what has an id does not change.
// It may be used by several goroutines at once.
type trees struct {
	repo  *Repo
	mu    sync.Mutex
	known map[Hash][]entry
}

func newTrees(r *Repo) *trees { return &trees{repo: r, known: map[Hash][]entry{}} }

// get returns a tree's entries, which must not be changed.
func (t *trees) get(id Hash) ([]entry, error) {
	t.mu.Lock()
	entries, ok := t.known[id]
	t.mu.Unlock()
	if ok {
		return entries, nil
	}
	entries, err := t.repo.tree(id)
	if err != nil {
		return nil, err
	}
	t.mu.Lock()
	t.known[id] = entries
	t.mu.Unlock()
	return entries, nil
}

// lookup returns the entry with a slash-separated path below a tree, an entry
// with mode 0 if there is none. The path "." is the tree itself.
func (t *trees) lookup(root Hash, name string) (entry, error) {
	at := entry{mode: modeTree, name: ".", id: root}
	if name == "." {
		return at, nil
	}
	for part := range strings.SplitSeq(name, "/") {
		if !at.isTree() {
			return entry{}, nil
		}
		entries, err := t.get(at.id)
		if err != nil {
			return entry{}, err
		}
		at = find(entries, part)
		if !at.exists() {
			return at, nil
		}
	}
	return at, nil
}

func find(entries []entry, name string) entry {
	for _, e := range entries {
		if e.name == name {
			return e
		}
	}
	return entry{}
}

// scanTree finds one name in a tree object without parsing the others.
func scanTree(data []byte, name string) (entry, error) {
	for len(data) > 0 {
		end := bytes.IndexByte(data, 0)
		if end < 0 || end+1+len(Hash{}) > len(data) {
			return entry{}, errors.New("a tree is cut short")
		}
		next := end + 1 + len(Hash{})
		if at := bytes.IndexByte(data[:end], ' '); string(data[at+1:end]) == name {
			e, _, err := parseEntry(data[:next])
			return e, err
		}
		data = data[next:]
	}
	return entry{}, nil
}
