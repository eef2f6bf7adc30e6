package dossier_test

import (
	"strings"
	"testing"

	"boltback/internal/dossier"
	"boltback/internal/history"
)

const keptCommit = "0123456789abcdef0123456789abcdef01234567"

func TestAReaderWhoHoldsAnOlderDossierIsToldFirstWhatIsWithdrawnChangedAndNew(t *testing.T) {
	lamp := func(mass string) string { return `{"kind": "part", "name": "Lamp", "mass": "` + mass + `"}` }
	old := load(t, carOf(map[string]string{"parts/lamp.json": lamp("2 kg"), "parts/horn.json": `{"kind": "part", "name": "Horn"}`}))
	now := load(t, carOf(map[string]string{
		"parts/lamp.json": lamp("3 kg"), "parts/horn.json": `{"kind": "part", "name": "Horn"}`,
		"parts/no-horn.json": `{"kind": "part", "withdraws": "parts/horn", "reason": "another car's"}`,
		"parts/belt.json":    `{"kind": "part", "name": "Belt"}`,
	}))
	changes, err := history.Diff(old, now)
	if err != nil {
		t.Fatal(err)
	}
	for _, reader := range append(asking(), dossier.Keeper) {
		in := dossier.Input{Snapshot: now, Reader: reader, Since: &dossier.Since{Commit: keptCommit, Changes: changes}}
		d := dossier.Build(in)
		if d.Sections[1].ID != "differences" {
			t.Fatalf("%s: the second chapter is %q", reader, d.Sections[1].ID)
		}
		got := said(d.Sections[1])
		wantAll(t, got, "commit "+keptCommit, "another car's", "2 kg", "3 kg", "Belt")
		order := []int{strings.Index(got, "Horn"), strings.Index(got, "Lamp"), strings.Index(got, "Belt")}
		if order[0] > order[1] || order[1] > order[2] {
			t.Errorf("%s: withdrawn, changed and new do not stand in that order: %v", reader, order)
		}
	}
}

func TestNothingNewSinceAnOlderDossierIsSaid(t *testing.T) {
	s := load(t, carOf(nil))
	d := dossier.Build(dossier.Input{Snapshot: s, Since: &dossier.Since{Commit: keptCommit}})
	wantAll(t, said(d.Sections[1]), "Nothing differs.")
	for _, one := range dossier.Build(dossier.Input{Snapshot: s}).Sections {
		if one.ID == "differences" {
			t.Error("nobody holds an older dossier, and one is compared with")
		}
	}
}

func TestWhatIsNewSinceIsGroupedBySectionAndSaysBeforeAndAfter(t *testing.T) {
	reading := `{"kind": "reading", "name": "Scales", "what": "weighing", "on": "2026-03-01", "values": [{"of": "total", "value": "901 kg"}]}`
	old := load(t, carOf(map[string]string{"parts/lamp.json": `{"kind": "part", "name": "Lamp", "mass": "2 kg", "value": "` + strings.Repeat("a", 64) + `"}`}))
	now := load(t, carOf(map[string]string{"parts/lamp.json": `{"kind": "part", "name": "Lamp", "mass": "3 kg", "value": "` + strings.Repeat("b", 64) + `", "note": "` + strings.Repeat("worn ", 200) + `"}`,
		"readings/2026-03-01-r.json": reading, "people/x/y/person.json": `{"kind": "person", "name": "Y", "role": "mechanic"}`}))
	changes, err := history.Diff(old, now)
	if err != nil {
		t.Fatal(err)
	}
	changes = append(changes, history.Change{What: history.Added, Path: "previews/1.jpg"}, history.Change{What: history.Added, Path: "previews/2.jpg"})
	s := dossier.Build(dossier.Input{Snapshot: now, Since: &dossier.Since{Commit: keptCommit, Changes: changes}}).Sections[1]
	got := said(s)
	wantAll(t, got, "5 differences: 1 changed, 4 new.", "Mass: [struck out: 2 kg] → 3 kg; heavier by 1 kg.", "Value: (withheld: another value)",
		"the record has all of it", "weighing, 2026-03-01: total: 901 kg", "2 previews")
	at := 0
	for _, want := range []string{"The car, its parts and joints", "Lamp", "Readings", "Scales", "People, instruments and the ledger itself", "mechanic", "2 previews"} {
		next := strings.Index(got[at:], want)
		if next < 0 {
			t.Fatalf("%q does not stand behind what comes before it in\n%s", want, got)
		}
		at += next
	}
}
