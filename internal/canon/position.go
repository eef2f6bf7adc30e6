package canon

import (
	"bytes"
	"strings"
	"unicode/utf8"
)

// Position is a place in a file. Both count from 1; columns count characters
// (Unicode code points), not bytes. Lines end at a line feed.
type Position struct{ Line, Column int }

// Position returns the place of a byte offset. Offsets outside the file mean
// its first or last place.
func (d *Document) Position(offset int) Position {
	return positionIn(d.Source, offset)
}

// Locate returns the place where the value named by a JSON pointer begins, or,
// when there is none, where its nearest existing ancestor begins.
func (d *Document) Locate(pointer string) Position {
	node, _ := d.nearest(pointer)
	return d.Position(node.Start)
}

// LocateName returns the place of the member name that the pointer ends in. For
// an element of an array, and for what does not exist, it is what Locate returns.
func (d *Document) LocateName(pointer string) Position {
	cut := strings.LastIndexByte(pointer, '/')
	if cut < 0 {
		return d.Locate(pointer)
	}
	tokens, ok := SplitPointer(pointer[cut:])
	parent := d.Find(pointer[:cut])
	if !ok || parent == nil {
		return d.Locate(pointer)
	}
	for _, m := range parent.Members {
		if m.Name == tokens[0] {
			return d.Position(m.NameStart)
		}
	}
	return d.Locate(pointer)
}

func positionIn(src []byte, offset int) Position {
	before := src[:min(max(offset, 0), len(src))]
	line := bytes.Count(before, []byte{'\n'}) + 1
	start := bytes.LastIndexByte(before, '\n') + 1
	return Position{line, utf8.RuneCount(before[start:]) + 1}
}
