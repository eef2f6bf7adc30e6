package main

import (
	"bufio"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"golang.org/x/term"

	"boltback/internal/atomicfile"
)

// files is the operating system's file system; what it writes goes through disk.
type files struct{ disk atomicfile.FS }

// Absolute implements app.Files.
func (files) Absolute(path string) (string, error) { return filepath.Abs(path) }

// Folder reads below path; a link in it that leads outside is not followed.
func (files) Folder(path string) fs.FS {
	root, err := os.OpenRoot(path)
	if err != nil {
		return absent{err}
	}
	return root.FS()
}

// absent is a folder that cannot be opened.
type absent struct{ err error }

// Open implements fs.FS.
func (a absent) Open(name string) (fs.File, error) {
	return nil, &fs.PathError{Op: "open", Path: name, Err: a.err}
}

// Replace implements app.Files.
func (f files) Replace(path string, content []byte) (bool, error) {
	return f.writer().Replace(path, content, 0o644)
}

// Create implements app.Files.
func (f files) Create(path string, content []byte) error {
	return f.writer().Create(path, content, 0o644)
}

// Keep implements app.Files.
func (f files) Keep(path string, content []byte) error {
	_, err := f.writer().CreateSame(path, content, 0o444)
	return err
}

// Hide implements app.Files.
func (f files) Hide(path string, content []byte) error {
	_, err := f.writer().CreateSame(path, content, 0o400)
	return err
}

// Fill implements app.Files.
func (f files) Fill(path string, fill func(io.Writer) error) error { return f.fill(path, 0o644, fill) }

func (f files) fill(path string, perm fs.FileMode, fill func(io.Writer) error) (err error) {
	if err := f.MakeFolder(filepath.Dir(path)); err != nil {
		return err
	}
	file, err := f.disk.Create(path, perm)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	b := bufio.NewWriterSize(file, 1<<16)
	if err := fill(b); err != nil {
		return err
	}
	if err := errors.Join(b.Flush(), file.Sync()); err != nil {
		return err
	}
	return f.disk.SyncDir(filepath.Dir(path))
}

// Remove implements app.Files. What writes that failed have left beside the file goes with it.
func (f files) Remove(path string) error {
	if err := f.disk.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if _, err := f.writer().Sweep(filepath.Dir(path)); err != nil {
		return err
	}
	return f.disk.SyncDir(filepath.Dir(path))
}

// MakeFolder implements app.Files.
func (f files) MakeFolder(path string) error { return f.writer().MkdirAll(path, 0o755) }

func (f files) writer() atomicfile.Writer { return atomicfile.Writer{Files: f.disk} }

// unfinished ends the name of a folder that is being built beside the one it is to become.
const unfinished = ".boltback-unfinished"

// Build fills a folder beside path and then gives it its name, so that a crash leaves nothing that looks finished. What
// was left of such a folder by a crash of ours is cleared away first: nobody else gives a folder that name.
func (f files) Build(path string, build func(folder string) error) (err error) {
	folder := besides(path)
	if err := os.RemoveAll(folder); err != nil {
		return err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, os.RemoveAll(folder))
		}
	}()
	if err := f.MakeFolder(folder); err != nil {
		return err
	}
	if err := build(folder); err != nil {
		return err
	}
	emptied := true // a folder without anything in it may stand there
	if err := f.disk.Remove(path); errors.Is(err, fs.ErrNotExist) {
		emptied = false
	} else if err != nil {
		return err
	}
	if err := f.disk.Rename(folder, path); err != nil {
		if emptied {
			err = errors.Join(err, os.Mkdir(path, 0o755))
		}
		return err
	}
	return f.disk.SyncDir(filepath.Dir(path))
}

// besides is the name under which something is made before it gets its own.
func besides(path string) string {
	return filepath.Join(filepath.Dir(path), "."+filepath.Base(path)+unfinished)
}

// Aside implements app.Files.
func (f files) Aside(path string, use func(folder string) error) error {
	folder := besides(path)
	if err := os.RemoveAll(folder); err != nil {
		return err
	}
	err := f.MakeFolder(folder)
	if err == nil {
		err = use(folder)
	}
	return errors.Join(err, os.RemoveAll(folder))
}

// Assemble implements app.Files. As with Build, what a crash of ours left is cleared away first.
func (f files) Assemble(path string, perm fs.FileMode, fill func(io.Writer) error, last func() error) error {
	part := besides(path)
	if err := os.RemoveAll(part); err != nil {
		return err
	}
	err := f.fill(part, perm, fill)
	if err == nil && last != nil {
		err = last()
	}
	if err == nil {
		if _, there := f.disk.Lstat(path); there == nil {
			err = &fs.PathError{Op: "create", Path: path, Err: fs.ErrExist}
		} else { // a link would not replace what comes between, but a stick for handing over may know none
			err = f.disk.Rename(part, path)
		}
	}
	if err != nil {
		return errors.Join(err, os.RemoveAll(part))
	}
	return f.disk.SyncDir(filepath.Dir(path))
}

// terminalWidth gives the columns of a terminal, 0 for anything else.
func terminalWidth(f *os.File) int {
	if width, _, err := term.GetSize(int(f.Fd())); err == nil {
		return width
	}
	return 0
}
