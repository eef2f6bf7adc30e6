package gitstore

import (
	"bytes"
	"crypto/sha1"
	"encoding/binary"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"slices"
	"sort"
	"strings"
	"time"
)

// The fixed part of an index entry and where its fields begin (Git's
// index-format documentation).
const (
	fixedSize   = 62
	modeAt      = 24
	sizeAt      = 36
	idAt        = 40
	flagsAt     = 60
	moreFlagsAt = 62

	flagAssumeValid  = 0x8000
	flagExtended     = 0x4000
	flagStageMask    = 0x3000
	flagNameMask     = 0x0fff
	flagSkipWorktree = 0x4000 // in the second word of flags
	flagIntentToAdd  = 0x2000 // in the second word of flags
)

// gitIndex is the list of what the next git commit would hold. Entries stay
// the bytes that they were read as, so that rewriting the index keeps every
// one of them exactly, flags and stages included. Optional extensions are
// caches and are dropped.
type gitIndex struct {
	entries []indexEntry
	written time.Time // the file's modification time, zero if there is none
}

// indexEntry is one path. fixed holds the binary fields, 62 bytes or 64.
type indexEntry struct {
	fixed []byte
	name  string
}

func (e indexEntry) word(at int) uint32 { return binary.BigEndian.Uint32(e.fixed[at:]) }
func (e indexEntry) flags() uint16      { return binary.BigEndian.Uint16(e.fixed[flagsAt:]) }
func (e indexEntry) stage() int         { return int(e.flags()&flagStageMask) >> 12 }
func (e indexEntry) mode() uint32       { return e.word(modeAt) }
func (e indexEntry) id() Hash           { return Hash(e.fixed[idAt : idAt+20]) }

func (e indexEntry) moreFlags() uint16 {
	if e.flags()&flagExtended == 0 {
		return 0
	}
	return binary.BigEndian.Uint16(e.fixed[moreFlagsAt:])
}

func (e indexEntry) stat() fileStat {
	return fileStat{ctime: fileTime{e.word(0), e.word(4)}, mtime: fileTime{e.word(8), e.word(12)},
		dev: e.word(16), ino: e.word(20), uid: e.word(28), gid: e.word(32), size: e.word(sizeAt)}
}

// fileStat is what the index remembers of a file to spare reading it; every
// number is cut to 32 bits.
type fileStat struct {
	ctime, mtime             fileTime
	dev, ino, uid, gid, size uint32
}

type fileTime struct{ sec, nsec uint32 }

func (t *fileTime) set(sec, nsec int64) { t.sec, t.nsec = uint32(sec), uint32(nsec) }

// newIndexEntry makes the entry of a file that was just written.
func newIndexEntry(name string, id Hash, mode uint32, s fileStat) indexEntry {
	e := indexEntry{fixed: make([]byte, fixedSize), name: name}
	for i, v := range []uint32{s.ctime.sec, s.ctime.nsec, s.mtime.sec, s.mtime.nsec, s.dev, s.ino, mode, s.uid, s.gid, s.size} {
		binary.BigEndian.PutUint32(e.fixed[4*i:], v)
	}
	copy(e.fixed[idAt:], id[:])
	binary.BigEndian.PutUint16(e.fixed[flagsAt:], uint16(min(len(name), flagNameMask)))
	return e
}

func (r *Repo) indexPath() string { return filepath.Join(r.gitDir, "index") }

// readIndex reads and checks the index; a missing one is empty.
func (r *Repo) readIndex() (*gitIndex, error) {
	f, info, err := openWithin(r.gitDir, "index")
	if errors.Is(err, fs.ErrNotExist) {
		return &gitIndex{}, nil
	}
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if info.Size() > largestFile {
		return nil, fmt.Errorf("%s has %d bytes, and at most %d are read", r.indexPath(), info.Size(), int64(largestFile))
	}
	data := make([]byte, info.Size())
	if _, err := f.ReadAt(data, 0); err != nil {
		return nil, err
	}
	ix, err := parseIndex(data)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", r.indexPath(), err)
	}
	ix.written = info.ModTime()
	return ix, nil
}

// find returns where the entries of a path begin, and how many stages it has.
func (ix *gitIndex) find(name string) (at, n int) {
	at = sort.Search(len(ix.entries), func(i int) bool { return ix.entries[i].name >= name })
	for at+n < len(ix.entries) && ix.entries[at+n].name == name {
		n++
	}
	return at, n
}

// below reports whether a path has entries beneath it, as a folder.
func (ix *gitIndex) below(name string) bool {
	at, _ := ix.find(name + "/")
	return at < len(ix.entries) && strings.HasPrefix(ix.entries[at].name, name+"/")
}

// change puts each entry in the place of all entries of its path, and takes away those of the paths that are gone.
func (ix *gitIndex) change(entries []indexEntry, gone []string) {
	touched := map[string]bool{}
	for _, e := range entries {
		touched[e.name] = true
	}
	for _, name := range gone {
		touched[name] = true
	}
	ix.entries = append(slices.DeleteFunc(ix.entries, func(e indexEntry) bool { return touched[e.name] }), entries...)
	slices.SortStableFunc(ix.entries, func(a, b indexEntry) int { return strings.Compare(a.name, b.name) })
}

// encode writes the index in version 2, or 3 if an entry has further flags.
func (ix *gitIndex) encode() []byte {
	version := uint32(2)
	for _, e := range ix.entries {
		if len(e.fixed) > fixedSize {
			version = 3
			break
		}
	}
	var b bytes.Buffer
	b.WriteString("DIRC")
	b.Write(binary.BigEndian.AppendUint32(nil, version))
	b.Write(binary.BigEndian.AppendUint32(nil, uint32(len(ix.entries))))
	var padding [8]byte
	for _, e := range ix.entries {
		b.Write(e.fixed)
		b.WriteString(e.name)
		b.Write(padding[:8-(len(e.fixed)+len(e.name))%8])
	}
	sum := sha1.Sum(b.Bytes())
	b.Write(sum[:])
	return b.Bytes()
}
