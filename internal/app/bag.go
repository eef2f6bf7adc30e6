package app

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"strings"

	"boltback/internal/bag"
)

// CheckBag reads a bag whole, a folder, a zip or a gzipped tar file, and writes nothing.
func (e Env) CheckBag(ctx context.Context, name string) (r *bag.Report, err error) {
	source, shut, err := e.bagAt(name)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, shut()) }()
	return bag.Check(ctx, source)
}

// bagAt opens a bag where it lies, packed or not; shut gives back what it holds open.
func (e Env) bagAt(name string) (source bag.Source, shut func() error, err error) {
	path, err := e.Files.Absolute(name)
	if err != nil {
		return nil, nil, err
	}
	parent, base := filepath.Split(path)
	info, err := fs.Stat(e.Files.Folder(parent), base)
	if err != nil {
		return nil, nil, &Usage{Message: fmt.Sprintf("%s cannot be read: %v", name, err), Hint: "name a bag: a folder with bagit.txt in it, a .zip or a .tar.gz"}
	}
	if info.IsDir() {
		return bag.Folder(e.Files.Folder(path)), nothingToShut, nil
	}
	folder := e.Files.Folder(parent)
	switch _, form := packing(base); form {
	case asTar:
		return bag.Tar(func() (io.ReadCloser, error) { return folder.Open(base) }, info.Size()), nothingToShut, nil
	case asZip:
		return zipAt(folder, name, base, info.Size())
	}
	return nil, nil, &Usage{Message: name + " is no folder, no .zip and no .tar.gz", Hint: "a bag lies in one of these three"}
}

func nothingToShut() error { return nil }

// form is how a bag is packed.
type form int

const (
	asFolder form = iota
	asZip
	asTar
)

// packing tells by the ending of its name how a bag is packed, and what its folder is called without that ending.
func packing(name string) (bare string, f form) {
	for _, known := range []struct {
		ending string
		form   form
	}{{".zip", asZip}, {".tar.gz", asTar}, {".tgz", asTar}} {
		if bare, found := strings.CutSuffix(strings.ToLower(name), known.ending); found && bare != "" {
			return name[:len(bare)], known.form
		}
	}
	return name, asFolder
}

func zipAt(folder fs.FS, name, base string, size int64) (bag.Source, func() error, error) {
	file, err := folder.Open(base)
	if err != nil {
		return nil, nil, err
	}
	at, ok := file.(io.ReaderAt)
	if !ok {
		return nil, nil, errors.Join(fmt.Errorf("%s cannot be read at any place in it", name), file.Close())
	}
	source, err := bag.Zip(at, size)
	if err != nil {
		return nil, nil, errors.Join(fmt.Errorf("%s: %w", name, err), file.Close())
	}
	return source, file.Close, nil
}
