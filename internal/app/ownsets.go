package app

import (
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/requirement"
	"boltback/records"
)

// setsFolder is where a car keeps requirement sets of its own.
const setsFolder = "requirements"

// addOwnSets adds the faults of the requirement sets that a car holds itself: expressions that cannot be asked, rings, overrides that
// change nothing. Only these are read and compiled, and only where the car has some.
func (e Env) addOwnSets(one *Checked, options CheckOptions) error {
	s, err := e.ownSets(one.Car, options.At)
	if err != nil || s == nil {
		return err
	}
	library := requirement.NewLibrary(records.Requirements(), s, options.On)
	var found []finding.Finding
	for _, name := range requirement.Pinned(s) {
		set, err := library.Load(name)
		if err != nil {
			return fmt.Errorf("%s: %w", one.Car.Name, err)
		}
		for _, f := range set.Findings {
			if !slices.Contains(found, f) { // a set that another builds on speaks for itself
				found = append(found, f)
			}
		}
	}
	if len(found) > 0 {
		one.Findings = append(slices.Clone(one.Findings), ofCar(one.Car, found)...)
		finding.Sort(one.Findings)
	}
	return nil
}

// ownSets reads of a car the requirement sets alone; nil where it has none.
func (e Env) ownSets(car Car, revision string) (*ledger.Snapshot, error) {
	if revision != "" {
		return e.as(car, revision)
	}
	folder := e.Files.Folder(car.Path)
	if entries, err := fs.ReadDir(folder, setsFolder); err != nil || len(entries) == 0 {
		return nil, nil
	}
	s, err := car.load(setsAlone{folder})
	if err != nil {
		return nil, fmt.Errorf("%s: %w", car.Name, err)
	}
	return s, nil
}

// setsAlone shows of a car's folder its ledger record and its requirement sets.
type setsAlone struct{ fs.FS }

// ReadDir lists a folder; the top one without what is not shown.
func (f setsAlone) ReadDir(name string) ([]fs.DirEntry, error) {
	entries, err := fs.ReadDir(f.FS, name)
	return slices.DeleteFunc(entries, func(d fs.DirEntry) bool {
		path := strings.TrimPrefix(name+"/"+d.Name(), "./")
		return path != "ledger.json" && path != setsFolder && !strings.HasPrefix(path, setsFolder+"/")
	}), err
}
