package main

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"golang.org/x/term"

	"boltback/internal/atomicfile"
)

// files is the operating system's file system.
type files struct{}

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

func (a absent) Open(name string) (fs.File, error) {
	return nil, &fs.PathError{Op: "open", Path: name, Err: a.err}
}

func (files) Replace(path string, content []byte) (bool, error) {
	return atomicfile.Replace(path, content, 0o644)
}

func (files) Create(path string, content []byte) error {
	return atomicfile.Create(path, content, 0o644)
}

func (files) MakeFolder(path string) error { return os.MkdirAll(path, 0o755) }

// unfinished ends the name of a folder that is being built beside the one it is to become.
const unfinished = ".boltback-unfinished"

// Build fills a folder beside path and then gives it its name, so that a crash leaves nothing that looks finished.
func (files) Build(path string, build func(folder string) error) (err error) {
	folder := filepath.Join(filepath.Dir(path), "."+filepath.Base(path)+unfinished)
	if err := os.RemoveAll(folder); err != nil { // left by a crash of ours: nobody else gives a folder that name
		return err
	}
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, os.RemoveAll(folder))
		}
	}()
	if err := build(folder); err != nil {
		return err
	}
	if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) { // an empty folder may stand there
		return err
	}
	if err := os.Rename(folder, path); err != nil {
		return err
	}
	return atomicfile.OS{}.SyncDir(filepath.Dir(path))
}

// terminalWidth gives the columns of a terminal, 0 for anything else.
func terminalWidth(f *os.File) int {
	if width, _, err := term.GetSize(int(f.Fd())); err == nil {
		return width
	}
	return 0
}
