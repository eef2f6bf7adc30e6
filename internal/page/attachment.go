package page

import (
	"cmp"
	"slices"
	"time"

	"github.com/carlos7ags/folio/core"
)

// Attachment is a file that travels inside the PDF file, such as the records
// that a dossier was computed from.
type Attachment struct {
	Name, Description string
	// MediaType is such as "application/json".
	MediaType string
	Data      []byte
	// Changed is when the file was last changed; the zero time leaves it out.
	Changed time.Time
}

// Attach puts a file into the PDF file.
func (b *Book) Attach(a Attachment) { b.attachments = append(b.attachments, a) }

// embedded adds the attachments and returns the list by name, and the
// references by which the file as a whole is tied to them (ISO 19005-3, 6.8).
func (b *Book) embedded(f *file) (names *core.PdfDictionary, associated *core.PdfArray) {
	list := slices.Clone(b.attachments)
	slices.SortStableFunc(list, func(a, b Attachment) int { return cmp.Compare(a.Name, b.Name) })
	pairs, refs := core.NewPdfArray(), core.NewPdfArray()
	for _, a := range list {
		stream := core.NewPdfStreamCompressed(a.Data)
		stream.Dict.Set("Type", name("EmbeddedFile"))
		stream.Dict.Set("Subtype", name(a.MediaType))
		parameters := dict("Size", core.NewPdfInteger(len(a.Data)))
		if !a.Changed.IsZero() {
			parameters.Set("ModDate", core.NewPdfLiteralString(moment(a.Changed)))
		}
		stream.Dict.Set("Params", parameters)
		data := f.add(stream)
		ref := f.add(dict("Type", name("Filespec"), "F", core.NewPdfTextString(a.Name), "UF", core.NewPdfTextString(a.Name),
			"Desc", core.NewPdfTextString(a.Description), "AFRelationship", name("Data"),
			"EF", dict("F", data, "UF", data)))
		pairs.Add(core.NewPdfTextString(a.Name))
		pairs.Add(ref)
		refs.Add(ref)
	}
	return dict("Names", pairs), refs
}

// moment writes a time as PDF does (ISO 32000-1, 7.9.4), in universal time.
func moment(t time.Time) string { return "D:" + t.UTC().Format("20060102150405") + "Z" }
