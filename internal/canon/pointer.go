package canon

import (
	"strconv"
	"strings"
)

// JoinPointer builds the JSON pointer (RFC 6901) of the given reference tokens:
// names as they are, array indices as decimal numbers. No tokens give "", the
// whole document.
func JoinPointer(tokens ...string) string {
	var b strings.Builder
	for _, token := range tokens {
		b.WriteByte('/')
		b.WriteString(pointerEscapes.Replace(token))
	}
	return b.String()
}

// ChildPointer appends one member name to a pointer.
func ChildPointer(pointer, name string) string {
	return pointer + JoinPointer(name)
}

// ElementPointer appends one array index, counting from 0, to a pointer.
func ElementPointer(pointer string, index int) string {
	return pointer + "/" + strconv.Itoa(index)
}

// SplitPointer returns the unescaped reference tokens of a pointer; ok is false
// when the text is not a JSON pointer: it does not begin with "/", or holds a
// "~" that is not followed by 0 or 1.
func SplitPointer(pointer string) (tokens []string, ok bool) {
	if pointer == "" {
		return nil, true
	}
	if pointer[0] != '/' {
		return nil, false
	}
	tokens = strings.Split(pointer[1:], "/")
	for i, token := range tokens {
		if !strings.Contains(token, "~") {
			continue
		}
		tokens[i] = pointerUnescapes.Replace(token)
		if pointerEscapes.Replace(tokens[i]) != token { // a tilde that escapes nothing
			return nil, false
		}
	}
	return tokens, true
}

var (
	pointerEscapes   = strings.NewReplacer("~", "~0", "/", "~1")
	pointerUnescapes = strings.NewReplacer("~0", "~", "~1", "/")
)

// Find returns the value that a JSON pointer names, or nil when it names none.
func (d *Document) Find(pointer string) *Node {
	node, exact := d.nearest(pointer)
	if !exact {
		return nil
	}
	return node
}

// nearest follows the pointer as far as values exist; exact says that it came
// to the end.
func (d *Document) nearest(pointer string) (node *Node, exact bool) {
	node = d.Root
	tokens, ok := SplitPointer(pointer)
	if !ok {
		return node, false
	}
	for _, token := range tokens {
		next := node.child(token)
		if next == nil {
			return node, false
		}
		node = next
	}
	return node, true
}

// child takes one step of a pointer. An index is written without leading zeros
// (RFC 6901, section 4).
func (n *Node) child(token string) *Node {
	if n.Kind != Array {
		return n.Get(token)
	}
	index, err := strconv.Atoi(token)
	if err != nil || index < 0 || index >= len(n.Elements) || strconv.Itoa(index) != token {
		return nil
	}
	return n.Elements[index]
}
