package dossier_test

import (
	"encoding/json"
	"maps"
	"slices"
	"testing"
	"testing/fstest"

	"pgregory.net/rapid"

	"boltback/internal/doc"
	"boltback/internal/dossier"
)

// odd are texts that a person or a stranger may write in any place.
var odd = []string{"", " ", "not stated", "not recorded", "parts/engine", "work/2026-02-04-ina-strip", "car", "2026-13-45", "../2026", ">", "9 kg", "yes", "“”\u202e\n", "{}"}

// damaged drops members of a record and writes odd texts into others.
func damaged(r *rapid.T, v any) any {
	switch v := v.(type) {
	case map[string]any:
		for _, key := range slices.Sorted(maps.Keys(v)) {
			if key == "kind" {
				continue
			}
			if rapid.IntRange(0, 11).Draw(r, "drop "+key) == 0 {
				delete(v, key)
			} else {
				v[key] = damaged(r, v[key])
			}
		}
	case []any:
		for i := range v {
			v[i] = damaged(r, v[i])
		}
	case string:
		if rapid.IntRange(0, 11).Draw(r, "write") == 0 {
			return rapid.SampledFrom(odd).Draw(r, "text")
		}
	}
	return v
}

func TestWhateverCanBeReadGivesAWellFormedDossier(t *testing.T) {
	whole := compactCar(t)
	rapid.Check(t, func(r *rapid.T) {
		files := fstest.MapFS{}
		for _, path := range slices.Sorted(maps.Keys(whole)) {
			var v any
			if json.Unmarshal(whole[path].Data, &v) != nil || path == "ledger.json" {
				files[path] = whole[path]
				continue
			}
			data, err := json.Marshal(damaged(r, v))
			if err != nil {
				r.Fatal(err)
			}
			files[path] = &fstest.MapFile{Data: data}
		}
		s := load(t, files)
		if err := doc.Check(dossier.Build(input(s))); err != nil {
			r.Fatal(err)
		}
		for _, record := range s.Records() {
			page := &doc.Document{Title: "T", Language: "en", Provenance: &doc.Provenance{Commit: "c", Day: "d", Basis: doc.NotExamined},
				Sections: []*doc.Section{dossier.Show(s, record, nil)}}
			if err := doc.Check(page); err != nil {
				r.Fatalf("%s: %v", record.Path, err)
			}
		}
	})
}
