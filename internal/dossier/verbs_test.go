package dossier_test

import (
	"os"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"boltback/internal/doc"
	"boltback/internal/dossier"
	"boltback/internal/edtf"
	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

func dossierOf(s *ledger.Snapshot) *doc.Document { return dossier.Build(input(s)) }

func TestAListHoldsTheRecordsOfTheKindsAskedFor(t *testing.T) {
	s := load(t, compactCar(t))
	all := sectionText(t, dossier.List(s))
	wantAll(t, all, "43 records.", "1 file could not be read and is not listed", "[struck out: Motor in]", "withdrawn")
	parts := said(dossier.List(s, record.KindPart))
	wantAll(t, parts, "parts/engine Engine found: yes; origin factory to this car; tag 001", "10 records.")
	wantNone(t, parts, "Motor to mount")
	wantAll(t, sectionText(t, dossier.List(load(t, carOf(nil)), record.KindKey)), "No record of kind key is here.")
}

func TestEveryRecordCanBeShownInWords(t *testing.T) {
	s := load(t, compactCar(t))
	for _, r := range s.Records() {
		got := sectionText(t, dossier.Show(s, r, nil))
		wantAll(t, got, r.Path, string(r.Digest))
	}
}

func TestAShownRecordSaysWhatItIsAndWhoRefersToIt(t *testing.T) {
	s := load(t, compactCar(t))
	show := func(id record.Ref) string { return said(dossier.Show(s, s.Record(id), nil)) }
	wantAll(t, show("parts/engine"),
		"Part: Engine", "stands", "Mass 118 kg", "Contains Cylinder head [parts/head.json]", "Value (withheld) [sha256 aaaaaaaaaaaaaaaa…]",
		"what engine; raw OE 5518", "Loft, pallet 1", "CAUTION: Lifting", "Tank and engine out, lines [work/2026-02-04-ina-strip.json:")
	wantAll(t, show("work/2026-03-02-ina-motor"), "Corrected by work/2026-03-02-ina-motor-corrected", "[struck out: Fitted Motor")
	wantAll(t, show("work/2026-03-02-ina-motor-corrected"), "stands, in the place of work/2026-03-02-ina-motor", "CAUTION: High voltage")
	wantAll(t, show("work/2026-03-06-ina-not-seen"), "withdraws [struck out: Radiator seen], (withdrawn)", "another car's radiator")
	wantNone(t, show("work/2026-03-02-ina-motor-corrected"), "[struck out", "Motor and battery in, corrects")
	wantAll(t, show("joints/motor-mount"), "Specification: torque 45 N.m; tolerance 10 %")
	wantAll(t, show("readings/2026-03-10-ina-insulation"), "No other record refers to it.")
}

func TestFindingsStandAtTheirPlaceWithASummaryBySeverity(t *testing.T) {
	list := []finding.Finding{
		{Severity: finding.Note, Code: "c", Car: "wren", File: "parts/b.json", Message: "worth knowing"},
		{Severity: finding.Error, Code: "a", Car: "wren", File: "parts/a.json", Line: 3, Column: 7, Message: "no such unit", Hint: `"47 N.m"`},
		{Severity: finding.Warning, Code: "b", Car: "finch", Message: "a\nline\u202e"},
	}
	got := sectionText(t, dossier.Findings(list))
	wantAll(t, got, "parts/a.json:3:7: ", "no such unit", "47 N.m", "a␊line‹U+202E›", "1 error, 1 warning, 1 note in 2 cars.")
	if first := dossier.Findings(list).Blocks[1].(*doc.Findings); first.Caption != "wren" || first.Items[0].Level != "error" || first.Items[0].Code != "a" {
		t.Errorf("the second car's findings: %+v", first)
	}
	wantAll(t, sectionText(t, dossier.Findings(nil)), "Nothing found. The check reads the records; the car was not examined.")
	slices.Reverse(list)
	if again := sectionText(t, dossier.Findings(list)); again != got {
		t.Error("another order of the findings gives another text")
	}
	if list[0].Car != "finch" {
		t.Error("the caller's list was sorted")
	}
}

func TestTheSampleCarsGiveWholeDossiers(t *testing.T) {
	const cars = "../../records/sample/cars"
	entries, err := os.ReadDir(cars)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		s := load(t, os.DirFS(cars+"/"+e.Name()))
		got := text(t, dossier.Build(dossier.Input{Snapshot: s, Day: edtf.NewDay(2026, 7, 1), Commit: "sample", Program: "boltback"}))
		wantNone(t, got, "%!", "<nil>")
		if missing := strings.Contains(flat(got), "no such record here"); missing != (e.Name() == "courser") { // a joint and a part are missing there on purpose
			t.Errorf("%s: refers to records that are not there: %v", e.Name(), missing)
		}
		for _, r := range s.Records() {
			sectionText(t, dossier.Show(s, r, nil))
		}
	}
}

// TestAReasonIsShownWhereverItStands or a chain of corrections would hide all but the last one's, and a reason that somebody wrote
// into a record that corrects nothing would be on file and never seen.
func TestAReasonIsShownWhereverItStands(t *testing.T) {
	files := carOf(nil)
	for at, text := range map[string]string{
		"joints/straps.json": `{"kind": "joint", "name": "Straps"}`, "joints/straps-2.json": `{"kind": "joint", "corrects": "joints/straps", "reason": "four, not three"}`,
		"joints/straps-3.json": `{"kind": "joint", "corrects": "joints/straps-2", "reason": "five after all"}`, "joints/alone.json": `{"kind": "joint", "reason": "of no use"}`,
	} {
		files[at] = &fstest.MapFile{Data: []byte(text)}
	}
	s := load(t, files)
	show := func(id record.Ref) string { return said(dossier.Show(s, s.Record(id), nil)) }
	wantAll(t, show("joints/straps-2"), "Corrected by joints/straps-3", "five after all", "Corrects [struck out: joints/straps] ", "Reason [struck out: four, not three]")
	wantNone(t, show("joints/straps-3"), "Reason five", "Corrects")
	wantAll(t, show("joints/alone"), "Reason of no use")
}
