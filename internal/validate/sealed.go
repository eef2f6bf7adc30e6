package validate

import (
	"fmt"
	"slices"

	"boltback/internal/ledger"
	"boltback/internal/record"
)

// sealed holds digests of private values against each other. One is made for one member of one record, and a correction may take
// it over; anywhere else it was copied, so that what it discloses could be passed off as said there. It then opens nothing, not
// even in its own place, and nobody can tell from the records which place that is.
func (c *checker) sealed() {
	places := map[string][]sealedPlace{}
	for _, r := range c.s.Records() {
		for _, leaf := range r.Leaves() {
			if leaf.Role == record.Secret && record.IsDigest(leaf.Text) {
				places[leaf.Text] = append(places[leaf.Text], sealedPlace{r, leaf.Pointer})
			}
		}
	}
	for _, same := range places {
		for _, p := range same {
			if i := slices.IndexFunc(same, func(q sealedPlace) bool { return !p.handedOn(c.s, q) }); i >= 0 {
				c.report(p.in, p.pointer, "digest-copied", fmt.Sprintf("the same digest stands at %s of %s, and a digest is made for one place", same[i].pointer, same[i].in.ID),
					"see which of the two the private file names; the other needs its value anew, with boltback record or correct")
			}
		}
	}
}

// sealedPlace is where a digest stands.
type sealedPlace struct {
	in      *record.Record
	pointer string
}

// handedOn reports whether two places are one member of a record and of what corrects it.
func (p sealedPlace) handedOn(s *ledger.Snapshot, q sealedPlace) bool {
	return p.pointer == q.pointer && (slices.Contains(s.Lineage(p.in), q.in.Path) || slices.Contains(s.Lineage(q.in), p.in.Path))
}
