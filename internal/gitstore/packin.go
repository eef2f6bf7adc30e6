package gitstore

import (
	"bufio"
	"bytes"
	"compress/zlib"
	"crypto/sha1"
	"encoding/binary"
	"errors"
	"fmt"
	"hash"
	"hash/crc32"
	"io"

	"github.com/go-git/go-git/v5/plumbing"
	"github.com/go-git/go-git/v5/plumbing/format/idxfile"
)

// Bounds on what a stranger's pack may ask of whoever reads it.
const (
	mostObjects   = 1 << 22
	largestObject = 256 << 20 // previews and records are far smaller; originals are in no repository
)

// packReader reads a pack of whole objects as a stream, copies it on, and works out the id of each object from its bytes. An
// object is never held whole.
type packReader struct {
	in    *bufio.Reader
	out   io.Writer
	at    uint64
	sum   hash.Hash
	crc   uint32
	used  []byte // read and not yet counted
	index *idxfile.Writer
	kinds map[Hash]plumbing.ObjectType
}

// ReadByte gives zlib its bytes one by one, so that it takes none that belongs to the next object.
func (p *packReader) ReadByte() (byte, error) {
	c, err := p.in.ReadByte()
	if err != nil {
		return c, err
	}
	p.used = append(p.used, c)
	if len(p.used) == cap(p.used) {
		err = p.count()
	}
	return c, err
}

// Read implements io.Reader by the byte.
func (p *packReader) Read(b []byte) (int, error) {
	for i := range b {
		c, err := p.ReadByte()
		if err != nil {
			return i, err
		}
		b[i] = c
	}
	return len(b), nil
}

// count takes what was read into the sums and passes it on.
func (p *packReader) count() error {
	p.at += uint64(len(p.used))
	p.crc = crc32.Update(p.crc, crc32.IEEETable, p.used)
	p.sum.Write(p.used)
	_, err := p.out.Write(p.used)
	p.used = p.used[:0]
	return err
}

// readPack copies a pack from in to out and gives its index, and each object's kind by its id.
func readPack(in *bufio.Reader, out io.Writer) (*idxfile.MemoryIndex, map[Hash]plumbing.ObjectType, error) {
	p := &packReader{in: in, out: out, sum: sha1.New(), used: make([]byte, 0, 8192), index: &idxfile.Writer{}, kinds: map[Hash]plumbing.ObjectType{}}
	var head [12]byte
	if _, err := io.ReadFull(p, head[:]); err != nil || string(head[:8]) != "PACK\x00\x00\x00\x02" {
		return nil, nil, errors.Join(err, errors.New("what follows its references is no pack of version 2"))
	}
	n := binary.BigEndian.Uint32(head[8:])
	if n > mostObjects {
		return nil, nil, fmt.Errorf("it states %d objects, and %d at most are read", n, mostObjects)
	}
	if err := p.index.OnHeader(n); err != nil {
		return nil, nil, err
	}
	for i := range n {
		if err := p.object(); err != nil {
			return nil, nil, fmt.Errorf("object %d of %d: %w", i+1, n, err)
		}
	}
	return p.end()
}

// end holds the pack against the sum at its end, after which nothing may follow.
func (p *packReader) end() (*idxfile.MemoryIndex, map[Hash]plumbing.ObjectType, error) {
	if err := p.count(); err != nil {
		return nil, nil, err
	}
	var stated [20]byte
	if _, err := io.ReadFull(p.in, stated[:]); err != nil {
		return nil, nil, fmt.Errorf("its sum is cut short: %w", err)
	}
	if !bytes.Equal(stated[:], p.sum.Sum(nil)) {
		return nil, nil, errors.New("its bytes are not those that its sum was made over")
	}
	if _, err := p.in.ReadByte(); !errors.Is(err, io.EOF) {
		return nil, nil, errors.Join(err, errors.New("something follows the end of its pack"))
	}
	if _, err := p.out.Write(stated[:]); err != nil {
		return nil, nil, err
	}
	if err := p.index.OnFooter(stated); err != nil {
		return nil, nil, err
	}
	index, err := p.index.Index()
	return index, p.kinds, err
}

// object reads one object.
func (p *packReader) object() error {
	if err := p.count(); err != nil {
		return err
	}
	start := p.at
	p.crc = 0
	kind, size, err := p.head()
	if err != nil {
		return err
	}
	z, err := zlib.NewReader(p)
	if err != nil {
		return err
	}
	sum := plumbing.NewHasher(kind, size)
	n, err := io.Copy(sum, io.LimitReader(z, size+1))
	if err != nil {
		return err
	}
	if n != size {
		return fmt.Errorf("%d bytes are stated, and there are %s", size, map[bool]string{true: "more", false: "fewer"}[n > size])
	}
	if err := errors.Join(z.Close(), p.count()); err != nil {
		return err
	}
	id := Hash(sum.Sum())
	if _, twice := p.kinds[id]; twice {
		return fmt.Errorf("%s is there twice", id)
	}
	p.kinds[id] = kind
	p.index.Add(plumbing.Hash(id), start, p.crc)
	return nil
}

// head reads kind and size, as packedHead writes them.
func (p *packReader) head() (plumbing.ObjectType, int64, error) {
	c, err := p.ReadByte()
	if err != nil {
		return 0, 0, err
	}
	kind, size := plumbing.ObjectType(c>>4&7), int64(c&0x0f)
	for shift := 4; c&0x80 != 0; shift += 7 {
		if c, err = p.ReadByte(); err != nil {
			return 0, 0, err
		}
		if shift > 32 {
			return 0, 0, errors.New("its size has no end")
		}
		size |= int64(c&0x7f) << shift
	}
	switch kind {
	case plumbing.CommitObject, plumbing.TreeObject, plumbing.BlobObject, plumbing.TagObject:
	case plumbing.OFSDeltaObject, plumbing.REFDeltaObject:
		return 0, 0, errors.New("it stands as a difference from another object, and only bundles of whole objects are taken; git clone reads this one")
	default:
		return 0, 0, fmt.Errorf("there is no kind of object %d", kind)
	}
	if size > largestObject {
		return 0, 0, fmt.Errorf("it states %d bytes, and %d at most are read", size, largestObject)
	}
	return kind, size, nil
}
