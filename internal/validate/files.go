package validate

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"

	"boltback/internal/canon"
	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/schema"
)

// Originals answers for the full photos and documents that lie beside the ledger. Find gives the size of the file with
// that digest; ok is false where it is not here. Open reads it.
type Originals interface {
	Find(digest record.Digest) (size int64, ok bool)
	Open(digest record.Digest) (io.ReadCloser, error)
}

// previews holds the smaller pictures in the ledger against the papers that describe them, and the originals beside it
// where they are here.
func (c *checker) previews() {
	described := map[string]bool{}
	for _, p := range ledger.All[record.Paper](c.s) {
		if p.Body.Preview != nil {
			described[c.preview(p)] = true
		}
		c.original(p)
	}
	for _, r := range c.s.OfKind(record.KindPaper) { // corrected and withdrawn papers still describe their files
		if p, ok := r.Body.(*record.Paper); ok && p.Preview != nil {
			described[previewPath(p.Preview)] = true
		}
	}
	for _, f := range c.s.Files() {
		if strings.HasPrefix(f.Path, "previews/") && !described[f.Path] {
			c.add(finding.Finding{Code: "no-paper", File: f.Path, Message: "no paper describes this preview", Hint: "record the paper, or remove the file"})
		}
	}
}

// summarize puts one count in the place of many originals that are not here, as on a second machine where whole folders
// are elsewhere, and sorts. Papers is how many papers the car has.
func summarize(found []finding.Finding, papers int) []finding.Finding {
	const few = 3
	absent := 0
	for _, f := range found {
		if f.Code == originalNotHere {
			absent++
		}
	}
	if absent > few {
		found = slices.DeleteFunc(found, func(f finding.Finding) bool { return f.Code == originalNotHere })
		found = append(found, finding.Finding{Severity: finding.Note, Code: originalNotHere, File: "papers",
			Message: fmt.Sprintf("%d of %d originals are not here", absent, papers), Hint: workshopsWord})
	}
	finding.Sort(found)
	return found
}

const (
	originalNotHere = "original-not-here"
	workshopsWord   = "a preview without its original is the workshop's word"
)

func previewPath(content *record.Content) string {
	return "previews/" + string(content.Digest) + record.ExtensionOf(content.Type)
}

// preview checks one preview and gives its path.
func (c *checker) preview(p ledger.Entry[record.Paper]) string {
	want := p.Body.Preview
	at := previewPath(want)
	size, here := c.s.HasFile(at)
	if !here {
		c.report(p.Record, "/preview/digest", "no-file", "the preview is not in the ledger", "put back "+at)
		return at
	}
	if want.Bytes != 0 && size != want.Bytes {
		c.report(p.Record, "/preview/bytes", "digest", fmt.Sprintf("the preview has %d bytes, and the paper says %d", size, want.Bytes), "")
		return at
	}
	switch got, err := c.s.SHA256(at); {
	case err != nil:
		c.report(p.Record, "/preview", "unreadable", "the preview cannot be read", "")
	case got != want.Digest:
		c.another(p.Record, "/preview/digest", "preview", got)
	}
	return at
}

// original checks the original beside the ledger, if it is here; its bytes are read only in a deep check.
func (c *checker) original(p ledger.Entry[record.Paper]) {
	want := p.Body.Original
	if want == nil || c.options.Originals == nil {
		return
	}
	size, here := c.options.Originals.Find(want.Digest)
	switch {
	case !here:
		c.report(p.Record, "/original/digest", originalNotHere, "the original is not here", workshopsWord)
	case want.Bytes != 0 && size != want.Bytes:
		c.report(p.Record, "/original/bytes", "digest", fmt.Sprintf("the original has %d bytes, and the paper says %d", size, want.Bytes), "")
	case c.options.Deep:
		file, err := c.options.Originals.Open(want.Digest)
		if err != nil {
			c.report(p.Record, "/original", "unreadable", "the original cannot be read", "")
			return
		}
		defer file.Close()
		c.digest(p.Record, "/original/digest", "original", want.Digest, file)
	}
}

func (c *checker) digest(r *record.Record, pointer, what string, want record.Digest, from io.Reader) {
	h := sha256.New()
	if _, err := io.Copy(h, from); err != nil {
		c.report(r, pointer, "unreadable", "the "+what+" cannot be read to its end", "")
		return
	}
	if got := record.Digest(hex.EncodeToString(h.Sum(nil))); got != want {
		c.another(r, pointer, what, got)
	}
}

// another reports that a file is not the one a paper describes.
func (c *checker) another(r *record.Record, pointer, what string, got record.Digest) {
	c.report(r, pointer, "digest", fmt.Sprintf("the %s is another file: its SHA-256 is %s", what, got), "find the right file, or correct the paper")
}

// layout reports a file that is not laid out as the ledger writes it.
func (c *checker) layout(r *record.Record) {
	if fault := canon.CheckLayout(r.Doc); fault != nil {
		c.add(finding.Finding{Code: "layout", File: r.Path, Line: fault.Line, Column: fault.Column, Message: fault.Message, Hint: "boltback check --fix-layout mends it"})
	}
}

// inbox lists what was saved but is not complete.
func (c *checker) inbox() {
	for _, f := range c.s.Files() {
		if path.Dir(f.Path) == "inbox" {
			c.add(finding.Finding{Code: "inbox", File: f.Path, Message: "saved, not complete, and not part of the record yet", Hint: ""})
		}
	}
}

// furniture checks what every car carries besides its records: the line that keeps Git from changing bytes, and copies of
// the schemas that are the program's own.
func (c *checker) furniture() {
	if !c.holds(".gitattributes", []byte(GitAttributes)) {
		c.add(finding.Finding{Code: "git-setting", File: ".gitattributes", Line: 1, Column: 1, Message: "this changes how Git treats the records", Hint: "the whole file is two lines: * -text and *.json -merge"})
	}
	for _, f := range c.s.Files() {
		rest, inEdition := strings.CutPrefix(f.Path, "schema/"+schema.Edition+"/")
		if !inEdition {
			continue
		}
		if ours, err := fs.ReadFile(schema.Files(), rest); err != nil || !c.holds(f.Path, ours) {
			c.add(finding.Finding{Code: "schema-copy", File: f.Path, Message: "this is not the schema of edition " + schema.Edition + " that the program checks by", Hint: "the program's own alone decides; put its copy back"})
		}
	}
}

// GitAttributes is the whole of a .gitattributes: Git changes no byte, and puts no record together out of two versions of it,
// which nobody would have read.
const GitAttributes = "* -text\n*.json -merge\n"

// holds reports whether a file of the car, if it is there, holds these bytes. It asks for digests, which may be known
// without reading the file again.
func (c *checker) holds(path string, want []byte) bool {
	size, ok := c.s.HasFile(path)
	if !ok {
		return true
	}
	if size != int64(len(want)) {
		return false
	}
	got, err := c.s.SHA256(path)
	return err == nil && string(got) == canon.Digest(want)
}
