package identity

import (
	"slices"

	"boltback/internal/ledger"
	"boltback/internal/record"
)

// Enquiry is the answer of a register of stolen vehicles, and what it means for the car.
type Enquiry struct {
	Paper   *record.Record
	Outcome RegisterOutcome
	Statement
}

// graver orders the outcomes: of several chassis numbers of one car, the gravest outcome counts.
var graver = []RegisterOutcome{RegisterNone, RegisterCollision, RegisterOpen, RegisterMatch}

// Enquiries weighs each answer of a register on record against the chassis numbers of the car, in the order of the ledger.
func Enquiries(s *ledger.Snapshot, readings []Reading) []Enquiry {
	_, car := s.Car()
	is := Description{Make: car.Make, Type: "car", Year: string(car.Year[:min(4, len(car.Year))])}
	var all []Enquiry
	for _, p := range ledger.All[record.Paper](s) {
		if p.Body.Enquiry == nil {
			continue
		}
		if e, ok := weigh(p, readings, is); ok {
			all = append(all, e)
		}
	}
	return all
}

// weigh holds one answer against every chassis number; without one there is nothing to hold it against.
func weigh(p ledger.Entry[record.Paper], readings []Reading, is Description) (Enquiry, bool) {
	said := p.Body.Enquiry
	entry := RegisterEntry{Number: said.Number, Description: Description{Make: said.Make, Type: said.Type, Year: said.Year}, Register: said.Register, Record: p.Path}
	if said.ClearedBy != "" {
		entry.Clearance = record.PathOf(said.ClearedBy)
	}
	gravest := Enquiry{Paper: p.Record}
	for _, r := range readings {
		if r.Kind != Chassis || r.Record.Kind == record.KindPaper {
			continue
		}
		outcome, statement := Stolen(r.Claim, is, entry)
		if gravest.Outcome == "" || slices.Index(graver, outcome) > slices.Index(graver, gravest.Outcome) {
			gravest.Outcome, gravest.Statement = outcome, statement
		}
	}
	return gravest, gravest.Outcome != ""
}
