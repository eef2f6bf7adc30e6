package dossier_test

import (
	"strings"
	"testing"
	"testing/fstest"

	"boltback/internal/doc"
	"boltback/internal/dossier"
	"boltback/internal/edtf"
	"boltback/internal/record"
	"boltback/internal/replay"
)

// whereSays lists the texts of what Where answers about a small car.
func whereSays(t *testing.T, tagged dossier.Tagged) string {
	t.Helper()
	fsys := fstest.MapFS{}
	for name, text := range map[string]string{
		"ledger.json":                 `{"kind": "ledger", "edition": "1", "workshop": "tallow-lane"}`,
		"car.json":                    `{"kind": "car", "name": "Tern"}`,
		"parts/tank.json":             `{"kind": "part", "name": "Fuel tank", "found": "yes", "tag": "0111", "hazards": ["fuel"]}`,
		"parts/horn.json":             `{"kind": "part", "name": "Horn", "found": "yes", "tag": "0111"}`,
		"joints/tank.json":            `{"kind": "joint", "name": "Tank flange", "original": "yes", "clamps": ["parts/tank"], "fasteners": [{"size": "M6", "bag": "0213"}]}`,
		"work/2025-09-16-ines-a.json": `{"kind": "session", "name": "Out", "started": "2025-09-16", "lines": [{"act": "removal", "parts": ["parts/tank"], "joints": ["joints/tank"], "place": "yard", "bag": "0213", "fasteners": 6}]}`,
		"work/2025-09-18-ines-b.json": `{"kind": "session", "name": "Up", "started": "2025-09-18", "lines": [{"act": "move", "parts": ["parts/tank"], "place": "crate 3"}]}`,
	} {
		fsys[name] = &fstest.MapFile{Data: []byte(text)}
	}
	work := replay.Of(load(t, fsys))
	day, err := edtf.ParseDay("2025-10-01")
	if err != nil {
		t.Fatal(err)
	}
	section := dossier.Where(work, work.On(day), "tern", tagged)
	if err := doc.Check(&doc.Document{Title: "t", Language: "en", Provenance: &doc.Provenance{Commit: "c", Day: "d", Basis: doc.NotExamined}, Sections: []*doc.Section{section}}); err != nil {
		t.Errorf("the section is not well formed: %v", err)
	}
	return sectionText(t, section)
}

func TestWhereSaysWhatATagIsOnAndWarns(t *testing.T) {
	for _, tc := range []struct {
		name       string
		tagged     dossier.Tagged
		says, mute []string
	}{
		{"a part, where it is now, with the caution of its hazard", dossier.Tagged{On: "part", Tag: "0111", Parts: []record.Ref{"parts/tank"}},
			[]string{"Tag 0111 of tern", "Fuel tank", "crate 3", "2025-09-18", "Vapour burns"}, []string{"Several parts"}},
		{"two parts with one tag are said to be two", dossier.Tagged{On: "part", Tag: "0111", Parts: []record.Ref{"parts/tank", "parts/horn"}},
			[]string{"Fuel tank", "Horn", "Several parts bear this tag"}, nil},
		{"a bag was put with what came off, which has moved since", dossier.Tagged{On: "bag", Tag: "0213", Joints: []record.Ref{"joints/tank"}},
			[]string{"Bag 0213 of tern", "Tank flange", "6 fasteners", "yard", "crate 3"}, nil},
		{"a bag that the last removal did not fill counts nothing", dossier.Tagged{On: "bag", Tag: "0300", Joints: []record.Ref{"joints/tank"}},
			[]string{"Tank flange"}, []string{"6 fasteners"}},
		{"a crate lists what lies in it", dossier.Tagged{On: "crate", Tag: "crate 3", Parts: []record.Ref{"parts/tank"}},
			[]string{"In crate 3 of tern", "Fuel tank", "Vapour burns"}, []string{"Horn"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			said := whereSays(t, tc.tagged)
			for _, want := range tc.says {
				if !strings.Contains(said, want) {
					t.Errorf("does not say %q:\n%s", want, said)
				}
			}
			for _, not := range tc.mute {
				if strings.Contains(said, not) {
					t.Errorf("says %q:\n%s", not, said)
				}
			}
		})
	}
}
