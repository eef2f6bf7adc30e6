package gitstore

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"sort"
	"strings"
)

// pack is a pack of objects and its index (Git's gitformat-pack documentation). Nothing in either is believed: an index
// only says where to look, and what is found there has its id worked out.
type pack struct {
	name string
	file interface {
		io.ReaderAt
		io.Closer
	}
	size  int64  // without the sum at its end
	index []byte // the whole file, of version 2
	count int
}

// Where an index of version 2 has its tables, and how wide their lines are.
const (
	idxFan     = 8
	idxNames   = idxFan + 256*4
	idxSums    = 2 * 20 // of the pack and of the index, at its end
	idxLine    = 20 + 4 + 4
	packHeader = 12
)

// openPack opens the pack of a name in an object folder. The error is fs.ErrNotExist where one of its two files is
// not there, as when Git has just packed anew.
func openPack(dir, name string) (*pack, error) {
	p := &pack{name: name}
	var err error
	if p.index, err = readWithin(dir, "pack/"+name+".idx"); err != nil {
		return nil, err
	}
	if err := p.checkIndex(); err != nil {
		return nil, fmt.Errorf("the index of pack %s: %w", name, err)
	}
	file, info, err := openWithin(dir, "pack/"+name+".pack")
	if err != nil {
		return nil, err
	}
	p.file, p.size = file, info.Size()-20
	if err := p.checkPair(); err != nil {
		return nil, errors.Join(fmt.Errorf("pack %s: %w", name, err), file.Close())
	}
	return p, nil
}

// checkIndex holds the tables of an index against its length.
func (p *pack) checkIndex() error {
	if len(p.index) < idxNames+idxSums || !bytes.HasPrefix(p.index, []byte("\xfftOc\x00\x00\x00\x02")) {
		return errors.New("it is none of version 2; run git repack -a -d")
	}
	last := uint32(0)
	for b := range 256 {
		n := p.fan(b)
		if n < last {
			return errors.New("its table of first bytes runs backwards")
		}
		last = n
	}
	least := int64(idxNames+idxSums) + int64(last)*idxLine
	if length := int64(len(p.index)); length < least || length > least+8*int64(last) || (length-least)%8 != 0 {
		return fmt.Errorf("it states %d objects and is of another length", last)
	}
	p.count = int(last)
	return nil
}

// checkPair finds a pack that its index was not made for.
func (p *pack) checkPair() error {
	var head [packHeader]byte
	var sum [20]byte
	if p.size < packHeader {
		return errors.New("it is cut short")
	}
	if _, err := p.file.ReadAt(head[:], 0); err != nil {
		return err
	}
	if _, err := p.file.ReadAt(sum[:], p.size); err != nil {
		return err
	}
	version := binary.BigEndian.Uint32(head[4:])
	switch {
	case string(head[:4]) != "PACK" || version != 2 && version != 3:
		return errors.New("it is none of version 2 or 3")
	case binary.BigEndian.Uint32(head[8:]) != uint32(p.count) || !bytes.Equal(sum[:], p.index[len(p.index)-idxSums:len(p.index)-20]):
		return errors.New("its index was made for another pack")
	}
	return nil
}

func (p *pack) fan(b int) uint32 { return binary.BigEndian.Uint32(p.index[idxFan+4*b:]) }

func (p *pack) nameAt(i int) []byte { return p.index[idxNames+20*i:][:20] }

// named gives the lines of the index whose names begin with a byte: from the first to before the last.
func (p *pack) named(first byte) (from, to int) {
	if first > 0 {
		from = int(p.fan(int(first) - 1))
	}
	return from, int(p.fan(int(first)))
}

// find says where the index has an object.
func (p *pack) find(id Hash) (at int64, ok bool) {
	from, to := p.named(id[0])
	i := from + sort.Search(to-from, func(i int) bool { return bytes.Compare(p.nameAt(from+i), id[:]) >= 0 })
	if i == to || !bytes.Equal(p.nameAt(i), id[:]) {
		return 0, false
	}
	offsets := p.index[idxNames+24*p.count:]
	short := binary.BigEndian.Uint32(offsets[4*i:])
	if short>>31 == 0 {
		return int64(short), true
	}
	far := offsets[4*p.count : len(offsets)-idxSums]
	if k := 8 * int64(short&^(1<<31)); k+8 <= int64(len(far)) {
		return int64(binary.BigEndian.Uint64(far[k:])), true
	}
	return -1, true // a place that no pack has, which reading it says
}

// packNames lists the packs of an object folder that have an index.
func packNames(dir string) ([]string, error) {
	top, err := os.OpenRoot(dir)
	if err != nil {
		return nil, err
	}
	defer top.Close()
	list, err := fs.ReadDir(top.FS(), "pack")
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("%s: %w", filepath.Join(dir, "pack"), err)
	}
	var names []string
	for _, e := range list {
		if name, ok := strings.CutSuffix(e.Name(), ".idx"); ok && strings.HasPrefix(name, "pack-") {
			names = append(names, name)
		}
	}
	return names, nil
}

// packs are those of an object folder. Whoever uses them holds the lock of the objects.
type packs struct {
	dir    string
	open   []*pack
	looked bool
	in     inflater
	bases  bases
}

// look opens the packs that have come and closes those that are gone.
func (k *packs) look() error {
	names, err := packNames(k.dir)
	if err != nil {
		return err
	}
	var open []*pack
	for _, name := range names {
		if i := slices.IndexFunc(k.open, func(p *pack) bool { return p.name == name }); i >= 0 {
			open = append(open, k.open[i])
			continue
		}
		p, err := openPack(k.dir, name)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return err
		}
		open = append(open, p)
	}
	for _, p := range k.open {
		if !slices.Contains(open, p) {
			_ = p.file.Close() // it was read and no more
			k.forget()
		}
	}
	k.open, k.looked = open, true
	return nil
}

// find gives the pack that has an object, and where; nil if none has.
func (k *packs) find(id Hash) (*pack, int64, error) {
	if !k.looked {
		if err := k.look(); err != nil {
			return nil, 0, err
		}
	}
	for _, p := range k.open {
		if at, ok := p.find(id); ok {
			return p, at, nil
		}
	}
	return nil, 0, nil
}

// withPrefix lists the objects of all packs whose ids begin with these bytes.
func (k *packs) withPrefix(prefix []byte) ([]Hash, error) {
	if err := k.look(); err != nil {
		return nil, err
	}
	var ids []Hash
	for _, p := range k.open {
		from, to := p.named(prefix[0])
		i := from + sort.Search(to-from, func(i int) bool { return bytes.Compare(p.nameAt(from+i), prefix) >= 0 })
		for ; i < to && bytes.HasPrefix(p.nameAt(i), prefix); i++ {
			ids = append(ids, Hash(p.nameAt(i)))
		}
	}
	return ids, nil
}

func (k *packs) close() error {
	var errs []error
	for _, p := range k.open {
		errs = append(errs, p.file.Close())
	}
	k.open, k.looked = nil, false
	k.forget()
	return errors.Join(errs...)
}

// forget lets go of all that was read.
func (k *packs) forget() {
	k.bases.clear()
	k.in.raw = window{}
}

var errFarSize = errors.New("it states a size that no object has")

// readVarint reads the numbers at the head of a difference: seven bits a byte, the lowest first.
func readVarint(in io.ByteReader) (n uint64, err error) {
	for shift := 0; shift < 63; shift += 7 {
		c, err := in.ReadByte()
		if err != nil {
			return 0, err
		}
		n |= uint64(c&0x7f) << shift
		if c&0x80 == 0 {
			return n, nil
		}
	}
	return 0, errFarSize
}
