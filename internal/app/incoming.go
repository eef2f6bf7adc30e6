package app

import (
	"archive/zip"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"path/filepath"
	"strings"

	"boltback/internal/media"
)

// Bounds of a folder or ZIP file of pictures.
const (
	mostPictures = 2000
	mostEntries  = 20_000
	mostLevels   = 8
	mostUnpacked = 16 << 30 // bytes of a whole ZIP file
	mostPacked   = 100      // times that a picture in a ZIP file may grow; cameras' files hardly do
)

// incoming is one file of a folder or ZIP file. Its name is shown to a person, and never used as a path to write to.
type incoming struct {
	name string
	open func() (io.ReadCloser, error)
}

// Skipped is a file that is not taken, with the reason.
type Skipped struct{ Name, Why string }

// intake is what lies in a folder or ZIP file.
type batch struct {
	files   []incoming
	skipped []Skipped
	close   func() error
}

func (b *batch) skip(name, why string) { b.skipped = append(b.skipped, Skipped{name, why}) }

// take takes a file in, unless its name says that a system put it there.
func (b *batch) take(name string, open func() (io.ReadCloser, error)) {
	for piece := range strings.SplitSeq(name, "/") {
		if strings.HasPrefix(piece, ".") && piece != "." && piece != ".." || piece == "__MACOSX" || strings.EqualFold(piece, "thumbs.db") {
			return
		}
	}
	b.files = append(b.files, incoming{name, open})
}

// batchAt opens a folder or a ZIP file.
func (e Env) batchAt(name string) (*batch, error) {
	full, err := e.Files.Absolute(name)
	if err != nil {
		return nil, err
	}
	folder := e.Files.Folder(full)
	if _, err := fs.ReadDir(folder, "."); err == nil {
		return folderBatch(folder)
	} else if errors.Is(err, fs.ErrNotExist) {
		return nil, &Usage{Message: name + " is not there", Hint: "name a folder of pictures, or a ZIP file of them"}
	}
	dir, file := filepath.Split(full)
	b, err := zipBatch(e.Files.Folder(dir), file)
	if errors.Is(err, zip.ErrFormat) {
		return nil, &Usage{Message: name + " is no ZIP file", Hint: "one photo or document is recorded with: boltback record paper NAME --file " + name}
	}
	return b, err
}

// folderBatch lists the files below a folder, in the order of their names. Links are not followed.
func folderBatch(folder fs.FS) (*batch, error) {
	b := &batch{close: func() error { return nil }}
	seen := 0
	err := fs.WalkDir(folder, ".", func(name string, d fs.DirEntry, err error) error {
		if seen++; seen > mostEntries {
			return &Usage{Message: fmt.Sprintf("the folder holds more than %d files", mostEntries), Hint: "name the folder of one day's pictures"}
		}
		switch {
		case err != nil:
			b.skip(name, "it cannot be read")
		case d.IsDir() && strings.Count(name, "/") >= mostLevels:
			b.skip(name, "it lies too deep")
			return fs.SkipDir
		case d.Type().IsRegular():
			b.take(name, func() (io.ReadCloser, error) { return folder.Open(name) })
		case !d.IsDir():
			b.skip(name, "it is no file")
		}
		return nil
	})
	return b, err
}

// zipBatch lists the entries of a ZIP file. Nothing of it is unpacked to disk, whatever its names say.
func zipBatch(folder fs.FS, name string) (*batch, error) {
	file, err := folder.Open(name)
	if err != nil {
		return nil, fmt.Errorf("open %s: %w", name, err)
	}
	b := &batch{close: file.Close}
	info, err := file.Stat()
	at, ok := file.(io.ReaderAt)
	if err != nil || !ok || !info.Mode().IsRegular() {
		file.Close()
		return nil, &Usage{Message: name + " is no file", Hint: "name a folder of pictures, or a ZIP file of them"}
	}
	z, err := zip.NewReader(at, info.Size())
	if err != nil && !errors.Is(err, zip.ErrInsecurePath) {
		file.Close()
		return nil, err
	}
	if len(z.File) > mostEntries {
		file.Close()
		return nil, &Usage{Message: fmt.Sprintf("%s holds more than %d files", name, mostEntries)}
	}
	var unpacked uint64
	for _, f := range z.File {
		if f.FileInfo().IsDir() {
			continue
		}
		grown := f.UncompressedSize64 > 1<<20 && f.UncompressedSize64/mostPacked > f.CompressedSize64
		if unpacked += f.UncompressedSize64; grown || f.UncompressedSize64 > media.MaxBytes || unpacked > mostUnpacked {
			b.skip(path.Base(f.Name), fmt.Sprintf("it would unpack to %d bytes", f.UncompressedSize64))
			continue
		}
		b.take(f.Name, f.Open)
	}
	return b, nil
}

// content reads a file whole, if its first bytes are those of a photo.
func (f incoming) content() ([]byte, error) {
	r, err := f.open()
	if err != nil {
		return nil, errUnreadable
	}
	defer r.Close()
	const head = 64
	first := make([]byte, head)
	n, err := io.ReadFull(r, first)
	if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) && !errors.Is(err, io.EOF) {
		return nil, errUnreadable
	}
	switch media.TypeOf(first[:n]) {
	case "":
		return nil, media.ErrUnknown
	case media.PDF:
		return nil, errDocument
	}
	rest, err := io.ReadAll(io.LimitReader(r, media.MaxBytes+1))
	if err != nil {
		return nil, errUnreadable
	}
	if n+len(rest) > media.MaxBytes {
		return nil, fmt.Errorf("it has more than %d bytes", media.MaxBytes)
	}
	return append(first[:n], rest...), nil
}

var (
	errUnreadable = errors.New("it cannot be read")
	errDocument   = errors.New("a document is no picture of the bench; record it as a paper")
)
