package dossier

import (
	"boltback/internal/doc"
	"boltback/internal/history"
)

// Since is what differs from the records that a reader's older dossier was made from.
type Since struct {
	// Commit is the revision that the older one names, in full.
	Commit string
	// Changes are all there are.
	Changes []history.Change
}

// sinceKept tells whoever holds an older dossier what is new, changed and withdrawn; nil where nobody asked.
func (b *book) sinceKept() []*doc.Section {
	since := b.in.Since
	if since == nil {
		return nil
	}
	s := Differences("commit "+since.Commit, b.provenance().Commit, since.Changes)
	s.Title = "What is new, changed or withdrawn since the dossier you hold"
	s.Add(doc.Para("Listed are the records in which the two differ, those that this dossier does not show included. " +
		"Sums and outcomes follow from the records and from the day: where a record that they rest on is listed here, read them anew. " +
		"What an older dossier says of files that were changed and not committed is not compared."))
	return []*doc.Section{s}
}
