package render

import (
	"bytes"
	"os/exec"
	"strings"
	"testing"

	"boltback/internal/doc"
)

// Wherever on a page a table begins, its caption and head are not left behind without a row.
func TestATablesHeadIsNeverAloneAtTheFootOfAPage(t *testing.T) {
	if _, err := exec.LookPath("pdftotext"); err != nil {
		t.Skip("pdftotext is not here")
	}
	for before := 10; before <= 40; before++ {
		s := doc.NewSection("a", "A")
		for i := range before {
			s.Add(doc.Para("Line {} of the page before the table.", i))
		}
		table := doc.NewTable("The caption", doc.Col("First head", 1), doc.Col("Second", 1))
		table.Row("the first row", strings.Repeat("words of a long cell ", 30))
		s.Add(table)
		d := &doc.Document{Title: "T", Language: "en", Provenance: &doc.Provenance{Commit: "c", Day: "2026-11-01", Basis: doc.NotExamined}, Sections: []*doc.Section{s}}
		var file bytes.Buffer
		if _, err := PDF(t.Context(), &file, d, PDFOptions{Paper: A4}); err != nil {
			t.Fatal(err)
		}
		cmd := exec.Command("pdftotext", "-layout", "-", "-")
		cmd.Stdin = &file
		out, err := cmd.Output()
		if err != nil {
			t.Fatal(err)
		}
		for i, page := range strings.Split(string(out), "\f") {
			head, row := strings.Contains(page, "First head"), strings.Contains(page, "the first row")
			if caption := strings.Contains(page, "The caption"); head != row || caption != row {
				t.Errorf("%d lines before, page %d: caption %t, head %t, row %t", before, i+1, caption, head, row)
			}
		}
	}
}
