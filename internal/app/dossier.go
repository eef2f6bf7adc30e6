package app

import (
	"fmt"
	"io"
	"path"
	"slices"

	"boltback/internal/attest"
	"boltback/internal/doc"
	"boltback/internal/dossier"
	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
	"boltback/internal/requirement"
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
	// Sets are the requirement sets to hold the car against, beside those that it pins.
	Sets []string
	// Private asks for private values, as far as their disclosures are here.
	Private bool
}

// Dossier computes the car's dossier.
func (e Env) Dossier(car Car, o DossierOptions) (Dossier, error) {
	s, commit, found, err := e.examine(car, CheckOptions{On: o.On, At: o.At})
	if err != nil {
		return Dossier{}, err
	}
	in := dossier.Input{
		Reader:   o.Reader,
		Snapshot: s,
		Findings: found,
		Inbox:    inboxed(s),
		Commit:   commit,
		Day:      o.On,
		Program:  e.Program,
		Pictures: func(digest record.Digest) ([]byte, bool) { return preview(s, digest) },
	}
	if o.Private {
		in.Disclosed = e.Disclosed(car, s)
	}
	if err := compute(&in, o.Sets); err != nil {
		return Dossier{}, fmt.Errorf("%s: %w", car.Name, err)
	}
	if o.At == "" && commit != "" {
		if in.Verified, err = e.verified(car, s, o.On); err != nil {
			return Dossier{}, err
		}
	}
	if o.Since != "" {
		if in.Since, err = e.since(car, o.Since, s); err != nil {
			return Dossier{}, err
		}
	}
	if originals := e.originals(car); originals != nil {
		in.Originals = func(digest record.Digest) bool {
			_, here := originals.Find(digest)
			return here
		}
	}
	return Dossier{dossier.Build(in), s, commit}, nil
}

// compute adds what follows from the records and the day alone: the replay, the statement, the sums, what may be said, and
// what sets ask, those that the car pins and those named.
func compute(in *dossier.Input, sets []string) error {
	in.Work = replay.Of(in.Snapshot)
	law, err := lawOfWayBack(in.Snapshot, in.Day, nil)
	if err != nil {
		return err
	}
	options := reversal.Options{On: in.Day, Commit: in.Commit, Law: law}
	if in.Reversal, err = reversal.Make(in.Work, options); err != nil {
		return fmt.Errorf("what it would take to put it back: %w", err)
	}
	in.Drawn = in.Reversal.Draw(in.Work, options)
	if in.Wording, err = wording.Make(in.Work, in.Day); err != nil {
		return fmt.Errorf("what may be said of it: %w", err)
	}
	in.Workings = workings.Of(in.Work, in.Day, in.Disclosed).All()
	if sets = union(requirement.Pinned(in.Snapshot), sets); len(sets) > 0 {
		in.Assessments, err = assess(in.Snapshot, requirement.Of(in.Work, in.Day), sets)
	}
	return err
}

// union is what stands in either list, in their order, once.
func union(lists ...[]string) []string {
	var all []string
	for _, s := range slices.Concat(lists...) {
		if !slices.Contains(all, s) {
			all = append(all, s)
		}
	}
	return all
}

// verified walks the history for a page. Whoever reads it has other pins, and trusts other authorities, than whoever makes it,
// so none are taken; nothing committed is nothing to walk.
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
	r, err := e.walk(car, repo, s, commits, signoff.Pins{}, on)
	if err != nil {
		return nil, err
	}
	if err := readStamps(r, repo, attest.Roots{}); err != nil {
		return nil, fmt.Errorf("%s: %w", car.Name, err)
	}
	return r, nil
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
