package bag

import (
	"archive/tar"
	"archive/zip"
	"compress/gzip"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strings"
)

// Entry is one thing in a source: its name as it stands there, with slashes, and what its header says of it.
type Entry struct {
	Name string
	Mode fs.FileMode
	// Size is the number of bytes that the source states.
	Size int64
}

// Open gives an entry's bytes. It may be called once, and only during the visit.
type Open func() (io.ReadCloser, error)

// Source is where a bag lies. Walk visits every entry, in the source's own order, each time it is called.
type Source interface {
	Walk(visit func(Entry, Open) error) error
	// Packed is the size in bytes of the archive; 0 is a folder, whose names are already relative to the bag.
	Packed() int64
}

// Payload visits each file of the payload of a bag that was checked, by its name below data/, in the source's own order.
// fs.SkipAll ends the visits, and is no error.
func Payload(source Source, visit func(name string, size int64, open Open) error) error {
	err := source.Walk(func(e Entry, open Open) error {
		name := e.Name
		if source.Packed() > 0 {
			_, name, _ = strings.Cut(name, "/")
		}
		if name, below := strings.CutPrefix(name, "data/"); below && e.Mode.IsRegular() {
			return visit(name, e.Size, open)
		}
		return nil
	})
	if errors.Is(err, fs.SkipAll) {
		return nil
	}
	return err
}

// Folder is a bag whose base directory is the root of a file system. Links in it are named and not followed.
func Folder(files fs.FS) Source { return folder{files} }

type folder struct{ files fs.FS }

// Packed implements Source.
func (f folder) Packed() int64 { return 0 }

// Walk implements Source.
func (f folder) Walk(visit func(Entry, Open) error) error {
	return fs.WalkDir(f.files, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || name == "." {
			return err
		}
		info, err := d.Info()
		if err != nil {
			return err
		}
		return visit(Entry{name, info.Mode(), info.Size()}, func() (io.ReadCloser, error) { return f.files.Open(name) })
	})
}

// Zip is a bag in a zip file of so many bytes.
func Zip(file io.ReaderAt, size int64) (Source, error) {
	r, err := zip.NewReader(file, size)
	if err != nil && !errors.Is(err, zip.ErrInsecurePath) {
		return nil, fmt.Errorf("this is no zip file that can be read: %w", err)
	}
	return zipped{r, size}, nil
}

type zipped struct {
	reader *zip.Reader
	size   int64
}

// Packed implements Source.
func (z zipped) Packed() int64 { return z.size }

// Walk implements Source.
func (z zipped) Walk(visit func(Entry, Open) error) error {
	for _, f := range z.reader.File {
		size := int64(f.UncompressedSize64)
		if size < 0 {
			return fmt.Errorf("%q states a size that no file has", f.Name)
		}
		if err := visit(Entry{f.Name, f.Mode(), size}, f.Open); err != nil {
			return err
		}
	}
	return nil
}

// Tar is a bag in a gzipped tar file of so many bytes, which open opens anew for each walk.
func Tar(open func() (io.ReadCloser, error), size int64) Source { return tarred{open, size} }

type tarred struct {
	open func() (io.ReadCloser, error)
	size int64
}

// Packed implements Source.
func (t tarred) Packed() int64 { return t.size }

// Walk implements Source.
func (t tarred) Walk(visit func(Entry, Open) error) (err error) {
	file, err := t.open()
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	packed, err := gzip.NewReader(file)
	if err != nil {
		return fmt.Errorf("this is no gzipped file that can be read: %w", err)
	}
	r := tar.NewReader(packed)
	for {
		header, err := r.Next()
		if errors.Is(err, io.EOF) {
			// The checksum of gzip stands at the very end.
			_, err := io.Copy(io.Discard, packed)
			return err
		}
		if err != nil && !errors.Is(err, tar.ErrInsecurePath) {
			return fmt.Errorf("this is no tar file that can be read: %w", err)
		}
		if header.Typeflag == tar.TypeXGlobalHeader {
			continue
		}
		if err := visit(entryOf(header), func() (io.ReadCloser, error) { return io.NopCloser(r), nil }); err != nil {
			return err
		}
	}
}

// entryOf reads a header; a hard link would pass for a plain file by its mode alone.
func entryOf(h *tar.Header) Entry {
	mode := h.FileInfo().Mode()
	if h.Typeflag != tar.TypeReg && h.Typeflag != tar.TypeDir {
		mode |= fs.ModeIrregular
	}
	return Entry{h.Name, mode, h.Size}
}
