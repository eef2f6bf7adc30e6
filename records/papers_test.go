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
	papers := of[record.Paper](recordsUnder(t, car))
	named, pictures := map[string]bool{}, 0
	for id, p := range papers {
		original := "originals/" + string(p.Original.Digest) + ".jpg"
		if src, err := fs.ReadFile(Sample(), original); err != nil {
			if p.Class != "registration" && p.Class != "invoice" {
				t.Errorf("%s: its original is not here", id)
			}
		} else if canon.Digest(src) != string(p.Original.Digest) || int64(len(src)) != p.Original.Bytes {
			t.Errorf("%s: the original is another file", id)
		}
		if slices.Contains([]string{"title", "registration", "invoice", "licence", "letter"}, p.Class) {
			if p.Preview != nil {
				t.Errorf("%s: a %s has no preview", id, p.Class)
			}
			continue
		}
		preview := car + "/previews/" + string(p.Preview.Digest) + ".jpg"
		src := read(t, preview)
		if canon.Digest(src) != string(p.Preview.Digest) || int64(len(src)) != p.Preview.Bytes {
			t.Errorf("%s: the preview is another file", id)
		}
		named[original], named[preview] = true, true
		pictures++
	}
	for _, p := range append(filesUnder(t, "originals"), filesUnder(t, car+"/previews")...) {
		if !named["originals/"+p] && !named[car+"/previews/"+p] {
			t.Errorf("%s belongs to no paper", p)
		}
	}
	if pictures < 12 {
		t.Errorf("%d pictures, want 12 or more", pictures)
	}
}

func TestTheSignatureCoversTheRecordsAsTheyAre(t *testing.T) {
	all := recordsUnder(t, car)
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
