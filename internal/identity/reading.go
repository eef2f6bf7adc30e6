package identity

import (
	"fmt"

	"boltback/internal/canon"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// Reading is a claim with the place in the ledger it was taken from.
type Reading struct {
	Claim
	Record  *record.Record
	Pointer string
}

// Readings lists every number of the car's record, of its parts and of its papers that counts today, in the order of the
// ledger. The claim's own Record is "path:line", so that sentences name the line.
func Readings(s *ledger.Snapshot) []Reading {
	var all []Reading
	add := func(r *record.Record, pointer string, numbers []record.Number, paper bool) {
		for i, n := range numbers {
			all = append(all, reading(r, canon.ElementPointer(pointer, i), n, paper))
		}
	}
	if r, car := s.Car(); r != nil {
		add(r, "/numbers", car.Numbers, false)
	}
	for _, p := range ledger.All[record.Part](s) {
		add(p.Record, "/numbers", p.Body.Numbers, false)
	}
	for _, p := range ledger.All[record.Paper](s) {
		add(p.Record, "/numbers", p.Body.Numbers, true)
	}
	return all
}

// Claims gives the claims of readings alone.
func Claims(readings []Reading) []Claim {
	claims := make([]Claim, len(readings))
	for i, r := range readings {
		claims[i] = r.Claim
	}
	return claims
}

func reading(r *record.Record, pointer string, n record.Number, paper bool) Reading {
	part := string(n.Part)
	if part == "" && r.Kind == record.KindPart {
		part = string(r.ID)
	}
	source := Source(n.Where)
	if source == "" && paper {
		source = Source(r.Body.(*record.Paper).Class)
	}
	c := Claim{
		Kind:       Kind(n.What),
		Number:     Number{Raw: n.Raw, Base: n.Base, Addition: n.Addition},
		Source:     source,
		Record:     fmt.Sprintf("%s:%d", r.Path, r.Doc.Locate(pointer).Line),
		Part:       part,
		ReadBy:     string(n.ReadBy),
		Date:       string(n.On),
		Factory:    Answer(stated(n.FactoryMethod)),
		OnCar:      Answer(stated(n.OnCar)),
		Legibility: Legibility(stated(n.Legibility)),
	}
	return Reading{Claim: c, Record: r, Pointer: pointer}
}

// stated turns the record's ways of not knowing into none.
func stated(word string) string {
	if word == "unknown" || word == "not recorded" {
		return ""
	}
	return word
}

// PlateEntries lists the identity plates among readings, the one on the car and those kept elsewhere.
func PlateEntries(readings []Reading) []PlateEntry {
	var plates []PlateEntry
	for _, r := range readings {
		if r.Kind != Plate || r.Source != FromPlate {
			continue
		}
		n := numberAt(r)
		plates = append(plates, PlateEntry{
			Number: r.Number, Record: r.Claim.Record, OnCar: r.OnCar, Original: original(n.Status, r.Factory),
			Where: n.Place,
		})
	}
	return plates
}

// original says whether a plate is the maker's: a plate called a copy is not, and one applied the way the maker applied it
// is. That a plate was merely read says neither.
func original(status string, factory Answer) Answer {
	switch {
	case status == "reproduction" || status == "restamped":
		return No
	case factory == Yes:
		return Yes
	}
	return NotKnown
}

// numberAt gives the number a reading was taken from.
func numberAt(r Reading) record.Number {
	var numbers []record.Number
	switch body := r.Record.Body.(type) {
	case *record.Car:
		numbers = body.Numbers
	case *record.Part:
		numbers = body.Numbers
	case *record.Paper:
		numbers = body.Numbers
	}
	for i, n := range numbers {
		if canon.ElementPointer("/numbers", i) == r.Pointer {
			return n
		}
	}
	return record.Number{}
}
