package records

import (
	"io/fs"
	"slices"
	"testing"

	"boltback/internal/canon"
	"boltback/internal/edtf"
	"boltback/internal/record"
)

func TestPapersTellTheTruthAboutTheirFiles(t *testing.T) {
	named := map[string]bool{}
	for _, root := range cars {
		picturesOf(t, root, named)
		for _, p := range filesUnder(t, root+"/previews") {
			if !named[root+"/previews/"+p] {
				t.Errorf("%s/previews/%s belongs to no paper", root, p)
			}
		}
	}
	for _, p := range filesUnder(t, "originals") {
		if !named["originals/"+p] {
			t.Errorf("originals/%s belongs to no paper", p)
		}
	}
	if pictures := len(named) / 2; pictures < 30 {
		t.Errorf("%d pictures, want 30 or more", pictures)
	}
}

// confidential are the classes of paper of which a car keeps no preview.
var confidential = []string{"title", "registration", "invoice", "licence", "letter"}

// picturesOf notes the originals and previews that the papers of a car name and the sample has.
func picturesOf(t *testing.T, root string, named map[string]bool) {
	for id, p := range of[record.Paper](recordsUnder(t, root)) {
		original := "originals/" + string(p.Original.Digest) + ".jpg"
		if src, err := fs.ReadFile(Sample(), original); err != nil {
			if p.Preview != nil {
				t.Errorf("%s: its original is not here", id)
			}
		} else if canon.Digest(src) != string(p.Original.Digest) || int64(len(src)) != p.Original.Bytes {
			t.Errorf("%s: the original is another file", id)
		}
		if slices.Contains(confidential, p.Class) && p.Preview != nil {
			t.Errorf("%s: a %s has no preview", id, p.Class)
		}
		if p.Preview == nil {
			continue
		}
		preview := root + "/previews/" + string(p.Preview.Digest) + ".jpg"
		src := read(t, preview)
		if canon.Digest(src) != string(p.Preview.Digest) || int64(len(src)) != p.Preview.Bytes {
			t.Errorf("%s: the preview is another file", id)
		}
		named[original], named[preview] = true, true
	}
}

func TestTheSignatureCoversTheRecordsAsTheyAre(t *testing.T) {
	for _, root := range cars {
		signedAsTheyAre(t, recordsUnder(t, root))
	}
}

func signedAsTheyAre(t *testing.T, all shown) {
	for id, s := range of[record.SignOff](all) {
		for _, c := range s.Covers {
			if all[c.Record].Digest != c.Digest {
				t.Errorf("%s covers %s as %s; it is %s", id, c.Record, c.Digest, all[c.Record].Digest)
			}
		}
		if s.Path != all[id].Path {
			t.Errorf("%s says it lies at %s", id, s.Path)
		}
	}
}

func TestEveryDateCanBeRead(t *testing.T) {
	for _, root := range repositories {
		for _, r := range recordsUnder(t, root) {
			for _, leaf := range r.Leaves() {
				if leaf.Role != record.Moment {
					continue
				}
				d, err := edtf.Parse(leaf.Text)
				if err != nil {
					t.Errorf("%s/%s%s: %v", root, r.Path, leaf.Pointer, err)
				} else if d.HasTime() && !d.HasZone() && leaf.Pointer != "/embedded" {
					t.Errorf("%s/%s%s: %s has no offset", root, r.Path, leaf.Pointer, leaf.Text)
				}
			}
		}
	}
}
