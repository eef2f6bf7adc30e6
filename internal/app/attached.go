package app

import (
	"bytes"
	"encoding/json"
	"fmt"

	"boltback/internal/edtf"
	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// Paginated is a dossier with what travels inside its PDF file.
type Paginated struct {
	Dossier
	// Records is one JSON file of the records that the dossier was computed from, and RecordsName its name.
	Records     []byte
	RecordsName string
	// Paper is the yard's habit: a4, letter or "".
	Paper string
}

// DossierForPaper computes a dossier together with the records behind it.
func (e Env) DossierForPaper(car Car, o DossierOptions) (Paginated, error) {
	d, err := e.Dossier(car, o)
	if err != nil {
		return Paginated{}, err
	}
	p := Paginated{Dossier: d, RecordsName: car.Name + "-records.json"}
	if p.Paper, err = e.Paper(car); err != nil {
		return p, err
	}
	p.Records, err = attachment(d.snapshot, d.commit, o.On)
	return p, err
}

// attached is the shape of the records inside a PDF file. What is private stands in no record: they hold digests of it.
type attached struct {
	Edition string `json:"edition"`
	// Ledger is the id that ledger.json bears, so that records of one car are not taken for another's.
	Ledger string `json:"ledger,omitempty"`
	Commit string `json:"commit,omitempty"`
	Day    string `json:"day"`
	// Records are all records by path, those that were corrected or withdrawn included.
	Records []attachedRecord `json:"records"`
	// Unread are the files that could not be read as records, with the reason.
	Unread []attachedFault `json:"unread"`
}

// attachedRecord is one record: Digest is the SHA-256 of its file as it lies in the repository,
// Standing whether it counts.
type attachedRecord struct {
	Path     string          `json:"path"`
	Digest   record.Digest   `json:"digest"`
	Standing string          `json:"standing"`
	Record   json.RawMessage `json:"record"`
}

type attachedFault struct {
	Path  string `json:"path"`
	Fault string `json:"fault"`
}

func attachment(s *ledger.Snapshot, commit string, on edtf.Day) ([]byte, error) {
	a := attached{Edition: "1", Ledger: s.Head().ID, Commit: commit, Day: on.String(), Records: []attachedRecord{}, Unread: []attachedFault{}}
	for _, r := range s.Records() {
		standing, _ := s.StandingOf(r)
		a.Records = append(a.Records, attachedRecord{r.Path, r.Digest, standing.String(), r.Doc.Source})
	}
	for _, u := range s.AllUnread() {
		a.Unread = append(a.Unread, attachedFault{u.Path, u.Fault.Message})
	}
	var text bytes.Buffer
	if err := finding.WriteJSON(&text, a); err != nil {
		return nil, fmt.Errorf("gather the records to attach: %w", err)
	}
	return text.Bytes(), nil
}
