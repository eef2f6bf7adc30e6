package app

import (
	"errors"
	"fmt"
	"slices"

	"boltback/internal/edtf"
	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/replay"
	"boltback/internal/requirement"
	"boltback/records"
)

// RequirementSets loads the sets that ship and, where a car is given, those of the car: the ones named, or all.
func (e Env) RequirementSets(car *Car, at string, on edtf.Day, names ...string) ([]*requirement.Set, error) {
	var s *ledger.Snapshot
	if car != nil {
		var err error
		if s, _, err = e.At(*car, at); err != nil {
			return nil, err
		}
	}
	library := requirement.NewLibrary(records.Requirements(), s, on)
	if len(names) == 0 {
		names = library.Names()
	}
	return loadSets(library, names)
}

func loadSets(library *requirement.Library, names []string) ([]*requirement.Set, error) {
	var sets []*requirement.Set
	for _, name := range names {
		set, err := library.Load(name)
		var none *requirement.NoSet
		if errors.As(err, &none) {
			hint := "boltback requirements lists the sets"
			if near := finding.Nearest(name, none.Names); near != "" {
				hint = "did you mean " + near + "? " + hint
			}
			return nil, &Usage{Message: none.Error(), Hint: hint}
		}
		var unreadable *requirement.Unreadable
		if errors.As(err, &unreadable) {
			return nil, &Usage{Message: unreadable.Error(), Hint: "mend the file; boltback check says all that is wrong with it"}
		}
		if err != nil {
			return nil, err
		}
		sets = append(sets, set)
	}
	return sets, nil
}

// Assessed is a car held against requirement sets.
type Assessed struct {
	Snapshot *ledger.Snapshot
	Commit   string
	Work     *replay.Work
	Facts    *requirement.Facts
	All      []*requirement.Assessment
}

// defaultSet is asked where nobody names one and the car pins none.
const defaultSet = "technical-baseline"

// Assess holds a car against sets on a day: those named, or those that the car pins, or the technical baseline.
func (e Env) Assess(car Car, at string, on edtf.Day, names []string) (Assessed, error) {
	s, commit, err := e.At(car, at)
	if err != nil {
		return Assessed{}, err
	}
	if len(names) == 0 {
		names = requirement.Pinned(s)
	}
	if len(names) == 0 {
		names = []string{defaultSet}
	}
	a := Assessed{Snapshot: s, Commit: commit, Work: replay.Of(s)}
	a.Facts = requirement.Of(a.Work, on)
	a.All, err = assess(s, a.Facts, names)
	return a, err
}

// assess holds the facts of a car against sets.
func assess(s *ledger.Snapshot, facts *requirement.Facts, names []string) ([]*requirement.Assessment, error) {
	sets, err := loadSets(requirement.NewLibrary(records.Requirements(), s, facts.Day()), names)
	if err != nil {
		return nil, err
	}
	var all []*requirement.Assessment
	for _, set := range sets {
		all = append(all, requirement.Assess(set, facts))
	}
	return all, nil
}

// Against assesses the same car against what its assessment is to be compared with: another day, the edition that ships, or
// another set.
func (e Env) Against(a Assessed, with string) (*requirement.Assessment, error) {
	if len(a.All) != 1 {
		return nil, &Usage{Message: "--compare needs one set", Hint: "name it with --for"}
	}
	name, s, facts := a.All[0].Set.Name, a.Snapshot, a.Facts
	if day, err := edtf.ParseDay(with); err == nil {
		facts = requirement.Of(a.Work, day)
	} else if with == shippedWord {
		if err := notShipped(a.All[0].Set); err != nil {
			return nil, err
		}
		s = nil
	} else {
		name = with
	}
	sets, err := loadSets(requirement.NewLibrary(records.Requirements(), s, facts.Day()), []string{name})
	if err != nil {
		var usage *Usage
		if errors.As(err, &usage) {
			usage.Hint = fmt.Sprintf("--compare takes a day (2026-03-02), a set, or the word shipped; %s", usage.Hint)
		}
		return nil, err
	}
	return requirement.Assess(sets[0], facts), nil
}

// shippedWord asks for the edition that ships instead of the car's own.
const shippedWord = "shipped"

// notShipped says why a set cannot be held against its shipped edition: it is that edition, or none ships.
func notShipped(set *requirement.Set) error {
	switch {
	case len(set.Own) == 0:
		return &Usage{Message: "the car holds no copy of " + set.Name + " of its own: it was held against the shipped edition already", Hint: "compare with a day or another set"}
	case !slices.Contains(ShippedSets(), set.Name):
		return &Usage{Message: "no edition of " + set.Name + " ships with the program: the set is the car's own", Hint: "compare with a day or another set"}
	}
	return nil
}

// ShippedSets names the sets that ship with the program.
func ShippedSets() []string {
	return requirement.NewLibrary(records.Requirements(), nil, edtf.Day{}).Names()
}
