package app

import (
	"boltback/internal/edtf"
	"boltback/internal/replay"
)

// State replays a car's work to a day; no day is all that is recorded. At picks the revision that is read.
func (e Env) State(car Car, at string, on edtf.Day) (*replay.Work, *replay.State, error) {
	s, _, err := e.At(car, at)
	if err != nil {
		return nil, nil, err
	}
	work := replay.Of(s)
	return work, work.On(on), nil
}
