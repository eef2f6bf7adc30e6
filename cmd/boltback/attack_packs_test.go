package main

import (
	"bytes"
	"compress/zlib"
	"crypto/sha1"
	"encoding/binary"
	"encoding/hex"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// packObject is an object of a pack as it is written there: its kind, where its base is, its bytes.
type packObject struct {
	kind       byte
	base, data []byte
}

// layPacks writes packs that have the last commit of a car, which every verb begins with, as a difference that leads nowhere: from
// itself by name, from its own place, from another that differs from it, and down a chain longer than any that Git makes.
func layPacks(t *testing.T, car, folder string) {
	t.Helper()
	git := func(args ...string) []byte {
		out, status := shell(t, car, nil, "git", args...)
		if status != 0 {
			t.Fatal(out)
		}
		return []byte(out)
	}
	head, err := hex.DecodeString(strings.TrimSpace(string(git("rev-parse", "HEAD"))))
	if err != nil {
		t.Fatal(err)
	}
	commit := git("cat-file", "commit", "HEAD")
	size := binary.AppendUvarint(nil, uint64(len(commit)))
	same := append(slices.Concat(size, size), 0xb0, byte(len(commit)), byte(len(commit)>>8)) // all of the base, from its beginning
	other := bytes.Repeat([]byte{1}, len(head))
	chain := []packObject{{1, nil, commit}}
	for range 5_000 {
		chain = append(chain, packObject{6, backTo(len(chain[len(chain)-1].bytes())), same})
	}
	for name, objects := range map[string][]packObject{
		"itself": {{7, head, same}},
		"place":  {{6, []byte{0}, same}},
		"two":    {{7, head, same}, {7, other, same}},
		"chain":  chain,
	} {
		pack, at := packOf(objects)
		write(t, filepath.Join(folder, "pack--"+name+".pack"), string(pack))
		write(t, filepath.Join(folder, "pack--"+name+".idx"), string(indexOf(pack, at, head, other)))
	}
}

func (o packObject) bytes() []byte {
	n := len(o.data)
	out := []byte{o.kind<<4 | byte(n&15)}
	for n >>= 4; n > 0; n >>= 7 {
		out[len(out)-1] |= 0x80
		out = append(out, byte(n&0x7f))
	}
	var z bytes.Buffer
	w := zlib.NewWriter(&z)
	_, _ = w.Write(o.data) // writing to memory does not fail
	_ = w.Close()
	return slices.Concat(out, o.base, z.Bytes())
}

// backTo writes how far before a difference its base begins, at most two bytes of it.
func backTo(n int) []byte {
	if n < 0x80 {
		return []byte{byte(n)}
	}
	return []byte{0x80 | byte(n>>7-1), byte(n & 0x7f)}
}

func packOf(objects []packObject) (pack []byte, at []uint32) {
	pack = binary.BigEndian.AppendUint32([]byte("PACK\x00\x00\x00\x02"), uint32(len(objects)))
	for _, o := range objects {
		at = append(at, uint32(len(pack)))
		pack = append(pack, o.bytes()...)
	}
	sum := sha1.Sum(pack)
	return append(pack, sum[:]...), at
}

// indexOf names the last object head, the first other where there are two, and makes names up for the rest.
func indexOf(pack []byte, at []uint32, head, other []byte) []byte {
	type named struct {
		id string
		at uint32
	}
	var lines []named
	for i, place := range at {
		id := binary.BigEndian.AppendUint32(make([]byte, 16), uint32(i))
		switch i {
		case len(at) - 1:
			id = head
		case len(at) - 2:
			id = other
		}
		lines = append(lines, named{string(id), place})
	}
	slices.SortFunc(lines, func(a, b named) int { return strings.Compare(a.id, b.id) })
	out := []byte("\xfftOc\x00\x00\x00\x02")
	for b := range 256 {
		n, _ := slices.BinarySearchFunc(lines, b+1, func(l named, first int) int { return int(l.id[0]) - first })
		out = binary.BigEndian.AppendUint32(out, uint32(n))
	}
	for _, l := range lines {
		out = append(out, l.id...)
	}
	out = append(out, make([]byte, 4*len(lines))...) // sums that nobody compares before he has read
	for _, l := range lines {
		out = binary.BigEndian.AppendUint32(out, l.at)
	}
	out = append(out, pack[len(pack)-sha1.Size:]...)
	sum := sha1.Sum(out)
	return append(out, sum[:]...)
}
