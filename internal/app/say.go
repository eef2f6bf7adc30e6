package app

import (
	"fmt"

	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/replay"
	"boltback/internal/wording"
)

// Work replays a car's records, as they lie or at a revision.
func (e Env) Work(car Car, at string) (*replay.Work, error) {
	s, err := e.as(car, at)
	if err != nil {
		return nil, err
	}
	return replay.Of(s), nil
}

// Wording judges what may be said of a car on a day.
func (e Env) Wording(car Car, at string, on edtf.Day) (*ledger.Snapshot, []wording.Phrase, error) {
	work, err := e.Work(car, at)
	if err != nil {
		return nil, nil, err
	}
	phrases, err := wording.Make(work, on)
	if err != nil {
		return nil, nil, fmt.Errorf("%s: %w", car.Name, err)
	}
	return work.Snapshot(), phrases, nil
}
