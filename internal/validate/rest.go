package validate

import (
	"slices"

	"boltback/internal/canon"
	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// rest checks the quantities and dates of a file that its schema refuses: without the members that the schema named it may
// still be read, and then all its faults show in one run. Positions are the file's own.
func (c *checker) rest(u *ledger.Unread, found []finding.Finding) {
	var out []string
	for _, f := range found {
		if f.Code != "incomplete" {
			out = append(out, f.Pointer)
		}
	}
	kept, err := canon.Parse(canon.Layout(&canon.Document{Root: without(u.Doc.Root, "", out)}), canon.DefaultLimits())
	if err != nil {
		return
	}
	r, err := record.FromDocument(u.Path, kept)
	if err != nil {
		return // it is damaged beyond what can be left out
	}
	r.Doc = u.Doc
	c.texts(r)
}

// without copies a value and leaves out the members that pointers name. Elements of lists stay, so that pointers keep
// their meaning.
func without(n *canon.Node, at string, out []string) *canon.Node {
	kept := *n
	kept.Members, kept.Elements = nil, nil
	for _, m := range n.Members {
		pointer := canon.ChildPointer(at, m.Name)
		if !slices.Contains(out, pointer) {
			m.Value = without(m.Value, pointer, out)
			kept.Members = append(kept.Members, m)
		}
	}
	for i, e := range n.Elements {
		kept.Elements = append(kept.Elements, without(e, canon.ElementPointer(at, i), out))
	}
	return &kept
}
