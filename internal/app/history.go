package app

import (
	"fmt"
	"slices"

	"boltback/internal/history"
	"boltback/internal/record"
)

// LateAfter is how many days after the work an entry is called late.
const LateAfter = 7

// RecordHistory tells the story of one record, newest first.
func (e Env) RecordHistory(car Car, word string) (*record.Record, []history.Entry, error) {
	repo, err := e.repository(car)
	if err != nil {
		return nil, nil, err
	}
	s, err := e.glance(car)
	if err != nil {
		return nil, nil, err
	}
	r, err := Record(s, word)
	if err != nil {
		return nil, nil, err
	}
	var versions []history.Version
	if s, err = e.settling(car, s, r.Path); err != nil {
		return nil, nil, err
	}
	for _, path := range history.Paths(s, r.ID) {
		for v, err := range repo.History(path) {
			if err != nil {
				return nil, nil, fmt.Errorf("the history of %s: %w", path, err)
			}
			versions = append(versions, v)
		}
	}
	slices.SortStableFunc(versions, func(a, b history.Version) int { return b.When.Compare(a.When) })
	return r, history.Timeline(versions, LateAfter), nil
}

// CarHistory tells what each of the last commits did, newest first; most is how many, 0 for all.
func (e Env) CarHistory(car Car, most int) ([]history.Entry, error) {
	repo, err := e.repository(car)
	if err != nil {
		return nil, err
	}
	var entries []history.Entry
	for revision, err := range repo.Log() {
		if err != nil {
			return nil, fmt.Errorf("the history of %s: %w", car.Name, err)
		}
		parent := ""
		if len(revision.Parents) > 0 {
			parent = revision.Parents[0]
		}
		files, err := repo.Changes(parent, revision.ID)
		if err != nil {
			return nil, fmt.Errorf("the history of %s: %w", car.Name, err)
		}
		entries = append(entries, history.Tell(history.Step{Revision: revision.Revision, Files: files}, LateAfter))
		if len(entries) == most {
			break
		}
	}
	return entries, nil
}

// Diff lists what differs between two states of a car: revisions, days, or, where now is "", the folder as it lies. Where
// old is "" it is the last commit.
func (e Env) Diff(car Car, old, now string) ([]history.Change, error) {
	if old == "" {
		old = "HEAD"
	}
	before, _, err := e.At(car, old)
	if err != nil {
		return nil, err
	}
	after, _, err := e.At(car, now)
	if err != nil {
		return nil, err
	}
	changes, err := history.Diff(before, after)
	if err != nil {
		return nil, fmt.Errorf("compare: %w", err)
	}
	return changes, nil
}
