package dossier_test

import (
	"bytes"
	"flag"
	"io/fs"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"golang.org/x/tools/txtar"

	"boltback/internal/canon"
	"boltback/internal/doc"
	"boltback/internal/dossier"
	"boltback/internal/edtf"
	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/render"
)

var update = flag.Bool("update", false, "write the golden files anew")

// preview is what the compact car's photo record states the digest of.
var preview = []byte("\xff\xd8\xff\xe0 a small picture")

// compactCar is the fixture as files.
func compactCar(t testing.TB) fstest.MapFS {
	t.Helper()
	archive, err := txtar.ParseFile("testdata/wren.txtar")
	if err != nil {
		t.Fatal(err)
	}
	files := fstest.MapFS{}
	for _, f := range archive.Files {
		files[f.Name] = &fstest.MapFile{Data: f.Data}
	}
	return files
}

// carOf makes a car of record texts by path.
func carOf(records map[string]string) fstest.MapFS {
	files := fstest.MapFS{"ledger.json": {Data: []byte(`{"kind": "ledger", "edition": "1"}`)}}
	for path, text := range records {
		files[path] = &fstest.MapFile{Data: []byte(text)}
	}
	return files
}

func load(t testing.TB, fsys fs.FS) *ledger.Snapshot {
	t.Helper()
	s, err := ledger.Load(fsys)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func input(s *ledger.Snapshot) dossier.Input {
	return dossier.Input{
		Snapshot: s,
		Findings: []finding.Finding{{Severity: finding.Error, Code: "syntax", File: "parts/broken.json", Message: "no value stands here"}},
		Inbox:    2,
		Commit:   "7c1f0e2ab9d34455 (2 files changed since)",
		Day:      edtf.NewDay(2026, 4, 1),
		Workshop: "Saltmarsh",
		Program:  "boltback 1.0",
		Pictures: func(d record.Digest) ([]byte, bool) { return preview, string(d) == canon.Digest(preview) },
		Originals: func(d record.Digest) bool {
			return strings.HasPrefix(string(d), "b")
		},
	}
}

// text renders a whole document after its shape was checked.
func text(t testing.TB, d *doc.Document) string {
	t.Helper()
	if err := doc.Check(d); err != nil {
		t.Fatalf("the document is malformed: %v", err)
	}
	var b bytes.Buffer
	if err := render.Text(&b, d, render.TextOptions{Width: 110}); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// sectionText renders one section as a document of its own.
func sectionText(t testing.TB, s *doc.Section) string {
	t.Helper()
	return text(t, &doc.Document{Title: "Test", Language: "en", Sections: []*doc.Section{s},
		Provenance: &doc.Provenance{Commit: "none", Day: "2026-04-01", Basis: doc.NotExamined}})
}

// flat is a text with every run of white space as one space, so that a test
// doesn't depend on where lines break.
func flat(s string) string { return strings.Join(strings.Fields(s), " ") }

func wantAll(t *testing.T, got string, wants ...string) {
	t.Helper()
	got = flat(got)
	for _, want := range wants {
		if !strings.Contains(got, want) {
			t.Errorf("the text lacks %q in:\n%s", want, got)
		}
	}
}

func wantNone(t *testing.T, got string, unwanted ...string) {
	t.Helper()
	got = flat(got)
	for _, u := range unwanted {
		if strings.Contains(got, u) {
			t.Errorf("the text must not hold %q in:\n%s", u, got)
		}
	}
}

// golden compares with a file that "go test -update" writes.
func golden(t *testing.T, path, got string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("the text differs from %s; look at it after: go test ./internal/dossier -update", path)
	}
}

// section gives what one section of a dossier says, cell by cell, after the
// shape of the whole document was checked.
func section(t *testing.T, in dossier.Input, id string) string {
	t.Helper()
	d := dossier.Build(in)
	if err := doc.Check(d); err != nil {
		t.Fatalf("the document is malformed: %v", err)
	}
	for _, s := range d.Sections {
		if s.ID == id {
			return said(s)
		}
	}
	t.Fatalf("there is no section %q", id)
	return ""
}

// said is what a section says, a line for each text, in the terminal's marks but
// without its columns.
func said(s *doc.Section) string {
	var b strings.Builder
	_ = doc.Walk([]doc.Block{s}, func(block doc.Block, _ int) error {
		switch block := block.(type) {
		case *doc.Section:
			b.WriteString(block.Title + "\n")
		case *doc.Table:
			b.WriteString(block.Caption + "\n")
		case *doc.Caution:
			b.WriteString("CAUTION: " + block.Kind + "\n")
		}
		for _, text := range doc.Texts(block) {
			for _, span := range text {
				b.WriteString(marked(span))
			}
			b.WriteByte('\n')
		}
		return nil
	})
	return b.String()
}

func marked(s doc.Span) string {
	switch s.Style {
	case doc.StyleSource:
		return " [" + s.Text + "]"
	case doc.StyleStruck:
		return "[struck out: " + s.Text + "]"
	case doc.StyleMissing, doc.StyleWithheld:
		return "(" + s.Text + ")"
	}
	return s.Text
}
