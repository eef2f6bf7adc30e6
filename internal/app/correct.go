package app

import (
	"context"
	"fmt"
	"path"
	"strings"

	"boltback/internal/canon"
	"boltback/internal/entry"
	"boltback/internal/record"
)

// Correct writes a whole record that stands in the place of another, with the words applied and the reason given. The
// other is not touched.
func (d *Desk) Correct(ctx context.Context, name string, words []string, reason string) (Written, error) {
	r, err := d.standing(name, reason)
	if err != nil {
		return Written{}, err
	}
	body, err := copyOf(r)
	if err != nil {
		return Written{}, err
	}
	head := body.Heading()
	head.Corrects, head.Reason = r.ID, reason
	notes, err := d.context().Apply(body, words)
	if err != nil {
		return Written{}, usageOf(err)
	}
	if lacks := entry.Lacks(body); len(lacks) > 0 {
		return Written{}, &Usage{Message: "the correction would lack " + strings.Join(lacks, ", "), Hint: "give it, or withdraw the record"}
	}
	w, err := d.write(ctx, draft{body: body, path: d.free(stemOf(r.Path) + "-corrected")}, "")
	w.Notes = append(notes, w.Notes...)
	return w, err
}

// Withdraw writes a record that takes another out of account, with the reason. The other still prints, struck through.
func (d *Desk) Withdraw(ctx context.Context, name, reason string) (Written, error) {
	r, err := d.standing(name, reason)
	if err != nil {
		return Written{}, err
	}
	body := record.New(r.Kind)
	head := body.Heading()
	head.Withdraws, head.Reason = r.ID, reason
	return d.write(ctx, draft{body: body, path: d.free(stemOf(r.Path) + "-withdrawn")}, "")
}

// standing finds a record that can be corrected or withdrawn: one that stands.
func (d *Desk) standing(name, reason string) (*record.Record, error) {
	if strings.TrimSpace(reason) == "" {
		return nil, &Usage{Message: "a reason is needed", Hint: "--reason WHY"}
	}
	r, err := Record(d.s, name)
	if err != nil {
		return nil, err
	}
	if over := d.s.Over(r.ID); len(over) > 0 {
		return nil, &Usage{Message: fmt.Sprintf("%s already has %s over it", r.ID, over[0].ID), Hint: fmt.Sprintf("correct or withdraw %s instead", over[0].ID)}
	}
	if editedInPlace(r.Kind) {
		return nil, &Usage{Message: fmt.Sprintf("a %s is not corrected by another record", r.Kind), Hint: fmt.Sprintf("edit it, as its history shows the change: boltback record %s name=value", r.ID)}
	}
	return r, nil
}

func stemOf(file string) string { return strings.TrimSuffix(file, path.Ext(file)) }

// copyOf reads a record's bytes anew, so that the snapshot's own body stays as it is.
func copyOf(r *record.Record) (record.Body, error) {
	body := record.New(r.Kind)
	if err := canon.Unmarshal(r.Doc, body); err != nil {
		return nil, &Broken{Finding: faultIn(r.Path, err)}
	}
	head := body.Heading()
	head.Corrects, head.Withdraws, head.Reason = "", "", ""
	return body, nil
}

// Rename gives a record another name and rewrites every reference to it, in one commit. What somebody signed keeps its
// name.
func (d *Desk) Rename(ctx context.Context, name, to string) (Written, error) {
	r, err := Record(d.s, name)
	if err != nil {
		return Written{}, err
	}
	if !strings.HasSuffix(record.PlaceOf(r.Kind), "<slug>.json") {
		return Written{}, &Usage{Message: fmt.Sprintf("a %s has no name of its own to change", r.Kind), Hint: "change what people call it: its member name"}
	}
	folder := path.Dir(r.Path)
	to = strings.TrimSuffix(path.Base(to), ".json")
	target := folder + "/" + to + ".json"
	if id, ok := record.IDOf(target); !ok || len(record.KindsAt(target)) == 0 || d.s.Record(id) != nil || folder == "." {
		return Written{}, &Usage{Message: target + " cannot be its name", Hint: "lower-case letters, digits and single dashes, of the same shape as before, and not taken"}
	}
	newID, _ := record.IDOf(target)
	referrers, err := d.rereferred(r.ID, newID)
	if err != nil {
		return Written{}, err
	}
	if err := d.unsigned(r, append([]Change{{Path: r.Path}}, referrers...)); err != nil {
		return Written{}, err
	}
	moved := d.resealing(r.Path, target)
	text, err := moved.seal(r)
	if err == nil {
		referrers, err = d.followed(moved, r, referrers)
	}
	if err != nil {
		moved.giveUp()
		return Written{}, err
	}
	changes := append([]Change{{Path: r.Path, Delete: true}, {Path: target, Content: text}}, referrers...)
	w, err := d.save(ctx, changes, nil, fmt.Sprintf("rename %s to %s", r.ID, newID))
	if err == nil {
		moved.clean(&w)
	}
	return w, err
}

// unsigned refuses to rename a record where a file that would change is covered by a sign-off.
func (d *Desk) unsigned(r *record.Record, changes []Change) error {
	for _, c := range changes {
		id, _ := record.IDOf(c.Path)
		if by := d.coveredBy(id); by != "" {
			return &Usage{Message: fmt.Sprintf("%s is covered by %s, so the name stays", id, by), Hint: fmt.Sprintf("only what people call it changes: boltback correct %s name=...", r.ID)}
		}
	}
	return nil
}

// rereferred gives the records that refer to a name, with the new name in its place and nothing else changed.
func (d *Desk) rereferred(old, now record.Ref) ([]Change, error) {
	edited := map[string][]byte{}
	var order []string
	for _, use := range d.s.Uses(old) {
		if _, ok := edited[use.From.Path]; !ok {
			edited[use.From.Path] = use.From.Doc.Source
			order = append(order, use.From.Path)
		}
		doc, err := canon.Parse(edited[use.From.Path], canon.DefaultLimits())
		if err != nil {
			return nil, &Broken{Finding: faultIn(use.From.Path, err)}
		}
		node := doc.Find(use.Pointer)
		text := append([]byte{}, doc.Source[:node.Start]...)
		text = append(text, '"')
		text = append(text, now...)
		text = append(text, '"')
		edited[use.From.Path] = append(text, doc.Source[node.End:]...)
	}
	var changes []Change
	for _, at := range order {
		changes = append(changes, Change{Path: at, Content: edited[at]})
	}
	return changes, nil
}
