package app

import (
	"io/fs"
	"path/filepath"

	"boltback/internal/ledger"
	"boltback/internal/record"
)

// Disclosed gives the private values of a car that are here and belong where their digests stand, for whoever asked to see
// them. What is not beside the ledger is withheld, and that is no error: destroying the file is enough to forget.
func (e Env) Disclosed(car Car, s *ledger.Snapshot) func(record.Sealed) (string, bool) {
	folders := e.privateFolders(car)
	values := s.Disclosed(func(digest record.Sealed) ([]byte, bool) {
		for _, folder := range folders {
			if file, err := fs.ReadFile(folder, string(digest)+".json"); err == nil {
				return file, true
			}
		}
		return nil, false
	})
	return func(digest record.Sealed) (string, bool) {
		value, here := values[digest]
		return value, here
	}
}

// disclosedIf is Disclosed for whoever asked to see private values, and nothing for everybody else.
func (e Env) disclosedIf(private bool, car Car, s *ledger.Snapshot) func(record.Sealed) (string, bool) {
	if !private {
		return nil
	}
	return e.Disclosed(car, s)
}

// privateFolders are where the disclosures of a car lie, and those of the address book that it copied from.
func (e Env) privateFolders(car Car) []fs.FS {
	if car.Yard == "" {
		return nil
	}
	return []fs.FS{e.Files.Folder(car.privateFolder()), e.Files.Folder(filepath.Join(car.Yard, "private", "workshop"))}
}
