package validate

import (
	"fmt"
	"strings"

	"boltback/internal/ledger"
	"boltback/internal/record"
)

// tags reports a tag number that is on two parts. Both stay as they are: which one the tag belongs to only somebody at the
// shelf can say.
func (c *checker) tags() {
	seen := map[string]ledger.Entry[record.Part]{}
	for _, p := range ledger.All[record.Part](c.s) {
		tag := strings.TrimSpace(p.Body.Tag)
		if tag == "" {
			continue
		}
		first, twice := seen[tag]
		if !twice {
			seen[tag] = p
			continue
		}
		if p.Body.SameAs == first.ID || first.Body.SameAs == p.ID {
			continue
		}
		c.report(p.Record, "/tag", "tag-twice", fmt.Sprintf("tag %s is also on %s (%s)", tag, first.Name(), first.ID),
			fmt.Sprintf("look at both: write %sa on one and %sb on the other, with a note", tag, tag))
	}
}
