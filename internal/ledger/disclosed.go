package ledger

import (
	"slices"

	"boltback/internal/record"
)

// OpenSealed gives the private value at a pointer of a record, if file is the disclosure that belongs there; the errors are
// those of package record. A correction may hold a digest that it took over from what it corrects, at the same pointer.
func (s *Snapshot) OpenSealed(file []byte, r *record.Record, pointer string) (string, error) {
	n := r.Doc.Find(pointer)
	if n == nil {
		return "", record.ErrOtherPointer
	}
	return record.Sealed(n.Text).Open(file, s.Head().ID, pointer, s.lineage(r)...)
}

// lineage gives the files of a record and of those that it corrects, one over the other; a ring ends where it closes.
func (s *Snapshot) lineage(r *record.Record) []string {
	var paths []string
	for r != nil && !slices.Contains(paths, r.Path) {
		paths = append(paths, r.Path)
		r = s.Record(r.Body.Heading().Corrects)
	}
	return paths
}
