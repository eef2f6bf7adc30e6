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
func (e Env) CheckBag(ctx context.Context, name string) (*bag.Report, error) {
	path, err := e.Files.Absolute(name)
	if err != nil {
		return nil, err
	}
	parent, base := filepath.Split(path)
	info, err := fs.Stat(e.Files.Folder(parent), base)
	if err != nil {
		return nil, &Usage{Message: fmt.Sprintf("%s cannot be read: %v", name, err), Hint: "name a bag: a folder with bagit.txt in it, a .zip or a .tar.gz"}
	}
	if info.IsDir() {
		return bag.Check(ctx, bag.Folder(e.Files.Folder(path)))
	}
	return e.checkPacked(ctx, name, e.Files.Folder(parent), base, info.Size())
}

// checkPacked checks a bag in one file, by the ending of its name.
func (e Env) checkPacked(ctx context.Context, name string, folder fs.FS, base string, size int64) (r *bag.Report, err error) {
	ending := strings.ToLower(base)
	switch {
	case strings.HasSuffix(ending, ".tar.gz"), strings.HasSuffix(ending, ".tgz"):
		return bag.Check(ctx, bag.Tar(func() (io.ReadCloser, error) { return folder.Open(base) }, size))
	case !strings.HasSuffix(ending, ".zip"):
		return nil, &Usage{Message: name + " is no folder, no .zip and no .tar.gz", Hint: "a bag lies in one of these three"}
	}
	file, err := folder.Open(base)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	at, ok := file.(io.ReaderAt)
	if !ok {
		return nil, fmt.Errorf("%s cannot be read at any place in it", name)
	}
	source, err := bag.Zip(at, size)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return bag.Check(ctx, source)
}
