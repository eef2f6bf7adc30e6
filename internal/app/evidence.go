package app

import (
	"boltback/internal/signoff"
)

// Evidence is a repository read for what can be shown to an outsider: raw objects, their ids worked out anew, and nothing
// that the repository configures.
type Evidence interface {
	// Commits gives all that the head can be reached by, parents before children; the last is the head.
	Commits() ([]signoff.Commit, error)
	// Tree gives the files of a commit with the ids of their bytes.
	Tree(commit string) (signoff.Files, error)
	// Stamps gives the annotated tags, raw, with ids worked out anew.
	Stamps() ([]signoff.Tag, error)
	// Condition is what is unusual about it.
	Condition() (signoff.Condition, error)
}

// pinsFor gathers what the user's own configuration says of a ledger, by its first commit or by its handle.
func (i Identity) pinsFor(handle, first string) signoff.Pins {
	var pins signoff.Pins
	for name, keys := range i.Pins {
		if name != handle && name != first {
			continue
		}
		pins.Keys = append(pins.Keys, keys...)
		if name == first {
			pins.First = first
		}
	}
	return pins
}
