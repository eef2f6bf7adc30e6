package history

import (
	"bytes"
	"encoding/json"
	"reflect"
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
}

func newLabeller(f *file) *labeller {
	l := &labeller{root: f.doc.Root, leaves: map[string]record.Leaf{}, secret: map[*canon.Node]bool{}}
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
	if act := n.Get("act"); act != nil {
		return lineInShort(n)
	}
	for _, name := range []string{"step", "size", "what", "of", "name", "part", "record", "end", "on"} {
		if v := n.Get(name); v != nil && v.Kind == canon.String && v.Text != "" {
			return v.Text
		}
	}
	return ""
}

// lineInShort says a line of a session: "removal of parts/fuel-tank".
func lineInShort(n *canon.Node) string {
	text := n.Get("act").Text
	for _, of := range []struct{ word, name string }{{" of ", "parts"}, {" at ", "joints"}, {" of ", "system"}} {
		v := n.Get(of.name)
		switch {
		case v == nil:
		case v.Kind == canon.String:
			return text + of.word + v.Text
		case len(v.Elements) > 0:
			var names []string
			for _, e := range v.Elements {
				names = append(names, e.Text)
			}
			return text + of.word + strings.Join(names, ", ")
		}
	}
	return text
}

// value writes a value in one line.
func (l *labeller) value(n *canon.Node, pointer string) Value {
	return Value{Text: l.text(n), Role: l.leaves[pointer].Role, node: n, sealed: l.isSealed}
}

// brief writes only what an element is called.
func (l *labeller) brief(n *canon.Node, pointer string) Value {
	v := l.value(n, pointer)
	if title := titleOfElement(n); title != "" {
		v.Text = title
	}
	return v
}

func (l *labeller) isSealed(n *canon.Node) bool { return l.secret[n] }

func (l *labeller) text(n *canon.Node) string {
	var pieces []string
	switch {
	case l.secret[n]:
		return "withheld"
	case n.Kind == canon.Object && n.Get("act") != nil:
		pieces = append(pieces, lineInShort(n))
	case n.Kind != canon.Object && n.Kind != canon.Array:
		return n.Text
	}
	for _, e := range n.Elements {
		pieces = append(pieces, l.text(e))
	}
	for _, m := range n.Members {
		if len(pieces) > 0 && (m.Name == "act" || m.Name == "parts") && n.Get("act") != nil {
			continue // the line in short has said it
		}
		pieces = append(pieces, strings.ReplaceAll(m.Name, "-", " ")+" "+l.text(m.Value))
	}
	if n.Kind == canon.Array {
		return strings.Join(pieces, ", ")
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

// ranksOf numbers the members of a kind of record as its type declares them, by
// pattern.
func ranksOf(kind record.Kind) map[string]int {
	ranks := map[string]int{}
	if body := record.New(kind); body != nil {
		rankMembers(reflect.TypeOf(body), "", ranks)
	}
	return ranks
}

func rankMembers(t reflect.Type, pattern string, ranks map[string]int) {
	for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice {
		t = t.Elem()
	}
	if t.Kind() != reflect.Struct {
		return
	}
	for i := range t.NumField() {
		f := t.Field(i)
		if f.Anonymous {
			rankMembers(f.Type, pattern, ranks)
			continue
		}
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		ranks[pattern+"/"+name] = len(ranks)
		rankMembers(f.Type, pattern+"/"+name, ranks)
	}
}
