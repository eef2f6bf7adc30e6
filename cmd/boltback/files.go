package main

import (
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

// terminalWidth gives the columns of a terminal, 0 for anything else.
func terminalWidth(f *os.File) int {
	if width, _, err := term.GetSize(int(f.Fd())); err == nil {
		return width
	}
	return 0
}
