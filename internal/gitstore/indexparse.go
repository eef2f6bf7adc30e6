package gitstore

import (
	"bytes"
	"crypto/sha1"
	"encoding/binary"
	"errors"
	"fmt"
)

var errIndexShort = errors.New("the index is cut short; run git reset to build it anew")

// longestName is more than any system takes for a path. Version 4 shortens names by what the one before had, so that a small index
// could ask for names that fill any memory.
const longestName = 1 << 14

// parseIndex reads an index of version 2, 3 or 4. Forms that spread the index
// over several files, or fold folders into one entry, are refused.
func parseIndex(data []byte) (*gitIndex, error) {
	const header, trailer = 12, sha1.Size
	if len(data) < header+trailer || string(data[:4]) != "DIRC" {
		return nil, errIndexShort
	}
	body, sum := data[:len(data)-trailer], data[len(data)-trailer:]
	// Git may be told to leave the checksum out; it then writes zeros.
	if got := sha1.Sum(body); !bytes.Equal(got[:], sum) && !bytes.Equal(sum, make([]byte, trailer)) {
		return nil, errors.New("the index is damaged: its checksum is wrong; run git reset to build it anew")
	}
	version, count := binary.BigEndian.Uint32(data[4:]), binary.BigEndian.Uint32(data[8:])
	if version < 2 || version > 4 {
		return nil, &RefusedError{Reason: fmt.Sprintf("its index has the version %d", version), Remedy: "run git update-index --index-version 2"}
	}
	if uint64(count)*fixedSize > uint64(len(body)) {
		return nil, errIndexShort
	}
	ix := &gitIndex{entries: make([]indexEntry, 0, count)}
	// A split index has entries without names, so its extension is looked at
	// before a complaint about order.
	rest, previous, disorder := body[header:], "", error(nil)
	spelt := 0
	for range count {
		e, after, err := parseIndexEntry(rest, version, previous)
		if err != nil {
			return nil, err
		}
		if e.name == "" || e.name < previous {
			disorder = fmt.Errorf("the index is out of order at %q; run git reset to build it anew", e.name)
		}
		if spelt += len(e.name); spelt > largestFile {
			return nil, errors.New("the index spells names without end; run git reset to build it anew")
		}
		ix.entries = append(ix.entries, e)
		rest, previous = after, e.name
	}
	if err := checkExtensions(rest); err != nil {
		return nil, err
	}
	return ix, disorder
}

func parseIndexEntry(data []byte, version uint32, previous string) (indexEntry, []byte, error) {
	size := fixedSize
	if len(data) < size {
		return indexEntry{}, nil, errIndexShort
	}
	if binary.BigEndian.Uint16(data[flagsAt:])&flagExtended != 0 {
		size += 2
	}
	if len(data) < size || size > fixedSize && version == 2 {
		return indexEntry{}, nil, errIndexShort
	}
	e := indexEntry{fixed: data[:size:size]}
	rest := data[size:]
	if version == 4 {
		cut, n := offsetVarint(rest)
		if n <= 0 || cut > uint64(len(previous)) {
			return indexEntry{}, nil, errIndexShort
		}
		name, after, ok := bytes.Cut(rest[n:], []byte{0})
		kept := len(previous) - int(cut)
		if !ok || kept+len(name) > longestName {
			return indexEntry{}, nil, errIndexShort
		}
		e.name = previous[:kept] + string(name)
		return e, after, nil
	}
	n := bytes.IndexByte(rest, 0)
	padded := n + 8 - (size+n)%8
	if n < 0 || padded > len(rest) {
		return indexEntry{}, nil, errIndexShort
	}
	e.name = string(rest[:n])
	return e, rest[padded:], nil
}

// offsetVarint reads the number that version 4 puts before a name: base 128,
// most significant digit first, each continuation adding one.
func offsetVarint(data []byte) (value uint64, n int) {
	for n < len(data) && n < 9 {
		c := data[n]
		n++
		value = value<<7 | uint64(c&0x7f)
		if c&0x80 == 0 {
			return value, n
		}
		value++
	}
	return 0, 0
}

// checkExtensions refuses what cannot be left out: an extension whose name
// begins with a small letter changes what the entries mean.
func checkExtensions(rest []byte) error {
	for len(rest) > 0 {
		if len(rest) < 8 {
			return errIndexShort
		}
		name, size := string(rest[:4]), binary.BigEndian.Uint32(rest[4:])
		if uint64(size) > uint64(len(rest)-8) {
			return errIndexShort
		}
		switch {
		case name == "link":
			return &RefusedError{Reason: "its index is split over two files", Remedy: "run git update-index --no-split-index"}
		case name == "sdir":
			return &RefusedError{Reason: "its index is sparse", Remedy: "run git sparse-checkout reapply --no-sparse-index"}
		case name[0] < 'A' || name[0] > 'Z':
			return &RefusedError{Reason: fmt.Sprintf("its index has the part %q, which is unknown here", name), Remedy: "remove .git/index and run git reset"}
		}
		rest = rest[8+size:]
	}
	return nil
}
