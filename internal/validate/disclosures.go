package validate

import (
	"io"
	"io/fs"
	"path"
	"strings"

	"boltback/internal/canon"
	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// Disclosures holds the files of private values that lie beside a car against the places they name. Folder is where they lie,
// and at what that folder is called from the car. No finding repeats a value, or the file's words.
func Disclosures(s *ledger.Snapshot, folder fs.FS, at string) []finding.Finding {
	entries, err := fs.ReadDir(folder, ".")
	if err != nil {
		return nil // no private value is here, and that is no fault
	}
	var found []finding.Finding
	for _, e := range entries {
		file, err := fs.ReadFile(folder, e.Name())
		if err != nil {
			continue
		}
		if code, message := disclosureFault(s, e.Name(), file); code != "" {
			found = append(found, finding.Finding{Code: code, File: path.Join(at, e.Name()), Message: message})
		}
	}
	return rated(found)
}

// disclosureFault says what is wrong with one file, or gives no code.
func disclosureFault(s *ledger.Snapshot, name string, file []byte) (code, message string) {
	digest := record.DigestOf(file)
	one, err := record.ParseDisclosure(file)
	switch {
	case name != string(digest)+".json":
		return "disclosure-damaged", "it is not the file of a private value that its name says, and opens nothing"
	case err != nil:
		return "disclosure-damaged", "it is not the file of a private value"
	case sealedAt(s, one.Path, one.Pointer) != string(digest):
		return "disclosure-nowhere", "no record holds the digest of this private value in the place that the file names"
	case one.Ledger != record.SealedFor(s.Head().ID, one.Path):
		return "disclosure-nowhere", "this private value is of another ledger"
	}
	return "", ""
}

// sealedAt gives what stands at a pointer of a record, or of the fields of a file in the inbox.
func sealedAt(s *ledger.Snapshot, at, pointer string) string {
	var doc *canon.Document
	if id, isRecord := record.IDOf(at); isRecord {
		if r := s.Record(id); r != nil {
			doc = r.Doc
		}
	} else if path.Dir(at) == "inbox" {
		doc, pointer = saved(s, at), "/fields"+pointer
	}
	if doc == nil {
		return ""
	}
	if n := doc.Find(pointer); n != nil {
		return n.Text
	}
	return ""
}

// largestSaved is how much of a file of the inbox is read.
const largestSaved = 1 << 20

func saved(s *ledger.Snapshot, at string) *canon.Document {
	if _, here := s.HasFile(at); !here || !strings.HasSuffix(at, ".json") {
		return nil
	}
	f, err := s.Open(at)
	if err != nil {
		return nil
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, largestSaved))
	if err != nil {
		return nil
	}
	doc, err := canon.Parse(text, canon.DefaultLimits())
	if err != nil {
		return nil
	}
	return doc
}
