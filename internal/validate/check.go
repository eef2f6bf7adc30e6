// Package validate holds a car's ledger against its schemas and against itself, and says in one run everything that is
// wrong: at which line and column, in what words, and what would be right. It never stops at the first fault, and it
// changes nothing.
package validate

import (
	"boltback/internal/edtf"
	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// Options say on which day the check is made and what lies beside the ledger.
type Options struct {
	// On is today, for dates that have not come yet.
	On edtf.Day
	// Originals finds the full files beside the ledger; nil means that nobody looked.
	Originals Originals
	// Deep reads the originals too and checks their digests.
	Deep bool
}

// checker gathers findings over one snapshot.
type checker struct {
	s       *ledger.Snapshot
	options Options
	found   []finding.Finding
	// inferred are parts that nobody declared and a removal names.
	inferred map[record.Ref]bool
	// notHere are papers whose originals are not beside the ledger.
	notHere []*record.Record
}

// Validator keeps compiled schemas between checks. It is safe for concurrent use.
type Validator struct{ schemas *schemas }

// New gives a validator; schemas are compiled when first needed.
func New() *Validator { return &Validator{newSchemas()} }

// Check gives everything that is wrong with a car, sorted. An error means that the check could not be made.
func (v *Validator) Check(s *ledger.Snapshot, options Options) ([]finding.Finding, error) {
	c := &checker{s: s, options: options}
	c.found = append(c.found, s.Faults()...)
	if err := v.local(c); err != nil {
		return nil, err
	}
	c.layout()
	c.furniture()
	c.inbox()
	c.references()
	c.corrections()
	c.dates()
	c.tags()
	c.previews()
	c.authority()
	c.instruments()
	c.tightenings()
	c.numbers()
	for i := range c.found {
		c.found[i].Severity, _ = severity(c.found[i].Code)
	}
	finding.Sort(c.found)
	return c.found, nil
}

// local checks each file for itself: its schema, and the quantities and dates in it.
func (v *Validator) local(c *checker) error {
	for _, u := range c.s.AllUnread() {
		found, err := v.unread(u)
		if err != nil {
			return err
		}
		c.found = append(c.found, found...)
		if u.Kind != "" {
			c.rest(u, found)
		}
	}
	for _, r := range c.s.Records() {
		found, err := v.schemas.check(r.Kind, r.Path, r.Doc)
		if err != nil {
			return err
		}
		c.found = append(c.found, found...)
		c.texts(r)
	}
	return nil
}

// unread explains a file that is no record: everything its schema says, where it is JSON of a known kind.
func (v *Validator) unread(u *ledger.Unread) ([]finding.Finding, error) {
	if u.Kind == "" {
		return []finding.Finding{u.Fault}, nil
	}
	found, err := v.schemas.check(u.Kind, u.Path, u.Doc)
	if err != nil || len(found) > 0 {
		return found, err
	}
	return []finding.Finding{u.Fault}, nil
}

// report adds a finding at a place in a record.
func (c *checker) report(r *record.Record, pointer, code, message, hint string) {
	at := r.Doc.Locate(pointer)
	c.add(finding.Finding{Code: code, File: r.Path, Line: at.Line, Column: at.Column, Pointer: pointer, Message: message, Hint: hint})
}

func (c *checker) add(f finding.Finding) { c.found = append(c.found, f) }
