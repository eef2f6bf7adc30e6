package app

import (
	"context"
	"errors"
	"fmt"
	"path"
	"slices"
	"strings"

	"boltback/internal/canon"
	"boltback/internal/columns"
	"boltback/internal/entry"
	"boltback/internal/record"
	"boltback/internal/table"
)

// TableOrder says which table is to be taken, and how.
type TableOrder struct {
	// File is its name, Text what is in it.
	File string
	Text []byte
	// Kind is what it lists; "" has it made out from its columns.
	Kind string
	// Shift is added to its dates, in days; Asked says that somebody decided on it.
	Shift int
	Asked bool
	// FaultyToInbox saves the rows that cannot be taken instead of refusing the whole file.
	FaultyToInbox bool
	Message       string
}

// TablePlan is what a table would become, row by row, and how its file was understood.
type TablePlan struct {
	*columns.Plan
	Table *table.Table
}

// Table works out what becomes of each row of a table. Nothing is written.
func (d *Desk) Table(o TableOrder) (TablePlan, error) {
	kind := columns.Kind(o.Kind)
	if kind != "" && !slices.Contains(columns.Kinds(), kind) {
		return TablePlan{}, &Usage{Message: "there is no table of " + o.Kind, Hint: "tables are of: " + strings.Join(TableKinds(), ", ")}
	}
	t, err := table.Read(o.Text, columns.Known(kind))
	if err != nil {
		return TablePlan{}, tableFault(o.File, err)
	}
	p, err := columns.Make(t, columns.Options{Bench: d.bench(), Kind: kind, Shift: o.Shift, Asked: o.Asked})
	if err != nil {
		return TablePlan{}, tableFault(o.File, err)
	}
	return TablePlan{p, t}, nil
}

// TableKinds lists what tables may be of.
func TableKinds() []string {
	var kinds []string
	for _, k := range columns.Kinds() {
		kinds = append(kinds, string(k))
	}
	return kinds
}

// TableWords lists the usual word over each column of the tables of a kind.
func TableWords(kind string) []string {
	var usual []string
	for _, words := range columns.Words(columns.Kind(kind)) {
		usual = append(usual, words[0])
	}
	return usual
}

// tableFault says what is wrong with a whole file, with its line.
func tableFault(file string, err error) error {
	var fault *table.Fault
	if !errors.As(err, &fault) {
		return err
	}
	if fault.Line > 0 {
		return &Usage{Message: fmt.Sprintf("%s:%d: %s", file, fault.Line, fault.Message), Hint: fault.Hint}
	}
	return &Usage{Message: file + ": " + fault.Message, Hint: fault.Hint}
}

// TakeTable commits a table: all its rows in one commit, or, with rows that are faulty, nothing, unless they are to go to the
// inbox.
func (d *Desk) TakeTable(ctx context.Context, o TableOrder, t TablePlan) (Written, error) {
	if faults := t.Faults(); faults > 0 && !o.FaultyToInbox {
		return Written{}, &Usage{Message: fmt.Sprintf("rows that cannot be taken: %d of %d; nothing is written", faults, len(t.Fates)), Hint: "mend them in the file, or --faulty-to-inbox"}
	}
	p := &plan{sameNamed: map[string]int{}}
	for _, n := range t.Records {
		if err := p.add(record.PathOf(n.ID), n.Body); err != nil {
			return Written{}, err
		}
	}
	for _, body := range t.bodies() {
		at, err := d.tablePath(body, o.File, p)
		if err != nil {
			return Written{}, err
		}
		d.fill(body)
		if err := p.add(at, body); err != nil {
			return Written{}, err
		}
	}
	if err := d.faultyRows(o, t, p); err != nil {
		return Written{}, err
	}
	if len(p.changes) == 0 {
		return Written{}, nil
	}
	message := o.Message
	if message == "" {
		message = fmt.Sprintf("record %s from %s: rows taken %d of %d", t.Kind, path.Base(o.File), len(t.Fates)-t.Faults(), len(t.Fates))
	}
	noted, err := d.storesIntoBook(ctx, p)
	if err != nil {
		return Written{}, err
	}
	w, err := d.save(ctx, p.changes, p.bodies, message)
	w.Lacks, w.Notes = p.lacks, append(noted, w.Notes...)
	return w, err
}

// bodies are the sessions and readings of a table.
func (t TablePlan) bodies() []record.Body {
	var all []record.Body
	for _, w := range t.Works {
		all = append(all, w)
	}
	for _, r := range t.Readings {
		all = append(all, r)
	}
	return all
}

// tablePath gives a session or reading of a table its path. The same table is not taken twice: what is there already under the
// file's name ends it.
func (d *Desk) tablePath(body record.Body, file string, p *plan) (string, error) {
	slug := firstSlug(file)
	if r, ok := body.(*record.Reading); ok {
		slug = r.What + "-" + slug
	}
	at, err := d.place(body, slug)
	if err != nil {
		return "", err
	}
	if p.sameNamed[at]++; p.sameNamed[at] > 1 {
		return d.place(body, fmt.Sprintf("%s-%d", slug, p.sameNamed[at]))
	}
	return at, nil
}

// faultyRows saves the rows that were not taken, each with its words, its line and why.
func (d *Desk) faultyRows(o TableOrder, t TablePlan, p *plan) error {
	for _, f := range t.Fates {
		if f.Fault == "" {
			continue
		}
		var words []string
		for i, cell := range f.Cells {
			if strings.TrimSpace(cell) != "" && i < len(t.Table.Header) {
				words = append(words, t.Table.Header[i].Name+": "+cell)
			}
		}
		text, err := canon.Marshal(kept{Text: strings.Join(words, "; "), Lacks: []string{f.Fault}})
		if err != nil {
			return fmt.Errorf("save to the inbox: %w", err)
		}
		at := d.free(fmt.Sprintf("inbox/%s-%s-%s-line-%d", d.today, d.slug(), firstSlug(o.File), f.Line))
		p.changes = append(p.changes, Change{Path: at, Content: text})
		p.lacks = append(p.lacks, fmt.Sprintf("line %d: %s", f.Line, f.Fault))
	}
	return nil
}

func firstSlug(file string) string {
	if slug := entry.Slug(strings.TrimSuffix(path.Base(file), path.Ext(file))); slug != "" {
		return slug
	}
	return "table"
}
