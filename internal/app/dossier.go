package app

import (
	"fmt"
	"io"
	"path"

	"boltback/internal/doc"
	"boltback/internal/dossier"
	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
	"boltback/internal/reversal"
	"boltback/internal/signoff"
	"boltback/internal/wording"
	"boltback/internal/workings"
)

// largestPreview is how many bytes of a preview a page takes in.
const largestPreview = 1 << 20

// Dossier is a car's dossier, and what it was computed from.
type Dossier struct {
	Document *doc.Document
	snapshot *ledger.Snapshot
	commit   string
}

// DossierOptions say for whom a dossier is, of which revision ("" for the folder as it lies) and for which day.
type DossierOptions struct {
	Reader dossier.Reader
	At     string
	On     edtf.Day
	// Since is the older dossier that the reader holds, as a file, or the commit it names; "" where he holds none.
	Since string
	// Private asks for private values, as far as their disclosures are here.
	Private bool
}

// Dossier computes the car's dossier.
func (e Env) Dossier(car Car, o DossierOptions) (Dossier, error) {
	on := o.On
	s, commit, found, err := e.examine(car, CheckOptions{On: on, At: o.At})
	if err != nil {
		return Dossier{}, err
	}
	originals := e.originals(car)
	work := replay.Of(s)
	law, err := lawOfWayBack(s, on, nil)
	if err != nil {
		return Dossier{}, err
	}
	statement, err := reversal.Make(work, reversal.Options{On: on, Commit: commit, Law: law})
	if err != nil {
		return Dossier{}, fmt.Errorf("%s: what it would take to put it back: %w", car.Name, err)
	}
	phrases, err := wording.Make(work, on)
	if err != nil {
		return Dossier{}, fmt.Errorf("%s: what may be said of it: %w", car.Name, err)
	}
	var disclosed dossier.Disclosed
	if o.Private {
		disclosed = e.Disclosed(car, s)
	}
	in := dossier.Input{
		Reader:    o.Reader,
		Work:      work,
		Wording:   phrases,
		Reversal:  statement,
		Drawn:     statement.Draw(work, reversal.Options{On: on}),
		Workings:  workings.Of(work, on, disclosed).All(),
		Snapshot:  s,
		Findings:  found,
		Inbox:     inboxed(s),
		Commit:    commit,
		Day:       on,
		Disclosed: disclosed,
		Program:   e.Program,
		Pictures:  func(digest record.Digest) ([]byte, bool) { return preview(s, digest) },
	}
	if o.At == "" && commit != "" {
		if in.Verified, err = e.verified(car, s, on); err != nil {
			return Dossier{}, err
		}
	}
	if o.Since != "" {
		if in.Since, err = e.since(car, o.Since, s); err != nil {
			return Dossier{}, err
		}
	}
	if originals != nil {
		in.Originals = func(digest record.Digest) bool {
			_, here := originals.Find(digest)
			return here
		}
	}
	return Dossier{dossier.Build(in), s, commit}, nil
}

// verified walks the history for a page. Whoever reads it has other pins than whoever makes it, so none are taken; nothing
// committed is nothing to walk.
func (e Env) verified(car Car, s *ledger.Snapshot, on edtf.Day) (*signoff.Report, error) {
	repo, err := e.repository(car)
	if err != nil {
		return nil, err
	}
	commits, err := repo.Commits()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", car.Name, err)
	}
	if len(commits) == 0 {
		return nil, nil
	}
	return e.walk(car, repo, s, commits, signoff.Pins{}, on)
}

// inboxed counts what was saved and is not complete.
func inboxed(s *ledger.Snapshot) int {
	n := 0
	for _, f := range s.Files() {
		if path.Dir(f.Path) == "inbox" {
			n++
		}
	}
	return n
}

// preview reads a small picture of the ledger by its digest.
func preview(s *ledger.Snapshot, digest record.Digest) ([]byte, bool) {
	for _, ending := range []string{".jpg", ".png"} {
		size, here := s.HasFile("previews/" + string(digest) + ending)
		if !here || size > largestPreview {
			continue
		}
		file, err := s.Open("previews/" + string(digest) + ending)
		if err != nil {
			return nil, false
		}
		defer file.Close()
		picture, err := io.ReadAll(file)
		return picture, err == nil
	}
	return nil, false
}
