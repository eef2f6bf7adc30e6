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
	if len(data) == 0 {
		return nil, nil
	}
	text, at := string(data), 0 // the names are parts of it
	entries := make([]entry, 0, 1+len(data)/usualLine)
	for at < len(data) {
		l, err := cutLineOfTree(data[at:])
		if err != nil {
			return nil, err
		}
		e := entry{mode: l.mode, name: text[at+l.name : at+l.id-1]}
		copy(e.id[:], data[at+l.id:])
		entries = append(entries, e)
		at += l.end
	}
	return entries, nil
}

// usualLine is about how many bytes a line of a tree takes.
const usualLine = 35

// treeLine is the first line of some bytes of a tree: its mode, and where its
// name, its id and the next line begin.
type treeLine struct {
	mode          uint32
	name, id, end int
}

// cutLineOfTree takes the first line apart, which must be such as a folder can have.
func cutLineOfTree(data []byte) (l treeLine, err error) {
	space, zero := bytes.IndexByte(data, ' '), bytes.IndexByte(data, 0)
	l.name, l.id, l.end = space+1, zero+1, zero+1+len(Hash{})
	if space < 0 || zero < space || l.end > len(data) {
		return l, errors.New("a tree is cut short")
	}
	mode, name := data[:space], data[l.name:zero]
	for _, c := range mode {
		if c < '0' || c > '7' || len(mode) > 6 {
			return l, fmt.Errorf("a tree has the mode %q, which is not octal", mode)
		}
		l.mode = l.mode<<3 | uint32(c-'0')
	}
	if l.mode == 0 || len(name) == 0 || string(name) == "." || string(name) == ".." || bytes.IndexByte(name, '/') >= 0 {
		return l, fmt.Errorf("a tree has the entry %q with mode %q", name, mode)
	}
	return l, nil
}

// checkTree says what parseTree would.
func checkTree(data []byte) error {
	for len(data) > 0 {
		l, err := cutLineOfTree(data)
		if err != nil {
			return err
		}
		data = data[l.end:]
	}
	return nil
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
	data, err := treeBytes(id, read)
	if err != nil {
		return nil, err
	}
	entries, err := parseTree(data)
	return entries, ofTree(id, err)
}

func treeBytes(id Hash, read func(plumbing.ObjectType, Hash) ([]byte, error)) ([]byte, error) {
	if id.IsZero() || id == emptyTree {
		return nil, nil
	}
	return read(plumbing.TreeObject, id)
}

// ofTree says in which tree something is wrong.
func ofTree(id Hash, err error) error {
	if err != nil {
		err = fmt.Errorf("tree %s: %w", id, err)
	}
	return err
}

// trees reads each tree once and keeps it, for what has an id does not change.
// It may be used by several goroutines at once.
type trees struct {
	repo  *Repo
	mu    sync.Mutex
	known map[Hash][]byte // sound, and not to be changed
}

func newTrees(r *Repo) *trees { return &trees{repo: r, known: map[Hash][]byte{}} }

// get returns a tree's bytes, of which parseTree has nothing to say.
func (t *trees) get(id Hash) ([]byte, error) {
	t.mu.Lock()
	data, ok := t.known[id]
	t.mu.Unlock()
	if ok {
		return data, nil
	}
	data, err := treeBytes(id, t.repo.objects.readAs)
	if err != nil {
		return nil, err
	}
	if err := checkTree(data); err != nil {
		return nil, ofTree(id, err)
	}
	t.mu.Lock()
	t.known[id] = data
	t.mu.Unlock()
	return data, nil
}

// list returns a tree's entries.
func (t *trees) list(id Hash) ([]entry, error) {
	data, err := t.get(id)
	if err != nil {
		return nil, err
	}
	return parseTree(data)
}

// lookup returns the entry with a slash-separated path below a tree, an entry
// with mode 0 if there is none. The path "." is the tree itself.
func (t *trees) lookup(root Hash, name string) (entry, error) {
	at := entry{mode: modeTree, name: ".", id: root}
	if name == "." {
		return at, nil
	}
	for more := true; more; {
		if !at.isTree() {
			return entry{}, nil
		}
		data, err := t.get(at.id)
		if err != nil {
			return entry{}, err
		}
		var part string
		part, name, more = strings.Cut(name, "/")
		if at, err = scanTree(data, part); err != nil || !at.exists() {
			return at, err
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
		if at := bytes.IndexByte(data[:end], ' '); string(data[at+1:end]) == name {
			l, err := cutLineOfTree(data)
			if err != nil {
				return entry{}, err
			}
			e := entry{mode: l.mode, name: name}
			copy(e.id[:], data[l.id:])
			return e, nil
		}
		data = data[end+1+len(Hash{}):]
	}
	return entry{}, nil
}
