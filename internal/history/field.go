package history

import (
	"boltback/internal/canon"
	"boltback/internal/record"
)

// Field is one value that differs.
type Field struct {
	// What is Added, Removed, Changed or Moved.
	What What
	// Was is the JSON pointer in the record as it was, At in the record as it is;
	// empty where the value is not there. Elements of a list that moved or that
	// stand behind an insertion have two.
	Was, At string
	// Label names the value in words: "fasteners, M8 x 25: count".
	Label string
	// Old and New are the value as written.
	Old, New Value
	// Relation says how the two hang together, Remark the same in words: "heavier
	// by 1.5 kg", "same within rounding". Both may be empty.
	Relation Relation
	Remark   string

	parent string // where the object or list that holds it was in the old record
}

// Value is a value as written.
type Value struct {
	// Text is it in one line; a sealed value is "withheld", none is "".
	Text string
	// Role says what a text is.
	Role record.Role

	node   *canon.Node
	sealed func(*canon.Node) bool
}

// headMembers are the members that make a record stand over another; they are
// not part of what it says.
var headMembers = map[string]bool{"/corrects": true, "/withdraws": true, "/reason": true}

// comparison compares two objects and collects what differs.
type comparison struct {
	old, new *labeller
	rank     ranks
	renamed  map[record.Ref]record.Ref
	same     aliases
	skip     map[string]bool
	fields   []Field
}

// fieldsBetween lists the values in which two objects differ, in the order of
// the schema; members in skip are left out.
func fieldsBetween(old, new *file, renamed map[record.Ref]record.Ref, skip map[string]bool) []Field {
	rank := ranksOf(new.kind)
	c := &comparison{old: newLabeller(old, rank), new: newLabeller(new, rank), rank: rank, renamed: renamed, same: aliasesOf(renamed), skip: skip}
	c.object(old.doc.Root, new.doc.Root, place{})
	return c.fields
}

// place is where a value is in both records. The pattern is the pointer without
// the numbers of elements.
type place struct{ was, at, pattern string }

func (p place) member(name string) place {
	return place{canon.ChildPointer(p.was, name), canon.ChildPointer(p.at, name), p.pattern + "/" + name}
}

func (p place) element(i, j int) place {
	return place{canon.ElementPointer(p.was, i), canon.ElementPointer(p.at, j), p.pattern}
}

func (c *comparison) value(a, b *canon.Node, p place) {
	switch {
	case a.Kind == canon.Object && b.Kind == canon.Object:
		c.object(a, b, p)
	case a.Kind == canon.Array && b.Kind == canon.Array:
		c.list(a, b, p)
	case a.Kind != b.Kind || a.Text != b.Text:
		f := Field{What: Changed, Was: p.was, At: p.at, Label: c.new.label(p.at), Old: c.old.value(a, p.was, p.pattern), New: c.new.value(b, p.at, p.pattern)}
		f.Relation, f.Remark = c.relate(f, p.pattern)
		c.fields = append(c.fields, f)
	}
}

func (c *comparison) object(a, b *canon.Node, p place) {
	for _, name := range c.names(a, b, p.pattern) {
		x, y, at := a.Get(name), b.Get(name), p.member(name)
		switch {
		case c.skip[at.pattern]:
		case x == nil && holdsEntries(y):
			c.list(noEntries, y, at)
		case y == nil && holdsEntries(x):
			c.list(x, noEntries, at)
		case x == nil:
			c.add(y, at, p.was)
		case y == nil:
			c.remove(x, at, p.was)
		default:
			c.value(x, y, at)
		}
	}
}

// noEntries is what a list is that is not there: an empty one says the same.
var noEntries = &canon.Node{Kind: canon.Array}

// holdsEntries tells a list of objects, whose entries are told one by one, and an
// empty list, of which there is nothing to tell, from other values.
func holdsEntries(n *canon.Node) bool {
	return n.Kind == canon.Array && (len(n.Elements) == 0 || n.Elements[0].Kind == canon.Object)
}

func (c *comparison) add(n *canon.Node, p place, parent string) {
	c.fields = append(c.fields, Field{What: Added, At: p.at, Label: c.new.label(p.at), New: c.new.value(n, p.at, p.pattern), parent: parent})
}

func (c *comparison) remove(n *canon.Node, p place, parent string) {
	c.fields = append(c.fields, Field{What: Removed, Was: p.was, Label: c.old.label(p.was), Old: c.old.value(n, p.was, p.pattern), parent: parent})
}

// names lists the members of two objects in the order of the schema, unknown
// ones behind in the order of the alphabet.
func (c *comparison) names(a, b *canon.Node, pattern string) []string {
	var names []string
	for _, m := range a.Members {
		names = append(names, m.Name)
	}
	for _, m := range b.Members {
		if a.Get(m.Name) == nil {
			names = append(names, m.Name)
		}
	}
	c.rank.sort(names, pattern)
	return names
}

// list compares two lists element by element, each with its like.
func (c *comparison) list(a, b *canon.Node, p place) {
	order := listAt(p.pattern, a, b)
	left := make([]int, len(b.Elements)) // for each new element, the old one it is; -1 for none
	for j := range left {
		left[j] = -1
	}
	kept := make([]bool, len(a.Elements))
	moved := map[int]bool{}
	for _, m := range align(order.elements(a, p.pattern, c.same), order.elements(b, p.pattern, c.same), order.counts) {
		left[m.new], kept[m.old], moved[m.new] = m.old, true, m.moved
	}
	next := 0
	flush := func(until int) {
		for ; next < until; next++ {
			if !kept[next] {
				c.remove(a.Elements[next], p.element(next, 0), p.was)
			}
		}
	}
	for j, i := range left {
		if i < 0 {
			c.add(b.Elements[j], p.element(0, j), p.was)
			continue
		}
		at := p.element(i, j)
		if moved[j] {
			c.fields = append(c.fields, Field{What: Moved, Was: at.was, At: at.at, Label: c.new.label(at.at),
				Old: c.old.brief(a.Elements[i], at.was, p.pattern), New: c.new.brief(b.Elements[j], at.at, p.pattern), parent: p.was})
		} else {
			flush(i)
		}
		c.value(a.Elements[i], b.Elements[j], at)
	}
	flush(len(a.Elements))
}
