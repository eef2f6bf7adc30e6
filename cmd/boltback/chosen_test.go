package main

import (
	"bytes"
	"context"
	"fmt"
	"path/filepath"
	"testing"

	"boltback/internal/app"
	"boltback/internal/dossier"
	"boltback/internal/render"
)

// TestAPrivateValueStandsInAReadersCopyOnlyWhereItWasChosen renders the finished car's dossier for every reader, as a page and
// as a PDF file, and looks at every byte of both, unpacked: without the choice none shows a value, with it the copies that tell
// of values do, and say on their first page that they are not for everyone.
func TestAPrivateValueStandsInAReadersCopyOnlyWhereItWasChosen(t *testing.T) {
	if raced {
		t.Skip("looked at without the race detector")
	}
	needed(t, "pdftotext")
	yard := filepath.Join(t.TempDir(), "yard")
	env := world().App
	env.Memories = nil
	if _, err := env.Demo(context.Background(), yard); err != nil {
		t.Fatal(err)
	}
	cars, err := env.Find(filepath.Join(yard, "cars", "tern-1500"))
	if err != nil {
		t.Fatal(err)
	}
	values := valuesIn(t, filepath.Join(yard, "private"))
	chosen := map[dossier.Reader]bool{dossier.Keeper: true, dossier.Insurer: false} // whether the sample has something to show to whom it may be
	for _, reader := range dossier.Readers() {
		for _, private := range []bool{false, true} {
			holds, may := chosen[reader]
			if private && !may {
				continue
			}
			t.Run(fmt.Sprintf("%s-private=%v", reader, private), func(t *testing.T) {
				d, err := env.DossierForPaper(cars[0], app.DossierOptions{Reader: reader, On: checkOn.On, Private: private})
				if err != nil {
					t.Fatal(err)
				}
				for format, parts := range renderedParts(t, d) {
					shown := false
					s := newSweep(t, values...)
					s.fail = func(string, ...any) { shown = true }
					for i, part := range parts {
						s.look(fmt.Sprint(format, i), part)
					}
					if shown != (private && holds) {
						t.Errorf("%s: chosen %v, shown %v", format, private, shown)
					}
					if warns := bytes.Contains(bytes.Join(parts, nil), []byte("Not for everyone")); warns != private {
						t.Errorf("%s: chosen %v, said on the first page %v", format, private, warns)
					}
				}
			})
		}
	}
}

// renderedParts are the bytes of a dossier as a page and as a PDF file, and the words of that; whoever looks unpacks them.
func renderedParts(t *testing.T, d app.Paginated) map[string][][]byte {
	t.Helper()
	var html, pdf bytes.Buffer
	if err := render.HTML(context.Background(), &html, d.Document, render.HTMLOptions{}); err != nil {
		t.Fatal(err)
	}
	records := []render.PDFAttachment{{Name: d.RecordsName, MediaType: "application/json", Data: d.Records}}
	if _, err := render.PDF(context.Background(), &pdf, d.Document, render.PDFOptions{Attachments: records}); err != nil {
		t.Fatal(err)
	}
	words := []byte(pdfTool(t, pdf.Bytes(), "pdftotext", "file.pdf", "-"))
	return map[string][][]byte{"html": {html.Bytes()}, "pdf": {pdf.Bytes(), words}}
}
