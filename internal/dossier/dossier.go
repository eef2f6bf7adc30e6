// Package dossier turns the records of one car into document blocks: one file
// a section, results in, blocks out. The terminal and the page show the same
// sections through two renderers.
//
// Its sentences are read by a buyer's lawyer and by the workshop's. They say
// what stands on the records and where; what no record states is "not stated",
// and the absence of a record supports nothing. Corrected and withdrawn records
// print struck through and do not count. Sealed values print as withheld, unless the caller discloses them.
//
// Everything is computed from the values handed in: no file, clock or network.
// The same input gives the same blocks.
package dossier

import (
	"slices"

	"boltback/internal/doc"
	"boltback/internal/edtf"
	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
	"boltback/internal/requirement"
	"boltback/internal/reversal"
	"boltback/internal/signoff"
	"boltback/internal/wording"
	"boltback/internal/workings"
)

// Input is what a dossier is made from.
type Input struct {
	// Reader is whom it is for; "" is the keeper, who has the complete one.
	Reader Reader
	// Snapshot is the car.
	Snapshot *ledger.Snapshot
	// Findings are what the check found; the caller has run it.
	Findings []finding.Finding
	// Inbox is the number of entries saved and not yet complete.
	Inbox int
	// Commit names the revision that was read, with a remark when files were
	// changed since; empty prints as "not committed".
	Commit string
	// Day is the day taken for today.
	Day edtf.Day
	// Workshop keeps the ledger; empty prints the handle that the ledger states.
	Workshop string
	// Program names the program with its version.
	Program string
	// Pictures gives the bytes of a preview by the SHA-256 that its record
	// states; nil where there are none. Bytes with another digest are not shown.
	Pictures func(record.Digest) ([]byte, bool)
	// Reversal is the reversal statement for the day; nil leaves its section saying that none was made.
	Reversal *reversal.Statement
	// Drawn are the drawings of the car and of the work order; the zero value draws nothing.
	Drawn reversal.Drawings
	// Workings are the sums for the day; nil leaves their section saying that none was made.
	Workings []workings.Working
	// Since is what differs from the records of an older dossier; nil where nobody holds one.
	Since *Since
	// Work is the replay of the records; nil leaves out what no longer describes the car.
	Work *replay.Work
	// Wording are the sentences judged for the day; none leaves their chapter out.
	Wording []wording.Phrase
	// Assessments hold the car against requirement sets; none leaves their chapters out.
	Assessments []*requirement.Assessment
	// Verified is what a walk through the whole history found; nil where none was made.
	Verified *signoff.Report
	// Disclosed shows private values by choice; nil withholds them.
	Disclosed Disclosed
	// Originals tells whether an original is here; nil where nobody looked.
	Originals func(record.Digest) bool
}

// Build returns a car's dossier for its reader: what it is, the reader's questions or all there is, what the records do not
// know, how to check it, and the cautions. Each chapter is there even when there is nothing to tell, and then says so.
func Build(in Input) *doc.Document {
	b := open(in)
	if in.Reader == Responder {
		return b.responderSheet()
	}
	var chapters []*doc.Section
	if questions := questions[in.Reader]; len(questions) > 0 {
		chapters = b.answered(questions)
	} else {
		b.link()
		chapters = b.complete()
	}
	sections := slices.Concat([]*doc.Section{b.whatThisIs()}, b.sinceKept(), chapters)
	for _, a := range in.Assessments {
		sections = append(sections, Requirements(a))
	}
	return &doc.Document{
		Title:      b.title(),
		Subtitle:   in.Reader.subtitle(),
		Language:   "en",
		Contents:   1,
		Notice:     setNotice(in.Assessments...),
		Provenance: b.provenance(),
		Sections:   oneLined(append(sections, b.overruled(), b.notKnown(), b.outsideClocks(), b.recheck(), b.cautions())...),
	}
}

// title names the car: its name, or make and model, or neither.
func (b *book) title() string {
	if !blank(b.car.Name) {
		return b.car.Name
	}
	if name := joinWords(b.car.Make, b.car.Model); !blank(name) {
		return name
	}
	return "A car without a name on record"
}

// provenance says what the document rests on.
func (b *book) provenance() *doc.Provenance {
	commit := b.in.Commit
	if commit == "" {
		commit = "not committed"
	}
	workshop := b.in.Workshop
	if workshop == "" {
		workshop = b.s.Head().Workshop
	}
	return &doc.Provenance{
		Subject:  b.title(),
		Commit:   commit,
		Day:      b.today(),
		Workshop: workshop,
		Program:  b.in.Program,
		Basis:    doc.NotExamined,
	}
}
