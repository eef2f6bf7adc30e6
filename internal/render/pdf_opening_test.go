package render

import (
	"bytes"
	"os/exec"
	"strings"
	"testing"

	"boltback/internal/doc"
)

// parted sets a document with a number of lines before a section that holds one table, and reports for each page which of some
// words stand on it.
func parted(t *testing.T, lines int, table *doc.Table, words ...string) (pages [][]bool) {
	t.Helper()
	s := doc.NewSection("a", "A")
	for i := range lines {
		s.Add(doc.Para("Line {} of the page before the table.", i))
	}
	d := &doc.Document{Title: "T", Language: "en", Provenance: &doc.Provenance{Commit: "c", Day: "2026-11-01", Basis: doc.NotExamined}, Sections: []*doc.Section{s, doc.NewSection("b", "The heading", table)}}
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
	for _, page := range strings.Split(string(out), "\f") {
		var on []bool
		for _, w := range words {
			on = append(on, strings.Contains(page, w))
		}
		pages = append(pages, on)
	}
	return pages
}

// Wherever on a page a table begins, its heading, caption and head are not left behind without a row.
func TestATablesHeadIsNeverAloneAtTheFootOfAPage(t *testing.T) {
	if _, err := exec.LookPath("pdftotext"); err != nil {
		t.Skip("pdftotext is not here")
	}
	table := doc.NewTable("The caption", doc.Col("First head", 1), doc.Col("Second", 1))
	table.Row("the first row", strings.Repeat("words of a long cell ", 30))
	for range 2 * fewRows {
		table.Row("another row", "x")
	}
	for before := 10; before <= 40; before++ {
		for i, on := range parted(t, before, table, "the first row", "First head", "The caption", "The heading") {
			// the head alone is printed anew on the page on which a table goes on
			if on[2] != on[0] || on[3] != on[0] || on[0] && !on[1] {
				t.Errorf("%d lines before, page %d: row, head, caption, heading %v", before, i+1, on)
			}
		}
	}
}

// Lines to sign stand below what is signed, wherever on a page their table begins.
func TestASmallTableStaysTogether(t *testing.T) {
	if _, err := exec.LookPath("pdftotext"); err != nil {
		t.Skip("pdftotext is not here")
	}
	table := doc.NewTable("The caption", doc.Col("What", 1), doc.Col("By hand", 1))
	for _, blank := range []string{"Declares", "Name", "Authority", "Day", "Signature"} {
		table.Row(blank, "____")
	}
	for before := 10; before <= 40; before += 2 {
		for i, on := range parted(t, before, table, "Declares", "Signature", "The caption", "The heading") {
			if on[1] != on[0] || on[2] != on[0] || on[3] != on[0] {
				t.Errorf("%d lines before, page %d: first row, last row, caption, heading %v", before, i+1, on)
			}
		}
	}
}
