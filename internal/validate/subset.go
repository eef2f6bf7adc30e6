package validate

import (
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"
	"time"

	"boltback/internal/ledger"
)

// part is a car's folder of which only some files are shown, and the ledger's own record, which makes it a car.
type part struct {
	fsys    fs.FS
	sizes   map[string]int64         // by path, of the files shown
	entries map[string][]fs.DirEntry // by folder, sorted by name
}

// subset shows the files of these paths that are there.
func subset(look Look, paths []string) fs.FS {
	p := &part{fsys: look.FS, sizes: map[string]int64{}, entries: map[string][]fs.DirEntry{".": nil}}
	want := append([]string{"ledger.json"}, paths...)
	slices.Sort(want)
	for _, f := range look.Files {
		if _, ok := slices.BinarySearch(want, f.Path); ok {
			p.sizes[f.Path] = f.Size
			p.enter(f.Path, shown{name: path.Base(f.Path), size: f.Size})
		}
	}
	for _, list := range p.entries {
		slices.SortFunc(list, func(a, b fs.DirEntry) int { return strings.Compare(a.Name(), b.Name()) })
	}
	return p
}

// enter puts an entry into its folder, and that folder into the one above.
func (p *part) enter(name string, entry shown) {
	folder := path.Dir(name)
	_, known := p.entries[folder]
	p.entries[folder] = append(p.entries[folder], entry)
	if !known {
		p.enter(folder, shown{name: path.Base(folder), dir: true})
	}
}

func (p *part) hidden(op, name string) error {
	return &fs.PathError{Op: op, Path: name, Err: fs.ErrNotExist}
}

// Open implements fs.FS.
func (p *part) Open(name string) (fs.File, error) {
	if _, ok := p.sizes[name]; ok {
		return p.fsys.Open(name)
	}
	if list, ok := p.entries[name]; ok {
		return &folder{shown: shown{name: path.Base(name), dir: true}, rest: list}, nil
	}
	return nil, p.hidden("open", name)
}

// ReadFile implements fs.ReadFileFS.
func (p *part) ReadFile(name string) ([]byte, error) {
	if _, ok := p.sizes[name]; !ok {
		return nil, p.hidden("read", name)
	}
	return fs.ReadFile(p.fsys, name)
}

// ReadDir implements fs.ReadDirFS.
func (p *part) ReadDir(name string) ([]fs.DirEntry, error) {
	list, ok := p.entries[name]
	if !ok {
		return nil, p.hidden("list", name)
	}
	return list, nil
}

// Stat implements fs.StatFS.
func (p *part) Stat(name string) (fs.FileInfo, error) {
	if size, ok := p.sizes[name]; ok {
		return shown{name: path.Base(name), size: size}, nil
	}
	if _, ok := p.entries[name]; ok {
		return shown{name: path.Base(name), dir: true}, nil
	}
	return nil, p.hidden("stat", name)
}

// SHA256 implements ledger.Summed.
func (p *part) SHA256(name string) (string, error) {
	if _, ok := p.sizes[name]; !ok {
		return "", p.hidden("read", name)
	}
	return ledger.SHA256(p.fsys, name)
}

// shown is one entry of a folder and what is known of it.
type shown struct {
	name string
	size int64
	dir  bool
}

func (s shown) Name() string               { return s.name }
func (s shown) Size() int64                { return s.size }
func (s shown) IsDir() bool                { return s.dir }
func (s shown) Type() fs.FileMode          { return s.Mode().Type() }
func (s shown) Info() (fs.FileInfo, error) { return s, nil }
func (s shown) ModTime() time.Time         { return time.Time{} }
func (s shown) Sys() any                   { return nil }

func (s shown) Mode() fs.FileMode {
	if s.dir {
		return fs.ModeDir | 0o555
	}
	return 0o444
}

// folder is an open folder.
type folder struct {
	shown
	rest []fs.DirEntry
}

func (f *folder) Stat() (fs.FileInfo, error) { return f.shown, nil }
func (f *folder) Close() error               { return nil }
func (f *folder) Read([]byte) (int, error) {
	return 0, &fs.PathError{Op: "read", Path: f.name, Err: fs.ErrInvalid}
}

// ReadDir implements fs.ReadDirFile.
func (f *folder) ReadDir(n int) ([]fs.DirEntry, error) {
	if n <= 0 {
		n = len(f.rest)
	} else if len(f.rest) == 0 {
		return nil, io.EOF
	}
	list := f.rest[:min(n, len(f.rest))]
	f.rest = f.rest[len(list):]
	return list, nil
}
