package gitstore

import (
	"bytes"
	"compress/zlib"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"boltback/internal/atomicfile"

	"github.com/go-git/go-git/v5/plumbing"
)

// objects reads from a repository's own object folder, and from no other: one that
// borrows through objects/info/alternates would have a reader open whatever
// place somebody wrote there. Its methods may be called by several goroutines at once.
type objects struct {
	mu    sync.Mutex
	dir   string // the repository's object folder
	packs packs
}

func openObjects(commonDir string) (*objects, error) {
	dir := filepath.Join(commonDir, "objects")
	if info, err := os.Lstat(dir); err != nil || !info.IsDir() {
		return nil, &RefusedError{Reason: "the object folder " + dir + " cannot be read", Remedy: "bring it back, or clone again"}
	}
	if err := borrows(dir); err != nil {
		return nil, err
	}
	return &objects{dir: dir, packs: packs{dir: dir}}, nil
}

// borrows refuses an object folder that names others to borrow from.
func borrows(dir string) error {
	list, err := readWithin(dir, "info/alternates")
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	for line := range strings.Lines(string(list)) {
		if line = strings.TrimSpace(line); line != "" && !strings.HasPrefix(line, "#") {
			return &RefusedError{Reason: "it borrows objects from " + line + ", and so does not hold its own history",
				Remedy: "if you know that folder, run git repack -a -d and remove objects/info/alternates"}
		}
	}
	return nil
}

func (o *objects) close() error {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.packs.close()
}

// MissingError says that an object is not in the repository.
type MissingError struct{ ID Hash }

// Error names the object.
func (e *MissingError) Error() string {
	return "object " + e.ID.String() + " is not in this repository; run git fsck to see what else is missing"
}

// read returns an object's type and bytes.
func (o *objects) read(id Hash) (kind plumbing.ObjectType, data []byte, err error) {
	err = o.find(id, func(p *pack, at int64) (err error) {
		kind, data, err = o.packs.object(p, at)
		return err
	}, func(l *loose) (err error) {
		kind = l.kind
		data, err = l.read()
		return err
	})
	return kind, data, err
}

// size is an object's size by what is stated of it.
func (o *objects) size(id Hash) (n int64, err error) {
	err = o.find(id, func(p *pack, at int64) (err error) {
		n, err = o.packs.sizeAt(p, at)
		return err
	}, func(l *loose) error {
		n = l.size
		return nil
	})
	return n, err
}

// find takes an object out of the pack that has it, or out of its own file. Packs may have been
// rewritten since the last look, so one that is not found is looked for once more.
func (o *objects) find(id Hash, inPack func(*pack, int64) error, alone func(*loose) error) error {
	o.mu.Lock()
	defer o.mu.Unlock()
	for again := range 2 {
		if again > 0 {
			if err := o.packs.look(); err != nil {
				return err
			}
		}
		p, at, err := o.packs.find(id)
		if err != nil {
			return err
		}
		if p != nil {
			if err := inPack(p, at); err != nil {
				return fmt.Errorf("object %s in pack %s: %w", id, p.name, err)
			}
			return nil
		}
		l, err := openLoose(o.dir, id)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err == nil {
			err = errors.Join(alone(l), l.file.Close())
		}
		if err != nil {
			return fmt.Errorf("object %s: %w", id, err)
		}
		return nil
	}
	return &MissingError{ID: id}
}

// ErrOtherKind says that an object is there and is of another kind than was asked for.
var ErrOtherKind = errors.New("another kind of object")

// readAs returns the bytes of an object that must have type t, after
// computing its id anew: what is relied on is what was asked for.
func (o *objects) readAs(t plumbing.ObjectType, id Hash) ([]byte, error) {
	data, err := o.readUnchecked(t, id)
	if err != nil {
		return nil, err
	}
	if got := idOf(t, data); got != id {
		return nil, fmt.Errorf("object %s is damaged: its content has the id %s", id, got)
	}
	return data, nil
}

// readUnchecked is readAs for walks over a history, which rest on the
// checksums of packs and of zlib alone.
func (o *objects) readUnchecked(t plumbing.ObjectType, id Hash) ([]byte, error) {
	got, data, err := o.read(id)
	if err == nil && got != t {
		err = fmt.Errorf("object %s is a %s where a %s is expected: %w", id, got, t, ErrOtherKind)
	}
	return data, err
}

// has reports whether an object is here.
func (o *objects) has(id Hash) bool {
	return o.find(id, func(*pack, int64) error { return nil }, func(*loose) error { return nil }) == nil
}

// withPrefix lists the objects whose id begins with the given hexadecimal digits, at least two.
func (o *objects) withPrefix(digits string) ([]Hash, error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	prefix, err := hex.DecodeString(digits[:len(digits)&^1])
	if err != nil {
		return nil, err
	}
	found, err := o.packs.withPrefix(prefix)
	if err != nil {
		return nil, err
	}
	single, err := looseWithPrefix(o.dir, digits)
	if err != nil {
		return nil, err
	}
	found = slices.DeleteFunc(append(found, single...), func(id Hash) bool { return !strings.HasPrefix(id.String(), digits) })
	slices.SortFunc(found, func(a, b Hash) int { return bytes.Compare(a[:], b[:]) })
	return slices.Compact(found), nil
}

// object is one that is about to be written.
type object struct {
	kind plumbing.ObjectType
	id   Hash
	data []byte
}

func newObject(kind plumbing.ObjectType, data []byte) object {
	return object{kind: kind, id: idOf(kind, data), data: data}
}

// batch bounds how many objects are written at once, each with an open file.
const batch = 64

// write stores objects as loose files, durably. An object that is there
// already is made young again, so that a garbage collection does not take it
// before a branch leads to it.
func (o *objects) write(w atomicfile.Writer, objs []object) error {
	dirs := dirSet{}
	z := zlib.NewWriter(nil)
	for part := range slices.Chunk(objs, batch) {
		if err := o.writeBatch(w, z, part, dirs); err != nil {
			return err
		}
	}
	return dirs.sync(w.Files)
}

// writeBatch writes first all bytes, then all names; the folders are left to
// be synced, each of them once, which is what a disk does fastest.
func (o *objects) writeBatch(w atomicfile.Writer, z *zlib.Writer, objs []object, dirs dirSet) error {
	var pending []*atomicfile.Pending
	defer func() {
		for _, p := range pending {
			p.Discard()
		}
	}()
	for _, obj := range objs {
		path := filepath.Join(o.dir, obj.id.String()[:2], obj.id.String()[2:])
		if freshen(path) {
			continue
		}
		switch err := w.Files.Mkdir(filepath.Dir(path), 0o777); {
		case err == nil:
			dirs.add(o.dir)
		case !errors.Is(err, fs.ErrExist):
			return err
		}
		p, err := w.Prepare(path, obj.compressed(z), 0o444)
		if err != nil {
			return err
		}
		pending = append(pending, p)
		dirs.add(filepath.Dir(path))
	}
	for _, p := range pending {
		if err := p.Rename(); err != nil {
			return err
		}
	}
	return nil
}

func freshen(path string) bool {
	now := time.Now()
	return os.Chtimes(path, now, now) == nil
}

// compressed returns the bytes of the object's loose file.
func (o object) compressed(z *zlib.Writer) []byte {
	var buf bytes.Buffer
	z.Reset(&buf)
	// Writing to memory does not fail.
	_, _ = fmt.Fprintf(z, "%s %d\x00", o.kind, len(o.data))
	_, _ = z.Write(o.data)
	_ = z.Close()
	return buf.Bytes()
}

// dirSet is a set of folders that hold new names.
type dirSet map[string]bool

func (d dirSet) add(dir string) { d[dir] = true }

// sync makes the names durable, in a fixed order, and forgets the folders.
func (d dirSet) sync(files atomicfile.FS) error {
	for _, dir := range slices.Sorted(maps.Keys(d)) {
		if err := files.SyncDir(dir); err != nil {
			return err
		}
	}
	clear(d)
	return nil
}
