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
	return record.Sealed(n.Text).Open(file, s.Head().ID, pointer, s.Lineage(r)...)
}

// Disclosed opens all private values whose disclosures are here; read gives the file of a digest. A digest that stands
// anywhere it was not made for opens nothing at all, so that a value can be moved to no other field.
func (s *Snapshot) Disclosed(read func(record.Sealed) (file []byte, here bool)) map[record.Sealed]string {
	values, misplaced := map[record.Sealed]string{}, map[record.Sealed]bool{}
	for _, r := range s.Records() {
		for _, leaf := range r.Leaves() {
			digest := record.Sealed(leaf.Text)
			if leaf.Role != record.Secret || !record.IsDigest(leaf.Text) || misplaced[digest] {
				continue
			}
			file, here := read(digest)
			if !here {
				continue
			}
			value, err := s.OpenSealed(file, r, leaf.Pointer)
			if err != nil {
				misplaced[digest] = true
				delete(values, digest)
				continue
			}
			values[digest] = value
		}
	}
	return values
}

// Lineage gives the files of a record and of those that it corrects, one over the other; a ring ends where it closes.
func (s *Snapshot) Lineage(r *record.Record) []string {
	var paths []string
	for r != nil && !slices.Contains(paths, r.Path) {
		paths = append(paths, r.Path)
		r = s.Record(r.Body.Heading().Corrects)
	}
	return paths
}
