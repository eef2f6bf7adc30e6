package atomicfile

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"runtime"
)

// Pending is a file whose content is safe on disk and which only lacks its
// name. Exactly one of Install and Discard ends it; a second call does nothing.
type Pending struct {
	w          Writer
	file       File // nil once released
	temp, path string
	ended      bool
}

// Prepare writes and syncs the content that path is to have, without touching
// path. A target that is not a regular file is refused.
func (w Writer) Prepare(path string, data []byte, perm fs.FileMode) (*Pending, error) {
	info, err := w.regular(path)
	if err != nil {
		return nil, err
	}
	keep := fs.FileMode(0)
	if info != nil && execEqual(info.Mode(), perm) {
		keep = info.Mode().Perm()
	}
	return w.stage(path, data, perm, keep)
}

// Install gives the file its name, over whatever has that name, and syncs the folder.
func (p *Pending) Install() error { return p.moveAndSync(p.w.files().Rename) }

// Rename is Install without the sync of the folder, for a caller who installs
// several files and syncs each folder once (FS.SyncDir). Until then a power
// failure may bring the old file back.
func (p *Pending) Rename() error { return p.move(p.w.files().Rename) }

// Release gives the open handle back and with it the mark that the file is in
// use, so that any number of files can be pending. From then on the caller
// must see to it that nobody sweeps the folder.
func (p *Pending) Release() error {
	if p.file == nil {
		return nil
	}
	err := p.file.Close()
	p.file = nil
	return err
}

// Discard removes the temporary file. What cannot be removed is left to Sweep.
func (p *Pending) Discard() {
	if p == nil || p.ended {
		return
	}
	p.ended = true
	_ = p.Release()
	_ = p.w.files().Remove(p.temp)
}

func (w Writer) stage(path string, data []byte, perm, keep fs.FileMode) (*Pending, error) {
	dir := w.Temp
	if dir == "" {
		dir = filepath.Dir(path)
	}
	f, temp, err := w.createTemp(dir, perm)
	if err != nil {
		return nil, fmt.Errorf("write %s: %w", path, err)
	}
	p := &Pending{w: w, file: f, temp: temp, path: path}
	if err := fill(f, data, keep); err != nil {
		p.Discard()
		return nil, fmt.Errorf("write %s: %w", path, err)
	}
	return p, nil
}

// fill writes, sets the mode before the sync so that it is durable too, and syncs.
func fill(f File, data []byte, keep fs.FileMode) error {
	if _, err := f.Write(data); err != nil {
		return err
	}
	if keep != 0 {
		if err := f.Chmod(keep); err != nil {
			return err
		}
	}
	return f.Sync()
}

func (p *Pending) moveAndSync(how func(from, to string) error) error {
	if p.ended {
		return nil
	}
	if err := p.move(how); err != nil {
		return err
	}
	return p.w.files().SyncDir(filepath.Dir(p.path))
}

// move ends the pending file by bringing it to its name. The handle stays open
// meanwhile, and with it the mark that the file is in use; Windows cannot
// rename an open file, nor remove one, so there it is closed before.
func (p *Pending) move(how func(from, to string) error) error {
	if p.ended {
		return nil
	}
	if runtime.GOOS == "windows" {
		if err := p.Release(); err != nil {
			p.Discard()
			return err
		}
	}
	if err := how(p.temp, p.path); err != nil {
		p.Discard()
		return err
	}
	p.ended = true
	return p.Release()
}

// claim moves a temporary file to a name that must be free. A hard link does
// that in one step. Where the file system has none, the name is claimed by an
// empty file first: a crash in between leaves that empty file behind, which
// the next CreateSame reports as different.
func (w Writer) claim(from, to string) error {
	err := w.files().Link(from, to)
	if err == nil {
		return w.files().Remove(from)
	}
	if !noLinks(err) {
		return err
	}
	f, err := w.files().Create(to, 0o600)
	if err != nil {
		return err
	}
	if err := f.Close(); err != nil {
		return errors.Join(err, w.files().Remove(to))
	}
	if err := w.files().Rename(from, to); err != nil {
		return errors.Join(err, w.files().Remove(to))
	}
	return nil
}
