package app

import (
	"boltback/internal/doc"
	"boltback/internal/dossier"
	"boltback/internal/edtf"
)

// Paperwork makes the papers for one requirement set.
func (e Env) Paperwork(car Car, at string, on edtf.Day, set string) (*doc.Document, error) {
	a, err := e.Assess(car, at, on, []string{set})
	if err != nil {
		return nil, err
	}
	in := dossier.Input{Snapshot: a.Snapshot, Work: a.Work, Commit: a.Commit, Day: on, Program: e.Program}
	return dossier.Paperwork(in, a.All[0]), nil
}
