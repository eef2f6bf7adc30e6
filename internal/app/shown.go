package app

import (
	"io/fs"
	"path"

	"boltback/internal/canon"
	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/validate"
)

// shownAround looks in every record, and in what waits in the inbox, for private values: one may have been written there before
// it was sealed, or by another tool. It reads all of the car, so an ordinary check leaves it to a deep one.
func (e Env) shownAround(car Car, s *ledger.Snapshot, known *validate.Search) []finding.Finding {
	desk := &Desk{env: e, car: car, s: s}
	desk.habits, _ = e.habits(car.Yard) // what cannot be read names nobody
	if known.Empty() {
		return nil
	}
	letBe := desk.openly(nil)
	var found []finding.Finding
	for _, f := range s.Files() {
		if path.Ext(f.Path) != ".json" || f.Size > int64(canon.DefaultLimits().Bytes) {
			continue
		}
		text, err := fs.ReadFile(e.Files.Folder(car.Path), f.Path)
		if err != nil {
			continue // the check of the records says so
		}
		if one := shownIn(Change{Path: f.Path, Content: text}, known, letBe); one != nil {
			found = append(found, *one)
		}
	}
	return found
}
