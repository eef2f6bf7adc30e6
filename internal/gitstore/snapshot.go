package gitstore

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strings"
	"time"

	"github.com/go-git/go-git/v5/plumbing"
)

// Snapshot is one commit's files, read from the repository's objects without a
// checkout. It implements fs.FS, fs.ReadDirFS, fs.ReadFileFS and fs.StatFS.
// Symlinks and submodules are shown as irregular files and never followed;
// opening one is an error. Every file read is checked against its id.
type Snapshot struct {
	repo  *Repo
	root  Hash
	when  time.Time
	trees *trees
}

var (
	_ fs.ReadDirFS  = (*Snapshot)(nil)
	_ fs.ReadFileFS = (*Snapshot)(nil)
	_ fs.StatFS     = (*Snapshot)(nil)
)

// ErrNotFollowed is the reason why a symlink or a submodule cannot be read.
var ErrNotFollowed = errors.New("symlinks and submodules are not followed")

// FS returns the files of a commit. Modification times are the commit's.
func (r *Repo) FS(commit Hash) (*Snapshot, error) {
	known, ok := r.proven.Load(commit)
	if !ok {
		c, err := r.ReadCommit(commit)
		if err != nil {
			return nil, err
		}
		known = filesOf{c.Tree, c.Committer.When}
	}
	of := known.(filesOf)
	return &Snapshot{repo: r, root: of.tree, when: of.when, trees: newTrees(r)}, nil
}

// Tree returns the id of the snapshot's tree, which changes with any file in it.
func (s *Snapshot) Tree() Hash { return s.root }

// BlobID returns the Git id of a file's bytes without reading them, or that of
// a folder's tree: a key for caches.
func (s *Snapshot) BlobID(name string) (Hash, error) {
	e, err := s.find("blobid", name)
	return e.id, err
}

// Open implements fs.FS.
func (s *Snapshot) Open(name string) (fs.File, error) {
	e, err := s.find("open", name)
	if err != nil {
		return nil, err
	}
	info := s.info(e)
	if e.isTree() {
		list, err := s.list(e)
		return &openDir{info: info, list: list}, pathError("open", name, err)
	}
	data, err := s.blob(e)
	if err != nil {
		return nil, pathError("open", name, err)
	}
	return &openFile{info: info, Reader: bytes.NewReader(data)}, nil
}

// ReadFile implements fs.ReadFileFS.
func (s *Snapshot) ReadFile(name string) ([]byte, error) {
	e, err := s.find("read", name)
	if err != nil {
		return nil, err
	}
	data, err := s.blob(e)
	return data, pathError("read", name, err)
}

// ReadDir implements fs.ReadDirFS, in order of name.
func (s *Snapshot) ReadDir(name string) ([]fs.DirEntry, error) {
	e, err := s.find("readdir", name)
	if err != nil {
		return nil, err
	}
	if !e.isTree() {
		return nil, pathError("readdir", name, errNotDir)
	}
	list, err := s.list(e)
	return list, pathError("readdir", name, err)
}

// Stat implements fs.StatFS. It is a stat of the entry itself.
func (s *Snapshot) Stat(name string) (fs.FileInfo, error) {
	e, err := s.find("stat", name)
	if err != nil {
		return nil, err
	}
	return s.info(e).Info()
}

func pathError(op, name string, err error) error {
	if err == nil {
		return nil
	}
	return &fs.PathError{Op: op, Path: name, Err: err}
}

func (s *Snapshot) find(op, name string) (entry, error) {
	if !fs.ValidPath(name) {
		return entry{}, pathError(op, name, fs.ErrInvalid)
	}
	e, err := s.trees.lookup(s.root, name)
	if err == nil && !e.exists() {
		err = fs.ErrNotExist
	}
	return e, pathError(op, name, err)
}

func (s *Snapshot) blob(e entry) ([]byte, error) {
	switch {
	case e.isTree():
		return nil, errors.New("is a folder")
	case !e.isFile():
		return nil, ErrNotFollowed
	}
	return s.repo.objects.readAs(plumbing.BlobObject, e.id)
}

func (s *Snapshot) list(e entry) ([]fs.DirEntry, error) {
	entries, err := s.trees.list(e.id)
	if err != nil {
		return nil, err
	}
	list := make([]fs.DirEntry, len(entries))
	for i, e := range entries {
		list[i] = s.info(e)
	}
	slices.SortFunc(list, func(a, b fs.DirEntry) int { return strings.Compare(a.Name(), b.Name()) })
	return list, nil
}

func (s *Snapshot) info(e entry) *snapshotInfo { return &snapshotInfo{s: s, e: e} }

// snapshotInfo is both fs.DirEntry and fs.FileInfo; a size is looked up by Info.
type snapshotInfo struct {
	s    *Snapshot
	e    entry
	size int64
}

func (i *snapshotInfo) Name() string       { return i.e.name }
func (i *snapshotInfo) IsDir() bool        { return i.e.isTree() }
func (i *snapshotInfo) Type() fs.FileMode  { return i.Mode().Type() }
func (i *snapshotInfo) Size() int64        { return i.size }
func (i *snapshotInfo) ModTime() time.Time { return i.s.when }
func (i *snapshotInfo) Sys() any           { return nil }
func (i *snapshotInfo) String() string     { return fs.FormatDirEntry(i) }

func (i *snapshotInfo) Mode() fs.FileMode {
	switch {
	case i.e.isTree():
		return fs.ModeDir | 0o555
	case i.e.mode&modeKind == modeSymlink:
		return fs.ModeSymlink | fs.ModeIrregular | 0o444
	case i.e.mode&modeKind == modeModule:
		return fs.ModeIrregular | 0o444
	case i.e.mode&0o100 != 0:
		return 0o555
	}
	return 0o444
}

func (i *snapshotInfo) Info() (fs.FileInfo, error) {
	full := *i
	if i.e.isFile() {
		n, err := i.s.repo.objects.size(i.e.id)
		if err != nil {
			return nil, fmt.Errorf("size of %s: %w", i.e.name, err)
		}
		full.size = n
	}
	return &full, nil
}

type openFile struct {
	info *snapshotInfo
	*bytes.Reader
}

func (f *openFile) Stat() (fs.FileInfo, error) { return f.info.Info() }
func (f *openFile) Close() error               { return nil }

type openDir struct {
	info *snapshotInfo
	list []fs.DirEntry
}

func (d *openDir) Stat() (fs.FileInfo, error) { return d.info.Info() }
func (d *openDir) Close() error               { return nil }

func (d *openDir) Read([]byte) (int, error) {
	return 0, pathError("read", d.info.e.name, errors.New("is a folder"))
}

func (d *openDir) ReadDir(n int) ([]fs.DirEntry, error) {
	if n > 0 && len(d.list) == 0 {
		return nil, io.EOF
	}
	if n <= 0 || n > len(d.list) {
		n = len(d.list)
	}
	part := d.list[:n]
	d.list = d.list[n:]
	return part, nil
}
