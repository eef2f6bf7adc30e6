package signoff

import (
	"time"

	"boltback/internal/attest"
	"boltback/internal/record"
)

// ReportEdition is the edition of the shape that Report.Shape gives.
const ReportEdition = "1"

// Shape is a report for other programs; its JSON names are fixed.
type Shape struct {
	Car       string         `json:"car"`
	Head      string         `json:"head"`
	First     string         `json:"first"`
	Origin    string         `json:"origin"`
	Clean     bool           `json:"clean"`
	Faults    int            `json:"faults"`
	Commits   map[string]int `json:"commits"`
	Found     []ShapeFound   `json:"found"`
	SignOffs  []ShapeSignOff `json:"sign-offs"`
	Late      []ShapeLate    `json:"late"`
	Unsaved   []string       `json:"unsaved"`
	Shallow   bool           `json:"shallow"`
	Replaced  bool           `json:"replaced"`
	Linked    bool           `json:"linked"`
	Kept      []ShapeKept    `json:"kept"`
	Stamps    []ShapeStamp   `json:"stamps"`
	OddTags   []ShapeOddTag  `json:"odd-tags"`
	OtherCopy *ShapeCopy     `json:"other-copy"`
}

// ShapeFound is one thing found at a commit.
type ShapeFound struct {
	Topic  Topic      `json:"topic"`
	Commit string     `json:"commit"`
	Kind   NoteKind   `json:"kind,omitempty"`
	Record record.Ref `json:"record,omitempty"`
	Other  string     `json:"other,omitempty"`
	Path   string     `json:"path,omitempty"`
	Key    string     `json:"key,omitempty"`
	Detail string     `json:"detail,omitempty"`
}

// ShapeSignOff is what a sign-off is worth today.
type ShapeSignOff struct {
	Record      record.Ref        `json:"record"`
	By          record.Ref        `json:"by"`
	On          record.Date       `json:"on"`
	Meaning     string            `json:"meaning"`
	Form        string            `json:"form"`
	Status      string            `json:"status"`
	Sound       bool              `json:"sound"`
	Why         Why               `json:"why,omitempty"`
	Detail      string            `json:"detail,omitempty"`
	Key         string            `json:"key,omitempty"`
	Commit      string            `json:"commit,omitempty"`
	Differences []ShapeDifference `json:"differences"`
	Newer       []record.Ref      `json:"newer"`
}

// ShapeDifference is something that a sign-off covers and that stands otherwise.
type ShapeDifference struct {
	What   What       `json:"what"`
	Record record.Ref `json:"record,omitempty"`
	By     record.Ref `json:"by,omitempty"`
}

// ShapeLate is a late entry.
type ShapeLate struct {
	Record  record.Ref `json:"record"`
	Commit  string     `json:"commit"`
	Fewest  int        `json:"fewest"`
	Most    int        `json:"most"`
	Certain bool       `json:"certain"`
}

// ShapeKept is a commit that somebody kept.
type ShapeKept struct {
	Commit string `json:"commit"`
	Found  string `json:"found"`
	Since  int    `json:"since"`
	From   string `json:"from,omitempty"`
	Files  int    `json:"files,omitempty"`
	// Altered are files of that commit that are not as what was kept has them.
	Altered []string `json:"altered,omitempty"`
	// OtherLedger says that it was kept of another car's ledger.
	OtherLedger bool `json:"other-ledger,omitempty"`
}

// ShapeStamp is what a stamp shows.
type ShapeStamp struct {
	Tag       string        `json:"tag"`
	Commit    string        `json:"commit"`
	Digest    record.Digest `json:"digest"`
	Sound     bool          `json:"sound"`
	Holds     bool          `json:"holds"`
	Signature string        `json:"signature"`
	ByOutside bool          `json:"by-outside"`
	Token     string        `json:"token,omitempty"`
	Time      string        `json:"time,omitempty"`
	DueBy     string        `json:"due-by,omitempty"`
}

// ShapeOddTag is a tag that claims to be a stamp and is none.
type ShapeOddTag struct {
	Tag   string `json:"tag"`
	Fault string `json:"fault"`
}

// ShapeCopy is how another copy compares.
type ShapeCopy struct {
	Name      string   `json:"name"`
	SameFirst bool     `json:"same-first"`
	Common    string   `json:"common"`
	Ours      []string `json:"ours"`
	Theirs    []string `json:"theirs"`
	Diverged  bool     `json:"diverged"`
}

// Shape gives a report in the form for other programs.
func (r *Report) Shape() Shape {
	s := Shape{
		Car: r.Car, Head: r.Head, First: r.Trust.First(), Origin: r.Trust.Origin.String(), Clean: r.Clean(), Faults: r.Faults(),
		Commits: map[string]int{}, Found: []ShapeFound{}, SignOffs: []ShapeSignOff{}, Late: []ShapeLate{}, Kept: []ShapeKept{}, Stamps: []ShapeStamp{}, OddTags: []ShapeOddTag{},
		Unsaved: append([]string{}, r.Condition.Unsaved...), Shallow: r.Condition.Shallow, Replaced: r.Condition.Replaced, Linked: r.Condition.Linked,
	}
	for standing, n := range r.Trust.Count() {
		s.Commits[standing.String()] = n
	}
	for _, f := range r.Found() {
		s.Found = append(s.Found, shapeFound(f))
	}
	for _, v := range r.SignOffs {
		s.SignOffs = append(s.SignOffs, shapeSignOff(v))
	}
	for _, l := range r.Late {
		s.Late = append(s.Late, ShapeLate{l.Delay.Record, l.Commit, l.Delay.Fewest, l.Delay.Most, l.Certain()})
	}
	for _, k := range r.Kept {
		kept := ShapeKept{Commit: k.ID, Found: k.Holding.String(), Since: k.Since, From: k.From, Files: k.Files, OtherLedger: k.OtherLedger}
		for _, d := range k.Deviations {
			kept.Altered = append(kept.Altered, d.Path)
		}
		s.Kept = append(s.Kept, kept)
	}
	for _, v := range r.Stamps {
		s.Stamps = append(s.Stamps, shapeStamp(v))
	}
	for _, o := range r.OddTags {
		s.OddTags = append(s.OddTags, ShapeOddTag{o.Name, o.Fault})
	}
	if c := r.Compared; c != nil {
		s.OtherCopy = &ShapeCopy{c.Name, c.SameFirst, c.Common, append([]string{}, c.Ours...), append([]string{}, c.Theirs...), c.Diverged()}
	}
	return s
}

func shapeStamp(v StampVerdict) ShapeStamp {
	s := ShapeStamp{
		Tag: v.Tag, Commit: v.Commit, Digest: v.Digest, Sound: !v.Faulty(), Holds: v.Holds(),
		Signature: v.Standing.String(), ByOutside: v.ByOutside(),
	}
	if v.TokenFault != nil {
		s.Token = v.TokenFault.Error()
	}
	if v.Stamped {
		s.Time, s.DueBy = v.Token.Time.Format(time.RFC3339), v.DueBy().Format(time.DateOnly)
	}
	return s
}

func shapeFound(f Found) ShapeFound {
	s := ShapeFound{
		Topic: f.Topic, Commit: f.Step.ID, Kind: f.Note.Kind, Record: f.Note.Ref, Path: f.Note.Path, Detail: f.Note.Detail,
		Other: string(f.Note.Other),
	}
	switch {
	case f.Note.Commit != "":
		s.Other = f.Note.Commit
	case f.Note.Weakening.What != "":
		s.Detail = f.Note.Weakening.What
	case f.Note.Kind == "":
		s.Record, s.Detail = f.Step.Entry.Ref, f.Step.Detail
		if f.Step.Standing != attest.Unsigned {
			s.Key = f.Step.Signature.Key.Fingerprint()
		}
	}
	return s
}

func shapeSignOff(v Verdict) ShapeSignOff {
	s := ShapeSignOff{
		Record: v.Record, By: v.By, On: v.On, Meaning: v.Meaning, Form: v.Form, Status: v.Status.String(), Sound: v.Sound(),
		Why: v.Why, Detail: v.Detail, Key: v.Key.Key.Fingerprint(), Differences: []ShapeDifference{}, Newer: append([]record.Ref{}, v.Newer...),
	}
	if v.Entered != nil {
		s.Commit = v.Entered.ID
	}
	for _, d := range v.Differences {
		s.Differences = append(s.Differences, ShapeDifference{d.What, d.Record, d.By})
	}
	return s
}
