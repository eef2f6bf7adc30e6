package page

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"io"

	"github.com/carlos7ags/folio/core"
)

// file is a list of numbered objects (ISO 32000-1, 7.5).
type file struct{ objects []core.PdfObject }

func (f *file) add(o core.PdfObject) *core.PdfIndirectReference {
	f.objects = append(f.objects, o)
	return core.NewPdfIndirectReference(len(f.objects), 0)
}

// write writes the objects, the table of where each begins, and the trailer.
// The file's identifier is a digest of its content, so it is the same each time.
func (f *file) write(w io.Writer, root, info *core.PdfIndirectReference) error {
	var body bytes.Buffer
	body.WriteString("%PDF-1.7\n%\xe2\xe3\xcf\xd3\n") // four bytes above 127 say that the file is binary
	offsets := make([]int, len(f.objects))
	for i, o := range f.objects {
		offsets[i] = body.Len()
		fmt.Fprintf(&body, "%d 0 obj\n", i+1)
		if _, err := o.WriteTo(&body); err != nil {
			return fmt.Errorf("write object %d: %w", i+1, err)
		}
		body.WriteString("\nendobj\n")
	}
	start := body.Len()
	digest := sha256.Sum256(body.Bytes())
	fmt.Fprintf(&body, "xref\n0 %d\n0000000000 65535 f \n", len(f.objects)+1)
	for _, offset := range offsets {
		fmt.Fprintf(&body, "%010d 00000 n \n", offset)
	}
	id := core.NewPdfHexString(string(digest[:16]))
	trailer := dict("Size", core.NewPdfInteger(len(f.objects)+1), "Root", root, "Info", info, "ID", core.NewPdfArray(id, id))
	body.WriteString("trailer\n")
	if _, err := trailer.WriteTo(&body); err != nil {
		return err
	}
	fmt.Fprintf(&body, "\nstartxref\n%d\n%%%%EOF\n", start)
	_, err := body.WriteTo(w)
	return err
}

// dict makes a dictionary of keys and values in turn.
func dict(pairs ...any) *core.PdfDictionary {
	d := core.NewPdfDictionary()
	for i := 0; i+1 < len(pairs); i += 2 {
		d.Set(pairs[i].(string), pairs[i+1].(core.PdfObject))
	}
	return d
}

func name(s string) *core.PdfName { return core.NewPdfName(s) }

func real(v float64) *core.PdfNumber { return core.NewPdfReal(v) }
