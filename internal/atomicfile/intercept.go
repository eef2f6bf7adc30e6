package atomicfile

import "io/fs"

// Op is one operation about to be done: its verb (create, append, write,
// chmod, sync, truncate, close, lstat, read, list, mkdir, link, rename, remove,
// sync-dir) and the path it concerns (the new name for link and rename).
type Op struct {
	Verb string
	Path string
}

// Changes reports whether the operation can alter what is on disk.
func (o Op) Changes() bool {
	switch o.Verb {
	case "lstat", "read", "list", "close":
		return false
	}
	return true
}

// Intercept returns a file system that calls before ahead of each operation of
// base. If before returns an error the operation fails with it and is not
// done, with two exceptions that imitate a disk: a write then still puts down
// the first half of its bytes, and a close still gives the handle back.
func Intercept(base FS, before func(Op) error) FS { return intercepted{base, before} }

type intercepted struct {
	base   FS
	before func(Op) error
}

type interceptedFile struct {
	File
	name   string
	before func(Op) error
}

func (i intercepted) Create(name string, perm fs.FileMode) (File, error) {
	if err := i.before(Op{"create", name}); err != nil {
		return nil, err
	}
	f, err := i.base.Create(name, perm)
	return i.wrap(f, name, err)
}

func (i intercepted) Append(name string, perm fs.FileMode) (File, error) {
	if err := i.before(Op{"append", name}); err != nil {
		return nil, err
	}
	f, err := i.base.Append(name, perm)
	return i.wrap(f, name, err)
}

func (i intercepted) wrap(f File, name string, err error) (File, error) {
	if err != nil {
		return nil, err
	}
	return interceptedFile{f, name, i.before}, nil
}

func (i intercepted) Lstat(name string) (fs.FileInfo, error) {
	if err := i.before(Op{"lstat", name}); err != nil {
		return nil, err
	}
	return i.base.Lstat(name)
}

func (i intercepted) ReadFile(name string) ([]byte, error) {
	if err := i.before(Op{"read", name}); err != nil {
		return nil, err
	}
	return i.base.ReadFile(name)
}

func (i intercepted) ReadDir(name string) ([]fs.DirEntry, error) {
	if err := i.before(Op{"list", name}); err != nil {
		return nil, err
	}
	return i.base.ReadDir(name)
}

func (i intercepted) Mkdir(name string, perm fs.FileMode) error {
	return i.then("mkdir", name, func() error { return i.base.Mkdir(name, perm) })
}

func (i intercepted) Link(from, to string) error {
	return i.then("link", to, func() error { return i.base.Link(from, to) })
}

func (i intercepted) Rename(from, to string) error {
	return i.then("rename", to, func() error { return i.base.Rename(from, to) })
}

func (i intercepted) Remove(name string) error {
	return i.then("remove", name, func() error { return i.base.Remove(name) })
}

func (i intercepted) RemoveAbandoned(name string) (bool, error) {
	if err := i.before(Op{"remove", name}); err != nil {
		return false, err
	}
	return i.base.RemoveAbandoned(name)
}

func (i intercepted) SyncDir(name string) error {
	return i.then("sync-dir", name, func() error { return i.base.SyncDir(name) })
}

func (i intercepted) then(verb, path string, do func() error) error {
	if err := i.before(Op{verb, path}); err != nil {
		return err
	}
	return do()
}

func (f interceptedFile) Write(p []byte) (int, error) {
	if err := f.before(Op{"write", f.name}); err != nil {
		n, _ := f.File.Write(p[:len(p)/2])
		return n, err
	}
	return f.File.Write(p)
}

func (f interceptedFile) Chmod(mode fs.FileMode) error {
	return f.then("chmod", func() error { return f.File.Chmod(mode) })
}

func (f interceptedFile) Sync() error { return f.then("sync", f.File.Sync) }

func (f interceptedFile) Truncate(size int64) error {
	return f.then("truncate", func() error { return f.File.Truncate(size) })
}

func (f interceptedFile) Close() error {
	if err := f.before(Op{"close", f.name}); err != nil {
		_ = f.File.Close()
		return err
	}
	return f.File.Close()
}

func (f interceptedFile) then(verb string, do func() error) error {
	if err := f.before(Op{verb, f.name}); err != nil {
		return err
	}
	return do()
}
