// Package validate holds a car's ledger against its schemas and against itself, and says in one run everything that is
// wrong: at which line and column, in what words, and what would be right. It never stops at the first fault, and it
// changes nothing.
package validate

import (
	"slices"

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
	// known gives what was found before in a file for itself and still holds; local keeps what is found so now.
	known func(path string) ([]finding.Finding, bool)
	local map[string][]finding.Finding
	span  Span
	// inferred are parts that nobody declared and a removal names.
	inferred map[record.Ref]bool
}

// Validator keeps compiled schemas between checks. It is safe for concurrent use.
type Validator struct{ schemas *schemas }

// New gives a validator; schemas are compiled when first needed.
func New() *Validator { return &Validator{newSchemas()} }

// Check gives everything that is wrong with a car, sorted. An error means that the check could not be made.
func (v *Validator) Check(s *ledger.Snapshot, options Options) ([]finding.Finding, error) {
	c := &checker{s: s, options: options}
	if err := v.examine(c); err != nil {
		return nil, err
	}
	return summarize(c.found, len(s.OfKind(record.KindPaper))), nil
}

// examine runs every rule over the snapshot.
func (v *Validator) examine(c *checker) error {
	c.local = map[string][]finding.Finding{}
	c.found = append(c.found, c.s.Faults()...)
	if err := v.each(c); err != nil {
		return err
	}
	c.furniture()
	c.inbox()
	c.references()
	c.corrections()
	c.dates()
	c.tags()
	c.previews()
	c.papers()
	c.authority()
	c.instruments()
	c.tightenings()
	c.numbers()
	c.settings()
	c.codes()
	c.transfers()
	c.entries()
	c.sealed()
	for i := range c.found {
		c.found[i].Severity, _ = severity(c.found[i].Code)
	}
	return nil
}

// each checks every file for itself: its schema, its layout, and the quantities and dates in it.
func (v *Validator) each(c *checker) error {
	for _, u := range c.s.AllUnread() {
		if err := c.alone(u.Path, func() error {
			found, err := v.unread(u)
			c.found = append(c.found, found...)
			if err == nil && u.Kind != "" {
				c.rest(u, found)
			}
			if u.Doc != nil {
				c.secrets(u.Path, u.Kind, u.Doc)
			}
			return err
		}); err != nil {
			return err
		}
	}
	for _, r := range c.s.Records() {
		if err := c.alone(r.Path, func() error {
			found, err := v.schemas.check(r.Kind, r.Path, r.Doc)
			c.found = append(c.found, found...)
			c.texts(r)
			c.secrets(r.Path, r.Kind, r.Doc)
			c.layout(r)
			return err
		}); err != nil {
			return err
		}
	}
	return nil
}

// alone runs what looks at one file only, unless it is known already what that finds.
func (c *checker) alone(path string, look func() error) error {
	first := len(c.found)
	if c.known != nil {
		if found, ok := c.known(path); ok {
			c.found = append(c.found, found...)
			c.local[path] = found
			return nil
		}
	}
	err := look()
	if len(c.found) > first {
		c.local[path] = slices.Clone(c.found[first:])
	}
	return err
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
