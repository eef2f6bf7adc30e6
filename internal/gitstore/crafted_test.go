package gitstore

import (
	"bytes"
	"compress/zlib"
	"crypto/sha1"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/go-git/go-git/v5/plumbing"
)

// crafted is one object of a pack that is written by hand: what stands before its bytes, and they.
type crafted struct {
	kind byte
	size uint64 // stated; 0 states that of data
	base []byte // the id, or the distance, of what it differs from
	data []byte
}

// deflater is made once: each holds most of a megabyte, and a long chain is packed link by link.
var deflater = zlib.NewWriter(io.Discard)

func (c crafted) bytes() []byte {
	size := c.size
	if size == 0 {
		size = uint64(len(c.data))
	}
	out := []byte{c.kind<<4 | byte(size&15)}
	for size >>= 4; size > 0; size >>= 7 {
		out[len(out)-1] |= 0x80
		out = append(out, byte(size&0x7f))
	}
	var z bytes.Buffer
	deflater.Reset(&z)
	_, _ = deflater.Write(c.data) // writing to memory does not fail
	_ = deflater.Close()
	return slices.Concat(out, c.base, z.Bytes())
}

// difference makes a difference that states sizes and has instructions.
func difference(from, to uint64, orders ...byte) []byte {
	out := binary.AppendUvarint(nil, from)
	return append(binary.AppendUvarint(out, to), orders...)
}

// line is one line of a pack's index.
type line struct {
	id  Hash
	at  uint32
	sum uint32 // CRC-32 of what lies there
}

// packOf writes objects one after another and gives the pack and where they lie.
func packOf(objects []crafted) (pack []byte, at []uint32) {
	pack = binary.BigEndian.AppendUint32([]byte("PACK\x00\x00\x00\x02"), uint32(len(objects)))
	for _, o := range objects {
		at = append(at, uint32(len(pack)))
		pack = append(pack, o.bytes()...)
	}
	sum := sha1.Sum(pack)
	return append(pack, sum[:]...), at
}

// indexOf writes the index of a pack with these lines, in any order.
func indexOf(pack []byte, lines []line) []byte {
	lines = slices.Clone(lines)
	slices.SortFunc(lines, func(a, b line) int { return bytes.Compare(a.id[:], b.id[:]) })
	out := []byte("\xfftOc\x00\x00\x00\x02")
	for b := range 256 {
		n := 0
		for _, l := range lines {
			if int(l.id[0]) <= b {
				n++
			}
		}
		out = binary.BigEndian.AppendUint32(out, uint32(n))
	}
	for _, l := range lines {
		out = append(out, l.id[:]...)
	}
	for _, l := range lines {
		out = binary.BigEndian.AppendUint32(out, l.sum)
	}
	for _, l := range lines {
		out = binary.BigEndian.AppendUint32(out, l.at)
	}
	out = append(out, pack[len(pack)-20:]...)
	sum := sha1.Sum(out)
	return append(out, sum[:]...)
}

// put writes pack and index into a repository, for one test, and gives the pack's name.
func (b *bench) put(t *testing.T, pack, index []byte) string {
	t.Helper()
	name := fmt.Sprintf(".git/objects/pack/pack-%x", pack[len(pack)-20:])
	b.write(name+".pack", string(pack))
	b.write(name+".idx", string(index))
	t.Cleanup(func() {
		for _, end := range []string{".pack", ".idx"} {
			if err := os.Remove(filepath.Join(b.dir, name+end)); err != nil {
				t.Error(err)
			}
		}
	})
	return name
}

// TestCraftedPacksEndInAnErrorAsTheyDoForGit asks for the first object of each pack.
func TestCraftedPacksEndInAnErrorAsTheyDoForGit(t *testing.T) {
	asked, other := Hash{1}, Hash{2}
	text := []byte("a text that others differ from")
	blob := crafted{kind: 3, data: text}
	one := difference(uint64(len(text)), 1, 1, 'x')
	b := newBench(t)
	for _, c := range []struct {
		name    string
		objects []crafted // the first is asked for
		want    string
	}{
		{"one that differs from itself", []crafted{{kind: 7, base: asked[:], data: one}}, "without end"},
		{"two that differ from each other", []crafted{{kind: 7, base: other[:], data: one}, {kind: 7, base: asked[:], data: one}}, "without end"},
		{"one that differs from what lies at its own place", []crafted{{kind: 6, base: []byte{0}, data: one}}, "outside the pack"},
		{"one that differs from what lies before the pack", []crafted{{kind: 6, base: []byte{0xff, 0x7f}, data: one}}, "outside the pack"},
		{"a distance without end", []crafted{{kind: 6, base: bytes.Repeat([]byte{0xff}, 12), data: one}}, "a size that no object has"},
		{"one that differs from what is not there", []crafted{{kind: 7, base: bytes.Repeat([]byte{9}, 20), data: one}}, "which the pack does not hold"},
		{"an outcome of a terabyte", []crafted{{kind: 7, base: other[:], data: difference(uint64(len(text)), 1<<40, 0x90, 1)}, blob}, "a size that no object has"},
		{"an outcome that is not reached", []crafted{{kind: 7, base: other[:], data: difference(uint64(len(text)), 100, 0x90, 1)}, blob}, "invalid delta"},
		{"a base of another size", []crafted{{kind: 7, base: other[:], data: difference(7, 1, 1, 'x')}, blob}, "invalid delta"},
		{"a copy from behind the base", []crafted{{kind: 7, base: other[:], data: difference(uint64(len(text)), 4, 0x91, 29, 4)}, blob}, "invalid delta"},
		{"an order that there is not", []crafted{{kind: 7, base: other[:], data: difference(uint64(len(text)), 4, 0, 0)}, blob}, "delta"},
		{"an object of a terabyte", []crafted{{kind: 3, size: 1 << 40, data: text}}, "a size that no object has"},
		{"an object that states more than it has", []crafted{{kind: 3, size: 1000, data: text}}, "states 1000 bytes"},
		{"an object that has more than it states", []crafted{{kind: 3, size: 10, data: make([]byte, 64<<20)}}, "states 10 bytes"},
		{"a kind that there is not", []crafted{{kind: 5, data: text}}, "kind 5"},
		{"no kind", []crafted{{kind: 0, data: text}}, "kind 0"},
	} {
		t.Run(c.name, func(t *testing.T) {
			pack, at := packOf(c.objects)
			lines := []line{{id: asked, at: at[0]}}
			if len(at) == 2 {
				lines = append(lines, line{id: other, at: at[1]})
			}
			name := b.put(t, pack, indexOf(pack, lines))
			r := at1(t, b.dir)
			if _, _, err := r.objects.read(asked); err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want %q", err, c.want)
			}
			if _, err := r.objects.size(asked); err == nil && slices.Contains([]string{"kind 5", "kind 0", "outside the pack", "a size that no object has"}, c.want) {
				t.Error("its size is told")
			}
			if out, err := gitIn(b.dir, "index-pack", "-o", filepath.Join(b.TempDir(), "again.idx"), name+".pack"); err == nil {
				t.Errorf("stock git takes the pack: %s", out)
			}
		})
	}
}

func TestAChainLongerThanAnyThatGitMakesIsLeft(t *testing.T) {
	b := newBench(t)
	for links, want := range map[int]bool{longestChain - 1: true, longestChain + 1: false} {
		text := []byte(fmt.Sprintf("a text that %d others differ from", links))
		same := difference(uint64(len(text)), uint64(len(text)), 0x90, byte(len(text)))
		chain := []crafted{{kind: 3, data: text}}
		for range links {
			chain = append(chain, crafted{kind: 6, base: distance(int64(len(chain[len(chain)-1].bytes()))), data: same})
		}
		pack, at := packOf(chain)
		lines := []line{{id: BlobID(text), at: at[links]}}
		for i, place := range at[:links] {
			id := Hash{1}
			binary.BigEndian.PutUint32(id[4:], uint32(i))
			lines = append(lines, line{id: id, at: place})
		}
		b.put(t, pack, indexOf(pack, lines))
		if _, err := at1(t, b.dir).objects.readAs(plumbing.BlobObject, BlobID(text)); (err == nil) != want {
			t.Errorf("%d links: %v", links, err)
		}
	}
}

// distance writes how far back a base lies.
func distance(n int64) []byte {
	out := []byte{byte(n & 0x7f)}
	for n >>= 7; n > 0; n >>= 7 {
		n--
		out = append([]byte{0x80 | byte(n&0x7f)}, out...)
	}
	return out
}

// at1 opens a repository afresh.
func at1(t *testing.T, dir string) *Repo {
	t.Helper()
	r, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = r.Close() })
	return r
}

// TestCraftedIndexesOfPacksAreSeenThrough holds what an index says against what lies there.
func TestCraftedIndexesOfPacksAreSeenThrough(t *testing.T) {
	one, two := crafted{kind: 3, data: []byte("one")}, crafted{kind: 3, data: []byte("two")}
	a, b := BlobID(one.data), BlobID(two.data)
	pack, at := packOf([]crafted{one, two})
	right := []line{{a, at[0], crc32.ChecksumIEEE(one.bytes())}, {b, at[1], crc32.ChecksumIEEE(two.bytes())}}
	good := indexOf(pack, right)
	end := len(good)
	edited := func(change func([]byte) []byte) []byte { return change(slices.Clone(good)) }
	set := func(i int, v uint32) []byte {
		return edited(func(x []byte) []byte { binary.BigEndian.PutUint32(x[i:], v); return x })
	}
	otherPack, _ := packOf([]crafted{two, one})
	w := newBench(t)
	for _, c := range []struct {
		name  string
		index []byte
		want  string // "" for what is read rightly
	}{
		{"the right one", good, ""},
		{"places exchanged", indexOf(pack, []line{{a, at[1], 0}, {b, at[0], 0}}), "is damaged"},
		{"a name for what is another thing", indexOf(pack, []line{{a, at[1], 0}, {Hash{7}, at[0], 0}}), "is damaged"},
		{"a place behind the end", indexOf(pack, []line{{a, 1 << 20, 0}, {b, at[1], 0}}), "where the pack has none"},
		{"a place in the head of the pack", indexOf(pack, []line{{a, 4, 0}, {b, at[1], 0}}), "where the pack has none"},
		{"a place within an object", indexOf(pack, []line{{a, at[0] + 3, 0}, {b, at[1], 0}}), "object " + a.String()},
		{"a far place that is in no table", indexOf(pack, []line{{a, 1<<31 | 5, 0}, {b, 1<<31 | 5, 0}}), "where the pack has none"},
		{"a table of first bytes that runs backwards", set(8+4*100, 77), "runs backwards"},
		{"a count without the names", edited(func(x []byte) []byte { binary.BigEndian.PutUint32(x[8+4*255:], 1<<30); return x }), "of another length"},
		{"a file that is longer", edited(func(x []byte) []byte { return append(x, 1, 2, 3) }), "of another length"},
		{"a file cut short", good[:end-30], "of another length"},
		{"an old version", edited(func(x []byte) []byte { return x[8:] }), "none of version 2"},
		{"one of another pack", indexOf(otherPack, right), "made for another pack"},
	} {
		t.Run(c.name, func(t *testing.T) {
			w.put(t, pack, c.index)
			_, err := at1(t, w.dir).objects.readAs(plumbing.BlobObject, a)
			if (c.want == "") != (err == nil) || err != nil && !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want %q", err, c.want)
			}
			out, stock := gitIn(w.dir, "fsck", "--full")
			if (stock == nil) != (err == nil) {
				t.Errorf("stock git says otherwise: %v\n%s", stock, out)
			}
		})
	}
}

// TestCraftedObjectFilesEndInAnError writes the file of an object by hand.
func TestCraftedObjectFilesEndInAnError(t *testing.T) {
	id := BlobID([]byte("x"))
	b := newBench(t)
	for name, c := range map[string]struct{ inside, want string }{
		"a head without end":      {strings.Repeat("b", 1<<20), "no head"},
		"a size that is none":     {"blob 1x\x00x", "at most"},
		"a size below nothing":    {"blob -1\x00x", "at most"},
		"a terabyte":              {"blob 1099511627776\x00x", "at most"},
		"more than it states":     {"blob 1\x00" + strings.Repeat("x", 1<<20), "states 1 bytes"},
		"less than it states":     {"blob 9\x00x", "states 9 bytes"},
		"a kind that there isn't": {"ofs-delta 1\x00x", "kind"},
		"another thing":           {"blob 1\x00y", "is damaged"},
		"another kind of thing":   {"tree 0\x00", "where a blob is expected"},
	} {
		t.Run(name, func(t *testing.T) {
			var z bytes.Buffer
			w := zlib.NewWriter(&z)
			_, _ = w.Write([]byte(c.inside))
			_ = w.Close()
			b.write(".git/objects/"+id.String()[:2]+"/"+id.String()[2:], z.String())
			if _, err := at1(t, b.dir).objects.readAs(plumbing.BlobObject, id); err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want %q", err, c.want)
			}
			if out, err := gitIn(b.dir, "fsck", "--full"); err == nil {
				t.Errorf("stock git finds nothing: %s", out)
			}
		})
	}
}

// TestAListOfPacksOrCommitsThatNobodySignedIsNotAsked lays down what stock Git believes and we never read: a graph in which
// the last commit has no parent, and an index over all packs that is nonsense.
func TestAListOfPacksOrCommitsThatNobodySignedIsNotAsked(t *testing.T) {
	b := newBench(t)
	for i := range 3 {
		b.commit(fmt.Sprint(i), "a.json", fmt.Sprint(i))
	}
	b.git("repack", "-a", "-d", "-q")
	b.git("commit-graph", "write", "--reachable")
	path := filepath.Join(b.dir, ".git/objects/info/commit-graph")
	graph, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	head, err := b.repo.Revision("HEAD")
	if err != nil {
		t.Fatal(err)
	}
	names, data := chunk(graph, "OIDL"), chunk(graph, "CDAT")
	for i := range 3 {
		if bytes.Equal(graph[names+20*i:][:20], head[:]) {
			binary.BigEndian.PutUint32(graph[data+36*i+20:], 0x70000000)
		}
	}
	sum := sha1.Sum(graph[:len(graph)-20])
	copy(graph[len(graph)-20:], sum[:])
	if err := os.Chmod(path, 0o600); err != nil {
		t.Fatal(err)
	}
	b.write(".git/objects/info/commit-graph", string(graph))
	if got := b.git("-c", "core.commitGraph=true", "rev-list", "--count", "HEAD"); got != "1" {
		t.Fatalf("stock git is not deceived, so nothing is shown: %s", got)
	}
	b.write(".git/objects/pack/multi-pack-index", "MIDX\x01\x01\x06\x00\x00\x00\x00\x01nonsense")
	if got := logIDs(t, at1(t, b.dir), head, LogOptions{}); len(got) != 3 {
		t.Errorf("the history has %d commits", len(got))
	}
}

// chunk finds where a chunk of a commit graph begins.
func chunk(graph []byte, id string) int {
	for at := 8; ; at += 12 {
		if string(graph[at:at+4]) == id {
			return int(binary.BigEndian.Uint64(graph[at+4:]))
		}
	}
}
