package history

import (
	"strings"

	"boltback/internal/canon"
	"boltback/internal/record"
)

// change says what became of one file.
func (p pair) change(renamed map[record.Ref]record.Ref) Change {
	f := p.new
	if f == nil {
		f = p.old
	}
	c := Change{Record: f.id, Path: f.path, Kind: f.kind, Title: f.title(), before: p.old, after: p.new}
	if p.old != nil {
		c.Old = p.old.record
	}
	if p.new != nil {
		c.New = p.new.record
	}
	switch {
	case p.old == nil:
		c.What = Added
	case p.new == nil:
		c.What = Removed
	case p.old.path != p.new.path:
		c.What, c.Was = Renamed, p.old.id
		l := compareValues(valuesOf(c.Old, map[*record.Record]map[string]int{}), valuesOf(c.New, map[*record.Record]map[string]int{}))
		c.Alike, c.Values = l.alike, l.values
		c.Fields = fieldsBetween(p.old, p.new, renamed, nil)
	default:
		c.What = Changed
		p.describe(&c, renamed)
	}
	if c.What == Added || c.What == Removed {
		c.tellAlone(f)
	}
	return c
}

// describe fills in what differs in a file that is there on both sides.
func (p pair) describe(c *Change, renamed map[record.Ref]record.Ref) {
	switch {
	case p.new.fault != "" && p.old.fault == "" && p.old.id != "":
		c.Remark = "it can no longer be read: " + p.new.fault
	case p.new.fault != "":
		c.Remark = "it cannot be read: " + p.new.fault
	case p.old.fault != "":
		c.Remark = "it can be read now"
	case p.new.id == "":
		c.Remark = "its bytes differ; it is " + whatElse(p.new.path)
	}
	if !isObject(p.old) || !isObject(p.new) {
		return
	}
	c.Fields = fieldsBetween(p.old, p.new, renamed, nil)
	if len(c.Fields) == 0 {
		c.What = Layout
	}
}

// tellAlone says what there is to say of a file that is there on one side only.
func (c *Change) tellAlone(f *file) {
	switch {
	case f.fault != "":
		c.Remark = "it cannot be read: " + f.fault
	case f.id == "":
		c.Remark = "it is " + whatElse(f.path)
	}
	if f.record != nil {
		head := f.record.Body.Heading()
		c.Over, c.Reason = head.Corrects, head.Reason
		if head.Withdraws != "" {
			c.Over = head.Withdraws
		}
	}
}

// whatElse says what a file is that is no record.
func whatElse(path string) string {
	folder, _, nested := strings.Cut(path, "/")
	switch {
	case path == "allowed_signers":
		return "the list of keys for stock tools"
	case path == ".gitattributes", path == ".gitignore":
		return "a setting of Git"
	case strings.HasSuffix(path, ".sig"):
		return "a signature"
	case !nested:
		return "no record"
	case folder == "previews":
		return "a preview"
	case folder == "inbox":
		return "an entry that is not complete"
	case folder == "schema":
		return "a copy of a schema"
	}
	return "no record"
}

func isObject(f *file) bool { return f.doc != nil && f.doc.Root.Kind == canon.Object }
