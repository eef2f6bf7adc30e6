// Package atomicfile puts whole files on disk so that a reader, a crash or a
// full disk sees the old content or the new content, never a mixture.
//
// There are three ways to write and no fourth: Create (the name must be free),
// CreateSame (the name is free or already holds these bytes) and Replace.
// Each writes a temporary file, sets its mode, syncs it, moves it to its name
// and syncs the folder. Whoever is told "done" may pull the plug. A temporary
// file is removed on every failure; one left by a crash is recognised by its
// name and removed by Sweep. Prepare splits a replacement in two, for a caller
// who wants several files safely on disk before the first one changes its name.
//
// Permissions are given as for os.OpenFile, before the umask. A file that is
// replaced keeps the permissions that it has, unless the owner's right to
// execute it changes.
package atomicfile

import (
	"bytes"
	"errors"
	"io/fs"
	"path/filepath"
)

// ErrDiffers is returned by CreateSame when the name is taken by other content.
var ErrDiffers = errors.New("a file with other content is already there")

// ErrNotRegular is returned when the target is a symlink, a folder or a
// device: replacing it would destroy something that is not a file of ours.
var ErrNotRegular = errors.New("not a regular file")

// Writer writes files durably. The zero value uses the operating system and
// keeps temporary files beside their targets.
type Writer struct {
	// Files is where the operations go; nil is the operating system.
	Files FS
	// Temp is the folder for temporary files, on the same file system as every
	// target. Empty means the target's own folder.
	Temp string
}

// Create writes a new file; the error is fs.ErrExist if the name is taken, by
// anything at all.
func Create(path string, data []byte, perm fs.FileMode) error {
	return Writer{}.Create(path, data, perm)
}

// CreateSame writes a new file, or finds that the very same bytes are there
// already. It reports whether it wrote.
func CreateSame(path string, data []byte, perm fs.FileMode) (changed bool, err error) {
	return Writer{}.CreateSame(path, data, perm)
}

// Replace writes a file whether or not it exists, and reports whether bytes
// or the right to execute changed.
func Replace(path string, data []byte, perm fs.FileMode) (changed bool, err error) {
	return Writer{}.Replace(path, data, perm)
}

// Create is the exclusive write; see the function Create.
func (w Writer) Create(path string, data []byte, perm fs.FileMode) error {
	p, err := w.stage(path, data, perm, 0)
	if err != nil {
		return err
	}
	return p.moveAndSync(w.claim)
}

// CreateSame is the write that tolerates itself; see the function CreateSame.
func (w Writer) CreateSame(path string, data []byte, perm fs.FileMode) (bool, error) {
	err := w.Create(path, data, perm)
	if !errors.Is(err, fs.ErrExist) {
		return err == nil, err
	}
	same, err := w.holds(path, data)
	if err != nil {
		return false, err
	}
	if !same {
		return false, &fs.PathError{Op: "create", Path: path, Err: ErrDiffers}
	}
	return false, w.files().SyncDir(filepath.Dir(path))
}

// Replace writes over what is there; see the function Replace.
func (w Writer) Replace(path string, data []byte, perm fs.FileMode) (bool, error) {
	info, err := w.regular(path)
	if err != nil {
		return false, err
	}
	if info != nil && execEqual(info.Mode(), perm) {
		same, err := w.holds(path, data)
		if err != nil {
			return false, err
		}
		if same {
			// The writer before us may have died between rename and sync.
			return false, w.files().SyncDir(filepath.Dir(path))
		}
	}
	p, err := w.Prepare(path, data, perm)
	if err != nil {
		return false, err
	}
	err = p.Install()
	return err == nil, err
}

// regular returns what lies at path, nil if nothing does.
func (w Writer) regular(path string) (fs.FileInfo, error) {
	info, err := w.files().Lstat(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, &fs.PathError{Op: "write", Path: path, Err: ErrNotRegular}
	}
	return info, nil
}

// holds reports whether path is a regular file with exactly these bytes.
func (w Writer) holds(path string, data []byte) (bool, error) {
	info, err := w.regular(path)
	if err != nil || info == nil || info.Size() != int64(len(data)) {
		return false, err
	}
	old, err := w.files().ReadFile(path)
	return bytes.Equal(old, data), err
}

func execEqual(a, b fs.FileMode) bool { return a&0o100 == b&0o100 }

func (w Writer) files() FS {
	if w.Files == nil {
		return OS{}
	}
	return w.Files
}

// MkdirAll creates a folder and the missing ones above it, and syncs the
// folder each of them was made in. A symlink in the way is ErrNotRegular.
func (w Writer) MkdirAll(dir string, perm fs.FileMode) error {
	info, err := w.files().Lstat(dir)
	if err == nil && info.IsDir() {
		return nil
	}
	if err == nil {
		return &fs.PathError{Op: "mkdir", Path: dir, Err: ErrNotRegular}
	}
	if !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	parent := filepath.Dir(dir)
	if parent != dir {
		if err := w.MkdirAll(parent, perm); err != nil {
			return err
		}
	}
	if err := w.files().Mkdir(dir, perm); err != nil && !errors.Is(err, fs.ErrExist) {
		return err
	}
	return w.files().SyncDir(parent)
}
