package history

import (
	"encoding/json"
	"slices"
	"strconv"
	"strings"

	"boltback/internal/canon"
)

// apply carries out changes on files and gives the files that result. It uses
// only what the changes say, so that it shows that they say everything. Lists
// without an order may come out in another one.
func apply(t interface{ Fatal(...any) }, files map[string][]byte, changes []Change) map[string][]byte {
	out := map[string][]byte{}
	for path, src := range files {
		out[path] = src
	}
	for _, c := range changes {
		if c.What == Renamed || c.What == Removed {
			delete(out, c.before.path)
		}
	}
	for _, c := range changes {
		switch c.What {
		case Added:
			out[c.Path] = c.after.bytes
		case Renamed, Changed:
			p := newPatch(c.Fields)
			doc, err := canon.Parse(files[c.before.path], canon.DefaultLimits())
			if err != nil {
				t.Fatal(err)
			}
			text, err := json.Marshal(p.value(doc.Root, ""))
			if err != nil {
				t.Fatal(err)
			}
			out[c.Path] = text
		}
	}
	return out
}

// patch holds the fields by where they were in the old record.
type patch struct {
	gone, changed map[string]Field
	added, moved  map[string][]Field // by the object or list they are in
}

func newPatch(fields []Field) *patch {
	p := &patch{map[string]Field{}, map[string]Field{}, map[string][]Field{}, map[string][]Field{}}
	for _, f := range fields {
		switch f.What {
		case Added:
			p.added[f.parent] = append(p.added[f.parent], f)
		case Removed:
			p.gone[f.Was] = f
		case Moved:
			p.moved[f.parent] = append(p.moved[f.parent], f)
		default:
			p.changed[f.Was] = f
		}
	}
	return p
}

func (p *patch) value(n *canon.Node, was string) any {
	if f, ok := p.changed[was]; ok {
		return f.New.node.Any()
	}
	switch n.Kind {
	case canon.Object:
		object := map[string]any{}
		for _, m := range n.Members {
			at := canon.ChildPointer(was, m.Name)
			if _, gone := p.gone[at]; !gone {
				object[m.Name] = p.value(m.Value, at)
			}
		}
		for _, f := range p.added[was] {
			tokens, _ := canon.SplitPointer(f.At)
			object[tokens[len(tokens)-1]] = f.New.node.Any()
		}
		for parent := range p.added {
			above, name := splitLast(parent)
			if parent != "" && above == was && n.Get(name) == nil {
				object[name] = p.list(noEntries, parent)
			}
		}
		return object
	case canon.Array:
		return p.list(n, was)
	}
	return n.Any()
}

// list places what was added or moved where it is now, and what stayed around it
// in the order it had.
func (p *patch) list(n *canon.Node, was string) any {
	placed := map[int]any{}
	elsewhere := map[string]bool{}
	for _, f := range p.added[was] {
		placed[lastNumber(f.At)] = f.New.node.Any()
	}
	for _, f := range p.moved[was] {
		placed[lastNumber(f.At)] = p.value(n.Elements[lastNumber(f.Was)], f.Was)
		elsewhere[f.Was] = true
	}
	var stayed []any
	for i, e := range n.Elements {
		at := canon.ElementPointer(was, i)
		if _, gone := p.gone[at]; !gone && !elsewhere[at] {
			stayed = append(stayed, p.value(e, at))
		}
	}
	list := slices.Repeat([]any{nil}, len(placed)+len(stayed))
	for j := range list {
		if v, ok := placed[j]; ok {
			list[j] = v
		} else {
			list[j], stayed = stayed[0], stayed[1:]
		}
	}
	return list
}

func splitLast(pointer string) (above, name string) {
	at := max(0, strings.LastIndexByte(pointer, '/'))
	tokens, _ := canon.SplitPointer(pointer[at:])
	return pointer[:at], strings.Join(tokens, "/")
}

func lastNumber(pointer string) int {
	n, _ := strconv.Atoi(pointer[strings.LastIndexByte(pointer, '/')+1:])
	return n
}
