package history

import (
	"bytes"
	"encoding/json"
	"strconv"
	"strings"

	"boltback/internal/canon"
	"boltback/internal/record"
)

// labeller names and writes the values of one record.
type labeller struct {
	root   *canon.Node
	leaves map[string]record.Leaf
	secret map[*canon.Node]bool
	rank   ranks
}

func newLabeller(f *file, rank ranks) *labeller {
	l := &labeller{f.doc.Root, map[string]record.Leaf{}, map[*canon.Node]bool{}, rank}
	if f.record != nil {
		for _, leaf := range f.record.Leaves() {
			l.leaves[leaf.Pointer] = leaf
			if leaf.Role == record.Secret {
				l.secret[f.doc.Find(leaf.Pointer)] = true
			}
		}
	}
	return l
}

// label names the value at a pointer: "mass", "line 3: set", "numbers, engine: raw".
func (l *labeller) label(pointer string) string {
	tokens, _ := canon.SplitPointer(pointer)
	var label strings.Builder
	n := l.root
	for i, token := range tokens {
		switch {
		case n == nil:
			return label.String()
		case n.Kind == canon.Object:
			n = n.Get(token)
			if isLines(n) && i+1 < len(tokens) {
				continue // "line 3" says it
			}
			if label.Len() > 0 {
				label.WriteString(": ")
			}
			label.WriteString(strings.ReplaceAll(token, "-", " "))
		case n.Kind == canon.Array:
			at, err := strconv.Atoi(token)
			if err != nil || at >= len(n.Elements) {
				return label.String()
			}
			lines := isLines(n)
			n = n.Elements[at]
			if lines {
				label.WriteString("line " + strconv.Itoa(at+1))
			} else if i+1 < len(tokens) {
				label.WriteString(elementOf(titleOfElement(n), at))
			}
		}
	}
	return label.String()
}

func elementOf(title string, at int) string {
	if title == "" {
		title = strconv.Itoa(at + 1)
	}
	return ", " + title
}

// isLines tells the list of what was done in a session from other lists.
func isLines(n *canon.Node) bool {
	if n == nil || n.Kind != canon.Array {
		return false
	}
	for _, e := range n.Elements {
		if e.Get("act") != nil {
			return true
		}
	}
	return false
}

// titleOfElement is what an element of a list is called among its neighbours.
func titleOfElement(n *canon.Node) string {
	if n.Get("act") != nil {
		text, _ := lineInShort(n)
		return text
	}
	for _, name := range []string{"step", "size", "what", "of", "name", "part", "record", "end", "on"} {
		if v := n.Get(name); v != nil && v.Kind == canon.String && v.Text != "" {
			return v.Text
		}
	}
	return ""
}

// lineInShort says a line of a session, "removal of parts/fuel-tank", and which
// member besides the act it has told.
func lineInShort(n *canon.Node) (text, told string) {
	text = n.Get("act").Text
	for _, of := range []struct{ word, name string }{{" of ", "parts"}, {" at ", "joints"}, {" of ", "system"}} {
		v := n.Get(of.name)
		if v == nil {
			continue
		}
		names := []string{v.Text}
		if v.Kind == canon.Array {
			names = names[:0]
			for _, e := range v.Elements {
				names = append(names, e.Text)
			}
		}
		if len(names) > 0 {
			return text + of.word + strings.Join(names, ", "), of.name
		}
	}
	return text, ""
}

// value writes a value in one line.
func (l *labeller) value(n *canon.Node, pointer, pattern string) Value {
	return Value{Text: l.text(n, pattern), Role: l.leaves[pointer].Role, node: n, sealed: l.isSealed}
}

// brief writes only what an element is called.
func (l *labeller) brief(n *canon.Node, pointer, pattern string) Value {
	v := l.value(n, pointer, pattern)
	if title := titleOfElement(n); title != "" {
		v.Text = title
	}
	return v
}

func (l *labeller) isSealed(n *canon.Node) bool { return l.secret[n] }

func (l *labeller) text(n *canon.Node, pattern string) string {
	switch {
	case l.secret[n]:
		return "withheld"
	case n.Kind == canon.Object:
		return l.objectText(n, pattern)
	case n.Kind != canon.Array:
		return n.Text
	}
	var pieces []string
	for _, e := range n.Elements {
		pieces = append(pieces, l.text(e, pattern))
	}
	return strings.Join(pieces, ", ")
}

// objectText writes the members in the order of the schema; a line of a session
// begins with what was done to what.
func (l *labeller) objectText(n *canon.Node, pattern string) string {
	var names, pieces []string
	for _, m := range n.Members {
		names = append(names, m.Name)
	}
	l.rank.sort(names, pattern)
	told := map[string]bool{}
	if n.Get("act") != nil {
		text, member := lineInShort(n)
		pieces = append(pieces, text)
		told["act"], told[member] = true, true
	}
	for _, name := range names {
		if !told[name] {
			pieces = append(pieces, strings.ReplaceAll(name, "-", " ")+" "+l.text(n.Get(name), pattern+"/"+name))
		}
	}
	return strings.Join(pieces, "; ")
}

// MarshalJSON writes the value as the record has it, with "sealed" in the place
// of what is sealed; null where there is none.
func (v Value) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	encoder := json.NewEncoder(&b)
	encoder.SetEscapeHTML(false)
	err := encoder.Encode(v.any(v.node))
	return b.Bytes(), err
}

func (v Value) any(n *canon.Node) any {
	switch {
	case n == nil:
		return nil
	case v.sealed(n):
		return "sealed"
	case n.Kind == canon.Object:
		object := map[string]any{}
		for _, m := range n.Members {
			object[m.Name] = v.any(m.Value)
		}
		return object
	case n.Kind == canon.Array:
		list := make([]any, len(n.Elements))
		for i, e := range n.Elements {
			list[i] = v.any(e)
		}
		return list
	}
	return n.Any()
}
