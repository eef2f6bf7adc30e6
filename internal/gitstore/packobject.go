package gitstore

import (
	"bufio"
	"bytes"
	"compress/zlib"
	"errors"
	"fmt"
	"io"
	"slices"

	"github.com/go-git/go-git/v5/plumbing"
	"github.com/go-git/go-git/v5/plumbing/format/packfile"
)

// Bounds on what reading one object may take. Git itself makes no longer chains; a small pack can ask for days of work.
const (
	longestChain = 4096
	mostPatched  = 4 * largestObject // bytes of all objects of a chain
)

// packed is the head of one object in a pack.
type packed struct {
	kind plumbing.ObjectType
	size int64 // of the object, or of the difference
	base int64 // where the object lies from which this one differs
}

func (o packed) isDelta() bool {
	return o.kind == plumbing.OFSDeltaObject || o.kind == plumbing.REFDeltaObject
}

// inflater is what one object after another is inflated with.
type inflater struct {
	raw window
	z   io.ReadCloser
}

// head stands at an object and reads what comes before its bytes.
func (f *inflater) head(p *pack, at int64) (packed, error) {
	if at < packHeader || at >= p.size {
		return packed{}, fmt.Errorf("an object is said to lie at %d, where the pack has none", at)
	}
	f.raw.stand(p, at)
	c, err := f.raw.ReadByte()
	if err != nil {
		return packed{}, err
	}
	o := packed{kind: plumbing.ObjectType(c >> 4 & 7), size: int64(c & 15)}
	if c&0x80 != 0 {
		n, err := readVarint(&f.raw)
		if err != nil {
			return o, err
		}
		if n > largestObject {
			return o, errFarSize
		}
		o.size |= int64(n) << 4
	}
	if o.size > largestObject {
		return o, fmt.Errorf("it states %d bytes, and at most %d are read", o.size, int64(largestObject))
	}
	return o, f.baseOf(&o, p, at)
}

// baseOf reads from what a difference differs: an earlier object by its distance, or one of the same pack by its id.
func (f *inflater) baseOf(o *packed, p *pack, at int64) error {
	switch o.kind {
	case plumbing.CommitObject, plumbing.TreeObject, plumbing.BlobObject, plumbing.TagObject:
		return nil
	case plumbing.OFSDeltaObject:
		back, err := readDistance(&f.raw)
		if err == nil && (back <= 0 || back > at-packHeader) {
			err = errors.New("it differs from an object outside the pack")
		}
		o.base = at - back
		return err
	case plumbing.REFDeltaObject:
		var id Hash
		if _, err := io.ReadFull(&f.raw, id[:]); err != nil {
			return err
		}
		base, ok := p.find(id)
		if !ok {
			return fmt.Errorf("it differs from %s, which the pack does not hold", id)
		}
		o.base = base
		return nil
	}
	return fmt.Errorf("it is of a kind %d that there is not", o.kind)
}

// readDistance reads how far before a difference its base lies: seven bits a byte, the highest first, each but the last one more
// than it says.
func readDistance(in io.ByteReader) (int64, error) {
	n := int64(-1)
	for range 8 {
		c, err := in.ReadByte()
		if err != nil {
			return 0, err
		}
		n = (n+1)<<7 | int64(c&0x7f)
		if c&0x80 == 0 {
			return n, nil
		}
	}
	return 0, errFarSize
}

// begin sets the inflating up behind the head.
func (f *inflater) begin() (err error) {
	if f.z == nil {
		f.z, err = zlib.NewReader(&f.raw)
		return err
	}
	return f.z.(zlib.Resetter).Reset(&f.raw, nil)
}

// all inflates a whole object, which must have the size it states.
func (f *inflater) all(size int64) ([]byte, error) {
	if err := f.begin(); err != nil {
		return nil, err
	}
	return sized(f.z, size)
}

// sized reads to an end that must come after so many bytes. The number is a claim: beyond a megabyte it has to be borne out.
func sized(in io.Reader, size int64) ([]byte, error) {
	data := make([]byte, 0, min(size, 1<<20)+1) // one more, in which the end is met
	for {
		n, err := in.Read(data[len(data):cap(data)])
		data = data[:len(data)+n]
		switch over := int64(len(data)) > size; {
		case over || err == io.EOF && int64(len(data)) < size:
			return nil, fmt.Errorf("it states %d bytes and has others", size)
		case err == io.EOF:
			return data, nil
		case err != nil:
			return nil, err
		case len(data) == cap(data):
			data = slices.Grow(data, int(min(size+1, int64(2*len(data))))-len(data))
		}
	}
}

// object reads what lies somewhere in a pack, following differences down to a whole object and up again.
func (k *packs) object(p *pack, at int64) (plumbing.ObjectType, []byte, error) {
	var places []int64
	var deltas [][]byte
	total := int64(0)
	for {
		if whole, ok := k.bases.get(p, at); ok {
			return k.patch(p, whole, places, deltas)
		}
		o, err := k.in.head(p, at)
		if err != nil {
			return 0, nil, err
		}
		data, err := k.in.all(o.size)
		if err != nil {
			return 0, nil, err
		}
		if !o.isDelta() {
			if len(deltas) == 0 {
				return o.kind, data, nil
			}
			k.bases.put(p, at, whole{o.kind, data})
			return k.patch(p, whole{o.kind, data}, places, deltas)
		}
		total += o.size
		if len(deltas) == longestChain || total > largestObject {
			return 0, nil, errors.New("it is a chain of differences without end")
		}
		places, deltas = append(places, at), append(deltas, data)
		at = o.base
	}
}

// patch applies differences, the last one first. Those below the object asked for are kept: their neighbours differ from them.
func (k *packs) patch(p *pack, from whole, places []int64, deltas [][]byte) (plumbing.ObjectType, []byte, error) {
	total := uint64(0)
	if len(deltas) == 0 && from.kind != plumbing.TreeObject {
		from.data = bytes.Clone(from.data) // whoever asked may change what he gets; a tree's bytes nobody changes
	}
	for i := len(deltas) - 1; i >= 0; i-- {
		size, err := patchedSize(bytes.NewReader(deltas[i]))
		if err != nil {
			return 0, nil, err
		}
		if total += size; total > mostPatched {
			return 0, nil, errFarSize
		}
		if from.data, err = packfile.PatchDelta(from.data, deltas[i]); err != nil {
			return 0, nil, err
		}
		if i > 0 {
			k.bases.put(p, places[i], from)
		}
	}
	return from.kind, from.data, nil
}

// patchedSize reads the size that a difference states for its outcome.
func patchedSize(delta io.ByteReader) (uint64, error) {
	if _, err := readVarint(delta); err != nil {
		return 0, err
	}
	n, err := readVarint(delta)
	if err == nil && n > largestObject {
		err = errFarSize
	}
	return n, err
}

// sizeAt is the size of the object that lies somewhere, without reading the whole of it.
func (k *packs) sizeAt(p *pack, at int64) (int64, error) {
	o, err := k.in.head(p, at)
	if err != nil || !o.isDelta() {
		return o.size, err
	}
	if err := k.in.begin(); err != nil {
		return 0, err
	}
	n, err := patchedSize(bufio.NewReader(io.LimitReader(k.in.z, 20)))
	return int64(n), err
}

// whole is an object that others differ from.
type whole struct {
	kind plumbing.ObjectType
	data []byte
}

// place is where in which pack an object lies.
type place struct {
	pack *pack
	at   int64
}

// keptBases is how many bytes of bases are kept. When there are more, all are let go: a walk soon has those that it needs.
const keptBases = 32 << 20

// bases are objects that others differ from.
type bases struct {
	at   map[place]whole
	held int
}

func (b *bases) get(p *pack, at int64) (whole, bool) {
	o, ok := b.at[place{p, at}]
	return o, ok
}

func (b *bases) put(p *pack, at int64, o whole) {
	if len(o.data) > keptBases/8 {
		return
	}
	if b.held += len(o.data); b.at == nil || b.held > keptBases {
		b.at, b.held = map[place]whole{}, len(o.data)
	}
	b.at[place{p, at}] = o
}

func (b *bases) clear() { b.at, b.held = nil, 0 }
