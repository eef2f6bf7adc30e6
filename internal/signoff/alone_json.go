package signoff

import (
	"time"

	"boltback/internal/record"
)

// ShapeAlone is the verdict on one file in the form for other programs.
type ShapeAlone struct {
	Edition      string         `json:"edition"`
	Name         string         `json:"name"`
	What         string         `json:"what"`
	SHA256       record.Digest  `json:"sha256"`
	Clean        bool           `json:"clean"`
	Faults       int            `json:"faults"`
	Commit       string         `json:"commit,omitempty"`
	Ledger       string         `json:"ledger,omitempty"`
	Tree         string         `json:"tree,omitempty"`
	Fingerprints []string       `json:"fingerprints"`
	Files        int            `json:"files"`
	Inside       int            `json:"inside"`
	Altered      []string       `json:"altered"`
	Signed       bool           `json:"signed"`
	Signature    string         `json:"signature-fault,omitempty"`
	Pinned       bool           `json:"pinned"`
	Stamped      *time.Time     `json:"no-later-than,omitempty"`
	Token        string         `json:"token-fault,omitempty"`
	Beside       string         `json:"beside,omitempty"`
	Matches      string         `json:"matches,omitempty"`
	Covers       []ShapeCovered `json:"covers,omitempty"`
}

// ShapeCovered is a file whose digest the judged one carries.
type ShapeCovered struct {
	Path   string        `json:"path"`
	Digest record.Digest `json:"digest"`
}

// Shape gives the verdict in that form.
func (a *Alone) Shape() ShapeAlone {
	s := ShapeAlone{
		Edition: ReportEdition, Name: a.Name, What: a.What, SHA256: a.Digest, Clean: a.Clean(), Faults: a.Faults(), Commit: a.Commit, Ledger: a.Ledger, Tree: a.Tree,
		Fingerprints: append([]string{}, a.Fingerprints...), Files: len(a.Files), Inside: a.Inside, Altered: append([]string{}, a.Altered...),
		Signed: a.Signed, Signature: a.Detail, Pinned: a.Pinned, Beside: a.Beside, Matches: a.Matches,
	}
	if a.Stamp != nil && a.Stamp.Stamped {
		s.Stamped = &a.Stamp.Token.Time
	}
	if a.Stamp != nil && a.Stamp.TokenFault != nil {
		s.Token = a.Stamp.TokenFault.Error()
	}
	if a.SignOff != nil {
		for _, f := range a.Files {
			s.Covers = append(s.Covers, ShapeCovered(f))
		}
	}
	return s
}
