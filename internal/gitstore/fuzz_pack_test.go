package gitstore

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"errors"
	"io/fs"
	"slices"
	"strings"
	"testing"

	"github.com/go-git/go-git/v5/plumbing"
)

// memory is a pack without a file.
type memory struct{ *bytes.Reader }

func (memory) Close() error { return nil }

// FuzzPackIsReadInBounds reads all that an index of nonsense says of a pack of nonsense. What is found has the size that is told of
// it, and its id is worked out.
func FuzzPackIsReadInBounds(f *testing.F) {
	text := []byte("a text that others differ from")
	blob, other := crafted{kind: 3, data: text}, BlobID(text)
	same := difference(uint64(len(text)), uint64(len(text)), 0x90, byte(len(text)))
	for _, objects := range [][]crafted{
		{blob},
		{blob, {kind: 7, base: other[:], data: same}},
		{blob, {kind: 6, base: distance(int64(len(blob.bytes()))), data: same}},
		{{kind: 7, base: bytes.Repeat([]byte{1}, 20), data: same}},
		{{kind: 6, base: []byte{0}, data: same}},
		{{kind: 3, size: 1 << 40, data: text}},
		{{kind: 2, data: encodeTree([]entry{{modeFile, "a.json", other}})}, {kind: 1, data: []byte("tree x")}, {kind: 4, data: []byte("object x")}},
	} {
		pack, at := packOf(objects)
		lines := []line{{id: other, at: at[0]}}
		for i, place := range at[1:] {
			lines = append(lines, line{id: Hash{byte(i + 1)}, at: place})
		}
		f.Add(pack, indexOf(pack, lines))
		f.Add(pack[:len(pack)-25], indexOf(pack, lines))
	}
	f.Fuzz(func(t *testing.T, data, index []byte) {
		if len(index) >= idxSums && len(data) >= 20 { // or no fuzzer gets past the sums
			copy(index[len(index)-idxSums:], data[len(data)-20:])
		}
		p := &pack{file: memory{bytes.NewReader(data)}, size: int64(len(data)) - 20, index: index}
		if p.checkIndex() != nil {
			return
		}
		if len(data) >= packHeader {
			copy(data, "PACK\x00\x00\x00\x02")
			binary.BigEndian.PutUint32(data[8:], uint32(p.count))
		}
		if p.checkPair() != nil {
			return
		}
		o := objects{packs: packs{open: []*pack{p}, looked: true}}
		for i := range min(p.count, 50) {
			at, ok := p.find(Hash(p.nameAt(i)))
			if !ok {
				continue // the names are out of order
			}
			kind, got, err := o.packs.object(p, at)
			size, sizeErr := o.packs.sizeAt(p, at)
			if err == nil && (sizeErr != nil || size != int64(len(got)) || kind < plumbing.CommitObject || kind > plumbing.TagObject) {
				t.Fatalf("%d bytes of kind %v, told as %d, %v", len(got), kind, size, sizeErr)
			}
			again, more, err := o.packs.object(p, at)
			if err == nil && (again != kind || !bytes.Equal(more, got)) {
				t.Fatal("read twice it is another")
			}
		}
	})
}

// FuzzObjectFile reads files of single objects, given whole or as what is inside.
func FuzzObjectFile(f *testing.F) {
	for _, inside := range []string{"blob 1\x00x", "tree 0\x00", "commit 99999999999999999999\x00", "blob -1\x00", "blob 2\x00x", "ofs-delta 1\x00x", strings.Repeat("b", 100)} {
		f.Add([]byte(inside), true)
		f.Add(deflated([]byte(inside)), false)
	}
	f.Fuzz(func(t *testing.T, data []byte, inside bool) {
		if inside {
			data = deflated(data)
		}
		l := &loose{}
		if l.head(bytes.NewReader(data)) != nil {
			return
		}
		got, err := l.read()
		if err != nil {
			return
		}
		again := object{kind: l.kind, data: got}.compressed(zlib.NewWriter(nil))
		m := &loose{}
		if err := m.head(bytes.NewReader(again)); err != nil || m.kind != l.kind || m.size != int64(len(got)) {
			t.Fatalf("what was written cannot be read: %v", err)
		}
	})
}

func deflated(data []byte) []byte {
	var z bytes.Buffer
	w := zlib.NewWriter(&z)
	_, _ = w.Write(data) // writing to memory does not fail
	_ = w.Close()
	return z.Bytes()
}

func FuzzPackedReferences(f *testing.F) {
	id := Hash{1}.String()
	f.Add([]byte("# pack-refs with: peeled fully-peeled sorted \n"+id+" refs/heads/main\n^"+id+"\n"), "refs/heads/main")
	f.Add([]byte(id+" refs/heads/main"), "refs/heads/main")
	f.Add([]byte("# refs/heads/main\n"), "refs/heads/main")
	f.Add([]byte(id[:39]+" refs/heads/main\r\n"), "refs/heads/main")
	f.Fuzz(func(t *testing.T, data []byte, name string) {
		id, err := packedRefIn(data, name)
		if err != nil {
			if !id.IsZero() {
				t.Fatalf("%s beside the error %v", id, err)
			}
			return
		}
		if !slices.ContainsFunc(bytes.Split(data, []byte("\n")), func(l []byte) bool {
			return strings.EqualFold(string(bytes.TrimRight(l, "\r")), id.String()+" "+name) || strings.HasPrefix(strings.ToLower(string(l)), id.String()+" ")
		}) {
			t.Fatalf("%s is told of %q and no line has it", id, name)
		}
	})
}

// TestAPackedReferenceThatIsNotThereIsToldFromOneThatIsScrawled keeps the two apart: the first is a branch without a commit.
func TestAPackedReferenceThatIsNotThereIsToldFromOneThatIsScrawled(t *testing.T) {
	if _, err := packedRefIn([]byte(Hash{1}.String()+" refs/heads/main\n"), "refs/heads/side"); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("not there: %v", err)
	}
	if _, err := packedRefIn([]byte("scrawl refs/heads/main\n"), "refs/heads/main"); err == nil || errors.Is(err, fs.ErrNotExist) {
		t.Errorf("scrawled: %v", err)
	}
}

// TestAnIndexThatSpellsNamesWithoutEndIsRefused has each name of an index of version 4 be the one before and a letter more.
func TestAnIndexThatSpellsNamesWithoutEndIsRefused(t *testing.T) {
	const entries = 200_000
	out := binary.BigEndian.AppendUint32([]byte("DIRC\x00\x00\x00\x04"), entries)
	for range entries {
		out = append(append(out, make([]byte, fixedSize)...), 0, 'a', 0)
	}
	if _, err := parseIndex(append(out, make([]byte, 20)...)); err == nil || !strings.Contains(err.Error(), "cut short") {
		t.Errorf("%v", err)
	}
}
