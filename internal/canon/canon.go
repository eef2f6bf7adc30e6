// Package canon reads and writes the bytes of records: strict JSON in, with
// every value traceable to its line and column, and one layout and its digest
// out.
//
// Strict means that a file has one reading and no other: no name twice in one
// object, no broken UTF-8, nothing after the value, numbers whole and below
// 2^53, everything within stated bounds. What cannot be read is reported where
// it stands, in words for the person who wrote it. The syntax itself is decided
// by jsontext; this package adds the tree, the positions and the sentences.
//
// The package knows nothing of cars or records and imports nothing of this
// module.
package canon

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
)

// Kind is the kind of a JSON value.
type Kind uint8

// The kinds of JSON values. The zero Kind is none of them.
const (
	Null Kind = iota + 1
	Bool
	Number
	String
	Array
	Object
)

// String names the kind as messages do: "an object", "a list", "a text".
func (k Kind) String() string {
	switch k {
	case Null:
		return "null"
	case Bool:
		return "true or false"
	case Number:
		return "a number"
	case String:
		return "a text"
	case Array:
		return "a list"
	case Object:
		return "an object"
	}
	return "nothing"
}

// Document is a parsed file. It is immutable and may be shared between
// goroutines as long as nobody writes to Source.
type Document struct {
	// Source is the file as it was read; nodes point into it.
	Source []byte
	// Root is the one value of the file; it is never nil.
	Root *Node
}

// Node is one value of a document.
type Node struct {
	Kind Kind
	// Start and End are byte offsets into the source: Source[Start:End] is the value as written.
	Start, End int
	// Text is the decoded text of a String, and the literal as written of a
	// Number, Bool or Null. It is empty for an Array or Object.
	Text string
	// Members are the members of an Object in the order written.
	Members []Member
	// Elements are the elements of an Array.
	Elements []*Node
}

// Member is one name of an object with its value.
type Member struct {
	// Name is the decoded name.
	Name string
	// NameStart is the byte offset of the name's opening quote.
	NameStart int
	// Value is never nil.
	Value *Node
}

// Get returns the value of the member called name, or nil when n is nil, is not
// an object or has no such member.
func (n *Node) Get(name string) *Node {
	if n == nil {
		return nil
	}
	for i := range n.Members {
		if n.Members[i].Name == name {
			return n.Members[i].Value
		}
	}
	return nil
}

// Any returns the value in the shape that schema validators take:
// map[string]any, []any, string, json.Number, bool or nil. The result shares
// nothing that can be changed with the document.
func (n *Node) Any() any {
	if n == nil {
		return nil
	}
	switch n.Kind {
	case Object:
		members := make(map[string]any, len(n.Members))
		for _, m := range n.Members {
			members[m.Name] = m.Value.Any()
		}
		return members
	case Array:
		elements := make([]any, len(n.Elements))
		for i, e := range n.Elements {
			elements[i] = e.Any()
		}
		return elements
	case String:
		return n.Text
	case Number:
		return json.Number(n.Text)
	case Bool:
		return n.Text == "true"
	}
	return nil
}

// Digest returns the lower-case hexadecimal SHA-256 of b, as sha256sum prints it.
func Digest(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}
