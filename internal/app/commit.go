package app

import (
	"context"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"

	"boltback/internal/canon"
	"boltback/internal/finding"
	"boltback/internal/media"
	"boltback/internal/record"
	"boltback/internal/validate"
)

// Commit commits what was changed in the car's folder by hand: records, inbox files and previews. What is incomplete is
// taken; what cannot be parsed or contradicts its path is refused, all of it named, and then nothing is committed.
func (d *Desk) Commit(ctx context.Context, message string) (Written, []finding.Finding, error) {
	unsaved, err := d.repo.Unsaved()
	if err != nil {
		return Written{}, nil, fmt.Errorf("%s: %w", d.car.Name, err)
	}
	var changes []Change
	var bodies []record.Body
	var refused []finding.Finding
	var left []string
	for _, at := range unsaved {
		change, body, fault, err := d.changed(at)
		switch {
		case err != nil:
			return Written{}, nil, err
		case fault != nil:
			refused = append(refused, *fault)
		case change == nil:
			left = append(left, at)
		default:
			changes = append(changes, *change)
			if body != nil {
				bodies = append(bodies, body)
			}
		}
	}
	if len(refused) > 0 {
		finding.Sort(refused)
		return Written{}, refused, nil
	}
	var w Written
	if len(changes) > 0 {
		if message == "" {
			message = summary(changes)
		}
		if w, err = d.save(ctx, changes, bodies, message); err != nil {
			return Written{}, nil, err
		}
	}
	for _, at := range left {
		why := "is not part of a ledger"
		if path.Dir(at) == "inbox" {
			why = "waits for the rest to be told"
		}
		w.Notes = append(w.Notes, "left alone, as it "+why+": "+at)
	}
	return w, nil, nil
}

// changed reads one file that is not as the last commit has it: a change to commit, a fault, or neither where the file is
// not the ledger's.
func (d *Desk) changed(at string) (*Change, record.Body, *finding.Finding, error) {
	isRecord := len(record.KindsAt(at)) > 0 && (!d.car.Book || inBook(at))
	ours := isRecord || path.Dir(at) == "inbox" || path.Dir(at) == "previews" || strings.HasPrefix(at, "schema/") || at == ".gitattributes" ||
		path.Dir(at) == "signoffs" && path.Ext(at) == ".sig"
	if !ours {
		return nil, nil, d.misplaced(at), nil
	}
	if _, here := d.s.HasFile(at); !here {
		return &Change{Path: at, Delete: true}, nil, nil, nil
	}
	text, err := fs.ReadFile(d.env.Files.Folder(d.car.Path), at)
	if err != nil {
		return nil, nil, nil, fmt.Errorf("read %s: %w", at, err)
	}
	change := &Change{Path: at, Content: text}
	switch {
	case isRecord:
		r, err := record.Decode(at, text)
		if err != nil {
			fault := faultIn(at, err)
			return nil, nil, &fault, nil
		}
		if secrets := validate.Secrets(at, r.Kind, r.Doc); len(secrets) > 0 {
			return nil, nil, &secrets[0], nil
		}
		return change, r.Body, inClear(at, text), nil
	case path.Dir(at) == "previews" && !media.Bare(text):
		return nil, nil, &finding.Finding{Code: "preview-speaks", File: at, Message: "it holds more than the pixels of a JPEG or PNG picture, such as what a camera wrote, and a ledger never forgets", Hint: "record the photo with --file, which makes a bare preview"}, nil
	case path.Dir(at) == "inbox":
		doc, err := canon.Parse(text, canon.DefaultLimits())
		if err != nil {
			fault := faultIn(at, err)
			return nil, nil, &fault, nil
		}
		if waits(doc) {
			return nil, nil, nil, nil
		}
	}
	return change, nil, nil, nil
}

// misplaced gives the fault of a file that lies among the records and has no name a record could have.
func (d *Desk) misplaced(at string) *finding.Finding {
	for _, f := range d.s.Faults() {
		if f.File == at && f.Code != "stray-file" {
			return &f
		}
	}
	return nil
}

// summary says in words what a commit by hand holds.
func summary(changes []Change) string {
	names := make([]string, 0, len(changes))
	for _, c := range changes {
		names = append(names, strings.TrimSuffix(c.Path, ".json"))
	}
	slices.Sort(names)
	if len(names) > 3 {
		return fmt.Sprintf("%s and %d more", strings.Join(names[:3], ", "), len(names)-3)
	}
	return strings.Join(names, ", ")
}
