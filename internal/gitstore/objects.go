package gitstore

import (
	"bytes"
	"compress/zlib"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"boltback/internal/atomicfile"

	"github.com/go-git/go-billy/v5/osfs"
	"github.com/go-git/go-git/v5/plumbing"
	"github.com/go-git/go-git/v5/plumbing/cache"
	"github.com/go-git/go-git/v5/storage/filesystem"
	"github.com/go-git/go-git/v5/storage/filesystem/dotgit"
)

// objects reads from a repository's own object folder, and from no other: one that
// borrows through objects/info/alternates would have a reader open whatever
// place somebody wrote there. The reader underneath is not safe for concurrent use,
// so mu guards it.
type objects struct {
	mu    sync.Mutex
	dir   string // the repository's object folder
	store *filesystem.ObjectStorage
}

func openObjects(commonDir string) (*objects, error) {
	dir := filepath.Join(commonDir, "objects")
	if info, err := os.Stat(dir); err != nil || !info.IsDir() {
		return nil, &RefusedError{Reason: "the object folder " + dir + " cannot be read", Remedy: "bring it back, or clone again"}
	}
	if err := borrows(dir); err != nil {
		return nil, err
	}
	git := dotgit.NewWithOptions(osfs.New(filepath.Dir(dir)), dotgit.Options{})
	return &objects{dir: dir, store: filesystem.NewObjectStorageWithOptions(git, cache.NewObjectLRUDefault(), filesystem.Options{KeepDescriptors: true})}, nil
}

// borrows refuses an object folder that names others to borrow from.
func borrows(dir string) error {
	list, err := os.ReadFile(filepath.Join(dir, "info", "alternates"))
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
	return o.store.Close()
}

// MissingError says that an object is not in the repository.
type MissingError struct{ ID Hash }

// Error names the object.
func (e *MissingError) Error() string {
	return "object " + e.ID.String() + " is not in this repository; run git fsck to see what else is missing"
}

// read returns an object's type and bytes. Packs may have been rewritten since
// the last look, so an object that is not found is looked for once more.
func (o *objects) read(id Hash) (plumbing.ObjectType, []byte, error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	t, data, err := o.find(id)
	if errors.Is(err, plumbing.ErrObjectNotFound) || errors.Is(err, fs.ErrNotExist) {
		o.store.Reindex()
		t, data, err = o.find(id)
	}
	if errors.Is(err, plumbing.ErrObjectNotFound) {
		return 0, nil, &MissingError{ID: id}
	}
	if err != nil {
		return 0, nil, fmt.Errorf("object %s: %w", id, err)
	}
	return t, data, nil
}

func (o *objects) find(id Hash) (plumbing.ObjectType, []byte, error) {
	obj, err := o.store.EncodedObject(plumbing.AnyObject, plumbing.Hash(id))
	if err != nil {
		return 0, nil, err
	}
	r, err := obj.Reader()
	if err != nil {
		return 0, nil, err
	}
	// The size is a claim of whoever packed the object; beyond a megabyte it has to be borne out.
	data := bytes.NewBuffer(make([]byte, 0, bytes.MinRead+min(max(obj.Size(), 0), 1<<20)))
	_, err = data.ReadFrom(r)
	return obj.Type(), data.Bytes(), errors.Join(err, r.Close())
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
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.store.HasEncodedObject(plumbing.Hash(id)) == nil
}

func (o *objects) size(id Hash) (int64, error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	n, err := o.store.EncodedObjectSize(plumbing.Hash(id))
	if errors.Is(err, plumbing.ErrObjectNotFound) {
		return 0, &MissingError{ID: id}
	}
	return n, err
}

// withPrefix lists the objects whose id begins with the given hexadecimal digits.
func (o *objects) withPrefix(digits string) ([]Hash, error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	prefix := make([]byte, 0, 20)
	for i := 0; i+2 <= len(digits); i += 2 {
		b, err := strconv.ParseUint(digits[i:i+2], 16, 8)
		if err != nil {
			return nil, err
		}
		prefix = append(prefix, byte(b))
	}
	seen := map[Hash]bool{}
	var found []Hash
	ids, err := o.store.HashesWithPrefix(prefix)
	if err != nil {
		return nil, err
	}
	for _, id := range ids {
		h := Hash(id)
		if strings.HasPrefix(h.String(), digits) && !seen[h] {
			seen[h] = true
			found = append(found, h)
		}
	}
	return found, nil
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
