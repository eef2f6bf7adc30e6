package cache

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"hash"
	"io"
	"io/fs"
	"path"
	"sort"
	"time"
)

// view is the car's folder as a check reads it: what is known is answered from memory, the rest is read, and what was asked
// for is known from then on. Folders are listed as they are.
type view struct{ m *Memory }

func (m *Memory) item(name string) *item {
	i := sort.Search(len(m.items), func(i int) bool { return m.items[i].path >= name })
	if i < len(m.items) && m.items[i].path == name {
		return &m.items[i]
	}
	return nil
}

// Open implements fs.FS.
func (v view) Open(name string) (fs.File, error) {
	it := v.m.item(name)
	if it == nil {
		return v.m.fsys.Open(name)
	}
	text, err := v.ReadFile(name)
	if err != nil {
		return nil, err
	}
	return &opened{Reader: bytes.NewReader(text), it: it}, nil
}

// Stat implements fs.StatFS.
func (v view) Stat(name string) (fs.FileInfo, error) {
	if it := v.m.item(name); it != nil {
		return info{it}, nil
	}
	return fs.Stat(v.m.fsys, name)
}

// ReadDir implements fs.ReadDirFS.
func (v view) ReadDir(name string) ([]fs.DirEntry, error) { return fs.ReadDir(v.m.fsys, name) }

// ReadFile implements fs.ReadFileFS. The bytes belong to the memory and are not to be changed.
func (v view) ReadFile(name string) ([]byte, error) {
	it := v.m.item(name)
	if it == nil {
		return fs.ReadFile(v.m.fsys, name)
	}
	if it.text != nil {
		return it.text, nil
	}
	if it.known && it.kept {
		if text, ok := v.m.texts.get(it); ok {
			it.text = text
			return text, nil
		}
		it.kept = false
	}
	text, sum, err := v.m.content(it, true)
	if err != nil {
		return nil, err
	}
	v.m.learn(it, sum)
	it.text, it.kept = text, false
	return text, nil
}

// SHA256 implements ledger.Summed.
func (v view) SHA256(name string) (string, error) {
	it := v.m.item(name)
	if it == nil {
		return "", &fs.PathError{Op: "read", Path: name, Err: fs.ErrNotExist}
	}
	if !it.known {
		_, sum, err := v.m.content(it, false)
		if err != nil {
			return "", err
		}
		v.m.learn(it, sum)
	}
	return hex.EncodeToString(it.sum[:]), nil
}

// learn notes the content of a file that this run has read.
func (m *Memory) learn(it *item, sum [sha256.Size]byte) {
	m.stale = m.stale || !it.known
	it.known, it.sum, it.settled = true, sum, m.settles(it.entry)
}

// content reads a file and gives its digest, and its bytes where they are wanted.
func (m *Memory) content(it *item, wanted bool) (text []byte, sum [sha256.Size]byte, err error) {
	if wanted {
		text, err = fs.ReadFile(m.fsys, it.path)
		if text == nil {
			text = []byte{}
		}
		return text, sha256.Sum256(text), err
	}
	file, err := m.fsys.Open(it.path)
	if err != nil {
		return nil, sum, err
	}
	defer file.Close()
	h := sha256.New()
	if _, err := io.Copy(h, file); err != nil {
		return nil, sum, err
	}
	return nil, digest(h), nil
}

func digest(h hash.Hash) (sum [sha256.Size]byte) {
	h.Sum(sum[:0])
	return sum
}

// opened is a file that lies in memory.
type opened struct {
	*bytes.Reader
	it *item
}

func (o *opened) Stat() (fs.FileInfo, error) { return info{o.it}, nil }
func (o *opened) Close() error               { return nil }

// info says of a file what the survey saw.
type info struct{ it *item }

func (i info) Name() string       { return path.Base(i.it.path) }
func (i info) Size() int64        { return i.it.size }
func (i info) Mode() fs.FileMode  { return 0o444 }
func (i info) ModTime() time.Time { return time.Unix(0, i.it.modified) }
func (i info) IsDir() bool        { return false }
func (i info) Sys() any           { return nil }
