package app

import (
	"io"
	"io/fs"
	"strings"

	"boltback/internal/doc"
	"boltback/internal/dossier"
	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/validate"
)

// largestPreview is how many bytes of a preview a page takes in.
const largestPreview = 1 << 20

// Dossier computes the car's dossier for a day.
func (e Env) Dossier(car Car, on edtf.Day) (*doc.Document, error) {
	checked, err := e.Check([]Car{car}, CheckOptions{On: on})
	if err != nil {
		return nil, err
	}
	s := checked[0].Snapshot
	return dossier.Build(dossier.Input{
		Snapshot: s,
		Findings: checked[0].Findings,
		Day:      on,
		Program:  e.Program,
		Preview:  func(content *record.Content) []byte { return preview(s, content) },
	}), nil
}

// preview reads a small picture of the ledger, or gives nil where it is not here.
func preview(s *ledger.Snapshot, content *record.Content) []byte {
	path := "previews/" + string(content.Digest) + validate.ExtensionOf(content.Type)
	if !fs.ValidPath(path) || strings.Contains(path, "..") {
		return nil
	}
	file, err := s.Open(path)
	if err != nil {
		return nil
	}
	defer file.Close()
	picture, err := io.ReadAll(io.LimitReader(file, largestPreview+1))
	if err != nil || len(picture) > largestPreview {
		return nil
	}
	return picture
}
