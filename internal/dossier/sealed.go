package dossier

import (
	"boltback/internal/doc"
	"boltback/internal/record"
)

// Disclosed gives a private value by the digest that stands in its place; false where it is not here. The caller hands it
// in only where somebody chose to show private values; nil withholds all of them.
type Disclosed func(record.Sealed) (string, bool)

// sealed is a private value as far as this document may show it.
func (b *book) sealed(v record.Sealed) doc.Text {
	if b.in.Disclosed != nil {
		if text, here := b.in.Disclosed(v); here {
			return doc.Say("{} (private)", stated(text))
		}
	}
	return doc.Text{doc.Withheld("")}
}

// privacy says at the top of a document that private values stand in it.
func (b *book) privacy() doc.Block {
	return doc.Para("{} Private values are printed here, each marked \"private\", as far as they lie beside the records. "+
		"Each was held against the digest in its record. Whoever has this document can read them, and what is handed on cannot be called back.", doc.Strong("Not for everyone."))
}
