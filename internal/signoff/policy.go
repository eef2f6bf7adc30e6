package signoff

import (
	"cmp"
	"io/fs"
	"slices"

	"boltback/internal/record"
)

// Policy is what a ledger asks for: signatures, and limits tighter than the
// program's own.
type Policy struct {
	AllCommits    bool     // every commit has to be signed
	TwoSignatures []string // facets that take a counter-signature, sorted
	Limits        record.Limits
}

// readPolicy reads ledger.json; one that cannot be read asks for nothing, which
// is then reported as weaker than what was asked before.
func readPolicy(fsys fs.FS) Policy {
	content, err := fs.ReadFile(fsys, "ledger.json")
	if err != nil {
		return Policy{}
	}
	r, err := record.Decode("ledger.json", content)
	if err != nil {
		return Policy{}
	}
	head, ok := r.Body.(*record.Ledger)
	if !ok {
		return Policy{}
	}
	var p Policy
	if head.Signing != nil {
		p.AllCommits = head.Signing.Commits == "all"
		p.TwoSignatures = slices.Sorted(slices.Values(head.Signing.TwoSignatures))
	}
	if head.Limits != nil {
		p.Limits = *head.Limits
	}
	return p
}

// Weakening is one thing that a ledger asks no longer, or less of.
type Weakening struct {
	What     string // "signed commits", "two signatures: brakes", "limit found-parts" ...
	Was, Now int64  // of a limit; 0 is the program's own
}

// weakened lists what p asks less of than before did.
func (p Policy) weakened(before Policy) []Weakening {
	var list []Weakening
	if before.AllCommits && !p.AllCommits {
		list = append(list, Weakening{What: "signed commits"})
	}
	for _, facet := range before.TwoSignatures {
		if !slices.Contains(p.TwoSignatures, facet) {
			list = append(list, Weakening{What: "two signatures: " + facet})
		}
	}
	least := func(what string, was, now int64) {
		if now < was {
			list = append(list, Weakening{What: "limit " + what, Was: was, Now: now})
		}
	}
	least("found-parts", before.Limits.FoundParts, p.Limits.FoundParts)
	least("attachments", before.Limits.Attachments, p.Limits.Attachments)
	// The shorter the time, the tighter the limit; 0 is none.
	if was, now := before.Limits.SightingAge, p.Limits.SightingAge; was != 0 && (now == 0 || now > was) {
		list = append(list, Weakening{What: "limit sighting-age", Was: was, Now: now})
	}
	slices.SortStableFunc(list, func(a, b Weakening) int { return cmp.Compare(a.What, b.What) })
	return list
}
