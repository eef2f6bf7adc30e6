package records

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"boltback/internal/canon"
	"boltback/internal/record"
)

// private is a value of the sample that stands in no record. The people are invented, and the telephone number is of a
// range that is given to nobody.
type private struct{ at, path, pointer, value string }

// privates are all of them. Folder is the one below private/; a copy of a person in a car needs no disclosure of its own.
var privates = []private{
	{car, "transfers/2025-09-08-brought-in.json", "/from/name", "Rosalind Thackwray-Invented"},
	{car, "transfers/2025-09-08-brought-in.json", "/from/address", "4 Quarry Row, Nether Sallow"},
	{troubled, "transfers/2024-06-03-bought.json", "/from/name", "Bellweather & Daughters, motor dealers"},
	{troubled, "transfers/2024-06-03-bought.json", "/to/name", "Corin Ashgrove-Invented"},
	{troubled, "transfers/2024-06-03-bought.json", "/price", "14750 GBP"},
	{boxed, "transfers/2021-05-01-sold.json", "/from/name", "Ottavio Brancaleone-Invented"},
	{boxed, "transfers/2021-05-01-sold.json", "/from/address", "Vicolo dei Setacci 9, Borgo Finto"},
	{boxed, "transfers/2021-05-01-sold.json", "/price", "2300 EUR"},
	{"workshop", "people/tallow-lane/maud-pellerin/person.json", "/telephone", "+44 1632 960417"},
}

// disclosure seals a value with a salt that anybody can derive, so that the sample is the same bytes everywhere.
func (p private) disclosure(t *testing.T) (file []byte, digest record.Sealed) {
	t.Helper()
	ledger := ""
	if p.at != "workshop" {
		head, err := record.Decode("ledger.json", read(t, p.at+"/ledger.json"))
		if err != nil {
			t.Fatal(err)
		}
		ledger = head.Body.(*record.Ledger).ID
	}
	salt := sha256.Sum256([]byte("boltback demo salt\x00" + p.at + "\x00" + p.path + "\x00" + p.pointer))
	d := record.Disclosure{Salt: hex.EncodeToString(salt[:record.SaltBytes]), Ledger: record.SealedFor(ledger, p.path), Path: p.path, Pointer: p.pointer, Value: p.value}
	file, err := d.Encode()
	if err != nil {
		t.Fatal(err)
	}
	return file, record.DigestOf(file)
}

func (p private) file(digest record.Sealed) string {
	return "private/" + filepath.Base(p.at) + "/" + string(digest) + ".json"
}

// TestEveryPrivateValueOfTheSampleIsSealedAndItsDisclosureLiesBesideTheCars; -update writes the disclosures.
func TestEveryPrivateValueOfTheSampleIsSealedAndItsDisclosureLiesBesideTheCars(t *testing.T) {
	known := map[record.Sealed]bool{}
	for _, p := range privates {
		file, digest := p.disclosure(t)
		known[digest] = true
		if *update {
			at := filepath.Join("sample", filepath.FromSlash(p.file(digest)))
			if err := os.MkdirAll(filepath.Dir(at), 0o755); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(at, file, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		doc, err := canon.Parse(read(t, p.at+"/"+p.path), canon.DefaultLimits())
		if err != nil {
			t.Fatal(err)
		}
		if n := doc.Find(p.pointer); n == nil || n.Text != string(digest) {
			t.Errorf("%s/%s: %s is to be %s", p.at, p.path, p.pointer, digest)
		}
		if !*update && !bytes.Equal(read(t, p.file(digest)), file) {
			t.Errorf("%s is not the disclosure", p.file(digest))
		}
	}
	for _, root := range repositories {
		for _, r := range recordsUnder(t, root) {
			for _, leaf := range r.Leaves() {
				if leaf.Role == record.Secret && !known[record.Sealed(leaf.Text)] {
					t.Errorf("%s/%s: nothing discloses %s", root, r.Path, leaf.Pointer)
				}
			}
		}
	}
	if files := filesUnder(t, "private"); len(files) != len(privates) {
		t.Errorf("%d disclosures for %d private values", len(files), len(privates))
	}
}

// TestTheSampleSaysThatWhatItSealsIsInvented looks in the one place that is laid out beside the private values: a disclosure is a list of
// exactly five texts, of which every byte counts for its digest, so that none has room for a note. A telephone number is of a range that
// is kept for fiction.
func TestTheSampleSaysThatWhatItSealsIsInvented(t *testing.T) {
	doc, err := canon.Parse(read(t, "yard.json"), canon.DefaultLimits())
	if err != nil {
		t.Fatal(err)
	}
	note := doc.Find("/note")
	if note == nil {
		t.Fatal("yard.json has no note")
	}
	for _, word := range []string{"sample", "invented", "names", "addresses", "telephone numbers", "prices", "private/"} {
		if !strings.Contains(note.Text, word) {
			t.Errorf("the note of the sample yard does not speak of %s", word)
		}
	}
	for _, p := range privates {
		if filepath.Base(p.pointer) == "telephone" && !strings.HasPrefix(p.value, "+44 1632 960") {
			t.Errorf("%s: a telephone number that could be somebody's", p.path)
		}
		if d, err := record.ParseDisclosure([]byte(`["` + strings.Repeat("a", 32) + `", "l", "car.json", "/x", "v", "invented"]`)); err == nil {
			t.Errorf("a disclosure takes a note: %v; so each of the sample should have one", d)
		}
	}
}
