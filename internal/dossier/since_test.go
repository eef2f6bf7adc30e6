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
