package app

import (
	"errors"
	"io/fs"
	"slices"

	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/validate"
)

// aroundCar adds what a check of the records alone cannot see: files of private values that fit nowhere, entries that are
// not as they were first committed, files of which Git keeps two versions, and what came in after the records were handed
// over. Entries are looked at only where walks through a history are remembered, or in a deep check: else each would read
// the whole history.
func (e Env) aroundCar(one *Checked, options CheckOptions) error {
	if options.At != "" {
		return nil
	}
	s, err := e.glance(one.Car)
	if err != nil {
		return err
	}
	var found []finding.Finding
	if one.Car.Yard != "" {
		found = validate.Disclosures(s, e.Files.Folder(one.Car.privateFolder()), one.Car.privateFrom())
	}
	if options.Deep {
		found = append(found, e.shownAround(one.Car, s, options.known(e, one.Car.Yard))...)
	}
	if one.Summary.HandedOver {
		since, err := e.markedSince(one.Car, s)
		if err != nil {
			return err
		}
		found = append(found, validate.SinceHandedOver(s.Head().HandedOver, since.commit, since.paths)...)
	}
	behind, err := e.behind(one.Car, s, e.Memories != nil || options.Deep)
	if err != nil {
		return err
	}
	found = append(found, behind...)
	if len(found) > 0 {
		one.Findings = append(slices.Clone(one.Findings), ofCar(one.Car, found)...)
		finding.Sort(one.Findings)
	}
	return nil
}

// behind looks at the history behind the records: whether it can be relied on at all, whether files wait for somebody to choose
// between two versions, and, where walks are worth it, whether entries are as their first commit made them. A folder under no Git
// has none of it, and check reads folders of any kind.
func (e Env) behind(car Car, s *ledger.Snapshot, walk bool) ([]finding.Finding, error) {
	repo, err := e.Git.Open(car.Path)
	if errors.Is(err, ErrNoRepository) {
		return nil, nil
	}
	if err != nil {
		return []finding.Finding{noHistory(err)}, nil
	}
	found := listed(repo)
	if !walk {
		return found, nil
	}
	return append(found, e.changedEntries(repo, car, validate.EntriesKept(s))...), nil
}

// listed names the files that Git left to be chosen, for it keeps this bench's version in the folder as if nothing were open, and what
// it keeps of other repositories: in a clone that is an empty folder, in which nobody sees it.
func listed(repo Repository) []finding.Finding {
	contested, submodules, err := repo.Listed()
	if err != nil {
		return nil // what reads the index says so
	}
	return append(validate.MergeOpen(contested), validate.Submodules(submodules)...)
}

// noHistory says why the history of a folder cannot be relied on.
func noHistory(err error) finding.Finding {
	f := finding.Finding{Code: "repository", File: ".git", Message: "the history behind these records cannot be read: " + err.Error(), Hint: "git fsck says what is damaged"}
	if unusable := (*Unusable)(nil); errors.As(err, &unusable) {
		f.Message, f.Hint = "this repository is not one to rely on: "+unusable.Reason, unusable.Remedy
	}
	return f
}

// changedEntries holds files against their first commit. A history that cannot be walked is verify's to tell.
func (e Env) changedEntries(repo Repository, car Car, paths []string) []finding.Finding {
	firsts, err := repo.Firsts(paths)
	if err != nil {
		return nil
	}
	var found []finding.Finding
	for _, path := range paths {
		first, committed := firsts[path]
		if !committed {
			continue
		}
		now, err := fs.ReadFile(e.Files.Folder(car.Path), path)
		if err == nil {
			found = append(found, validate.EntryChanged(path, first.Bytes, now, first.ID)...)
		}
	}
	return found
}
