package app

import (
	"fmt"
	"slices"

	"boltback/internal/dossier"
	"boltback/internal/history"
	"boltback/internal/ledger"
	"boltback/internal/signoff"
)

// since compares the records with those that somebody's older dossier was made from. The word is the id of a commit, or the
// file that was kept: a dossier as page or PDF, the records out of one, or a stamp.
func (e Env) since(car Car, word string, now *ledger.Snapshot) (*dossier.Since, error) {
	id := word
	if !commitID.MatchString(word) {
		k, _, err := e.keepsake(word)
		if err != nil {
			return nil, &Usage{Message: fmt.Sprintf("--since %s is no id of a commit and no file that was kept: %v", word, err),
				Hint: "give the dossier that the reader holds (HTML, PDF or JSON), or the commit on its first page, at least seven digits"}
		}
		id = k.Commit
	}
	repo, err := e.repository(car)
	if err != nil {
		return nil, err
	}
	commits, err := repo.Commits()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", car.Name, err)
	}
	full, err := repo.Resolve(id)
	if err != nil || !slices.ContainsFunc(commits, func(c signoff.Commit) bool { return c.ID == full }) {
		return nil, &Usage{Message: fmt.Sprintf("--since %s: commit %s is not in the history of %s", word, id, car.Name),
			Hint: "it may be another car's, or the history was rewritten: boltback verify " + car.Name + " --kept " + word}
	}
	before, _, err := e.At(car, full)
	if err != nil {
		return nil, err
	}
	changes, err := history.Diff(before, now)
	if err != nil {
		return nil, fmt.Errorf("compare with what was kept: %w", err)
	}
	return &dossier.Since{Commit: full, Changes: changes}, nil
}
