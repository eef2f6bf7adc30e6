package validate

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"boltback/internal/canon"
	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// references holds every reference of every record against what is there.
func (c *checker) references() {
	c.infer()
	names := map[string][]string{}
	for _, id := range c.s.Names() {
		folder := record.FolderOf(id)
		names[folder] = append(names[folder], string(id))
	}
	for _, r := range c.s.Records() {
		for _, leaf := range r.Leaves() {
			if leaf.Role == record.Reference {
				c.reference(r, leaf, names)
			}
		}
		c.owner(r)
	}
}

func (c *checker) reference(r *record.Record, leaf record.Leaf, names map[string][]string) {
	id := record.Ref(leaf.Text)
	target := c.s.Record(id)
	switch {
	case target == nil && c.s.Unread(id) != nil:
		c.report(r, leaf.Pointer, "broken-reference", fmt.Sprintf("%s is there but cannot be read", id), "mend "+record.PathOf(id)+" first")
	case target == nil && c.inferred[id]:
		if c.removes(r, leaf.Pointer) {
			c.report(r, leaf.Pointer, "undeclared-part", fmt.Sprintf("nobody has declared %s: that it was taken off says it was on the car", id), "record it when there is time: its tag, its mass, a photo")
		}
	case target == nil:
		c.report(r, leaf.Pointer, "unknown-reference", fmt.Sprintf("there is no record %s", id), suggestReference(id, leaf.Kinds, names))
	case !slices.Contains(leaf.Kinds, "*") && !slices.Contains(leaf.Kinds, target.Kind):
		c.report(r, leaf.Pointer, "wrong-reference", fmt.Sprintf("%s is a %s, and a %s belongs here", id, target.Kind, kindList(leaf.Kinds)), "")
	case leaf.Pointer != "/corrects" && leaf.Pointer != "/withdraws":
		c.withdrawn(r, leaf, target)
	}
}

// infer notes the parts that nobody declared and somebody took off: their removal declares them.
func (c *checker) infer() {
	c.inferred = map[record.Ref]bool{}
	for _, s := range ledger.All[record.Session](c.s) {
		for _, line := range s.Body.Lines {
			for _, part := range line.Parts {
				if line.Act == "removal" && record.FolderOf(part) == "parts" && c.s.Record(part) == nil {
					c.inferred[part] = true
				}
			}
		}
	}
}

// removes reports whether a place in a record is the part of a removal.
func (c *checker) removes(r *record.Record, pointer string) bool {
	session, ok := r.Body.(*record.Session)
	tokens, _ := canon.SplitPointer(pointer)
	if !ok || len(tokens) < 4 || tokens[0] != "lines" || tokens[2] != "parts" {
		return false
	}
	i, err := strconv.Atoi(tokens[1])
	return err == nil && i < len(session.Lines) && session.Lines[i].Act == "removal"
}

// withdrawn warns where a record that counts relies on one that was withdrawn.
func (c *checker) withdrawn(r *record.Record, leaf record.Leaf, target *record.Record) {
	if standing, _ := c.s.StandingOf(r); standing != ledger.Stands && standing != ledger.Disputed {
		return
	}
	if standing, by := c.s.StandingOf(target); standing == ledger.Withdrawn {
		c.report(r, leaf.Pointer, "withdrawn-reference", fmt.Sprintf("%s was withdrawn by %s", target.ID, by.ID), "")
	}
}

// owner requires the person or instrument beside an entry.
func (c *checker) owner(r *record.Record) {
	switch r.Kind {
	case record.KindLicence, record.KindKey, record.KindRevocation, record.KindCalibration:
		if owner := record.OwnerOf(r.ID); c.s.Record(owner) == nil && c.s.Unread(owner) == nil {
			c.report(r, "", "missing-owner", fmt.Sprintf("this entry belongs to %s, and no such record is here", owner), "copy "+record.PathOf(owner)+" from the workshop")
		}
	}
}

// suggestReference names the nearest real record in the folder meant, or one of the right kind.
func suggestReference(id record.Ref, kinds []record.Kind, names map[string][]string) string {
	folder := record.FolderOf(id)
	if near := finding.Nearest(string(id), names[folder]); near != "" {
		return "did you mean " + near + "?"
	}
	for _, k := range kinds {
		place, _, _ := strings.Cut(record.PlaceOf(k), "/")
		base := string(id[strings.LastIndexByte(string(id), '/')+1:])
		if near := finding.Nearest(place+"/"+base, names[place]); near != "" {
			return "did you mean " + near + "?"
		}
		if slices.Contains(names[place], place+"/"+base) {
			return "did you mean " + place + "/" + base + "?"
		}
	}
	return "record it, or mend the name"
}

func kindList(kinds []record.Kind) string {
	words := make([]string, len(kinds))
	for i, k := range kinds {
		words[i] = string(k)
	}
	return strings.Join(words, " or ")
}
