package history

import (
	"slices"
	"strconv"
	"strings"

	"boltback/internal/canon"
	"boltback/internal/record"
)

// order says how the elements of a list find their like: whether their order
// counts, and by which members, from strict to loose, one is taken for the other.
// Elements that are wholly alike find each other before.
type order struct {
	counts bool
	keys   [][]string
}

// lists holds what identifies the elements of each list of objects, by the
// pattern of its pointer. Order counts for steps that are done one after another.
var lists = map[string]order{
	"/lines":             {true, [][]string{{"act", "parts", "joints", "position"}, {"act", "parts"}, {"act", "joints"}, {"act", "system"}, {"parts", "joints"}}},
	"/lines/ends":        {false, [][]string{{"end"}}},
	"/runs":              {false, [][]string{{"end", "to"}, {"end"}, {"to"}}},
	"/condition":         {false, [][]string{{"on", "state"}, {"on"}}},
	"/numbers":           {false, [][]string{{"what", "raw", "where"}, {"what", "where"}, {"what", "raw"}}},
	"/ratings":           {false, [][]string{{"of", "condition", "basis"}, {"of", "condition"}, {"of"}}},
	"/fasteners":         {false, [][]string{{"size", "what", "class"}, {"size", "what"}, {"size"}}},
	"/values":            {false, [][]string{{"of", "poles"}, {"of"}}},
	"/baseline/parts":    {false, [][]string{{"part", "position"}, {"part"}}},
	"/baselines":         {false, [][]string{{"name"}, {"on"}}},
	"/baselines/parts":   {false, [][]string{{"part", "position"}, {"part"}}},
	"/certificate/lines": {false, [][]string{{"what", "says"}, {"what"}}},
	"/calls-for":         {true, [][]string{{"step", "does"}, {"step"}}},
	"/weighing/aboard":   {false, [][]string{{"what", "station"}, {"what"}}},
	"/circuit/consumers": {false, [][]string{{"what"}}},
	"/rows":              {false, [][]string{{"station"}, {"seats"}}},
	"/covers":            {false, [][]string{{"record"}}},
	"/held":              {false, [][]string{{"sort", "person", "where"}, {"person"}, {"where"}, {"sort"}}},
	"/checks":            {false, [][]string{{"check", "part", "where"}, {"check"}}},
	"/sources":           {false, [][]string{{"key"}, {"document"}}},
	"/items":             {false, [][]string{{"item"}, {"title"}}},
	"/overrides":         {false, [][]string{{"item"}}},
	"/custody":           {false, [][]string{{"parts", "goes"}, {"parts"}, {"goes"}}},
}

// listAt finds out how a list is compared. Lists of texts are sets: parts,
// papers, hazards. In a list of objects that is not known the order counts.
func listAt(pattern string, both ...*canon.Node) order {
	for _, n := range both {
		for _, e := range n.Elements {
			if e.Kind != canon.String {
				if known, ok := lists[pattern]; ok {
					return known
				}
				return order{counts: true}
			}
		}
	}
	return order{}
}

// aliases gives one name to both names of a record that was renamed, so that what
// refers to it finds its like.
type aliases map[string]string

func aliasesOf(renamed map[record.Ref]record.Ref) aliases {
	same := aliases{}
	for old, now := range renamed {
		alias := string(min(old, now))
		same[string(old)], same[string(now)] = alias, alias
	}
	return same
}

// element is what is compared to match an element: everything it says, and its
// keys; an empty key matches nothing.
type element []string

func (o order) elements(list *canon.Node, pattern string, same aliases) []element {
	all := make([]element, len(list.Elements))
	for i, e := range list.Elements {
		all[i] = element{same.fingerprint(e, pattern)}
		for level, members := range o.keys {
			all[i] = append(all[i], same.keyOf(e, members, pattern, level > 0))
		}
	}
	return all
}

// keyOf is what an element says in some members. A loose key needs all of them.
func (same aliases) keyOf(e *canon.Node, members []string, pattern string, loose bool) string {
	var b strings.Builder
	found := 0
	for _, name := range members {
		if v := e.Get(name); v != nil {
			found++
			b.WriteString(same.fingerprint(v, pattern+"/"+name))
		}
		b.WriteByte(0)
	}
	if found == 0 || loose && found < len(members) {
		return ""
	}
	return b.String()
}

// fingerprint is one text for everything that says the same: members sorted,
// lists without order sorted.
func (same aliases) fingerprint(n *canon.Node, pattern string) string {
	var pieces []string
	switch n.Kind {
	case canon.Object:
		for _, m := range n.Members {
			if m.Value.Kind == canon.Array && len(m.Value.Elements) == 0 {
				continue // as if it were not there
			}
			pieces = append(pieces, strconv.Quote(m.Name)+":"+same.fingerprint(m.Value, pattern+"/"+m.Name))
		}
		slices.Sort(pieces)
		return "{" + strings.Join(pieces, ",") + "}"
	case canon.Array:
		for _, e := range n.Elements {
			pieces = append(pieces, same.fingerprint(e, pattern))
		}
		if !listAt(pattern, n).counts {
			slices.Sort(pieces)
		}
		return "[" + strings.Join(pieces, ",") + "]"
	case canon.String:
		if alias, ok := same[n.Text]; ok {
			return strconv.Quote(alias)
		}
		return strconv.Quote(n.Text)
	}
	return n.Text
}
