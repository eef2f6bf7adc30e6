package dossier_test

import (
	"os"
	"strings"
	"testing"

	"boltback/internal/doc"
	"boltback/internal/dossier"
	"boltback/internal/edtf"
	"boltback/internal/history"
	"boltback/internal/replay"
	"boltback/internal/reversal"
	"boltback/internal/wording"
)

func TestStaleTellsWhatWasTouchedAndWhatIsStillGood(t *testing.T) {
	work := replay.Of(load(t, compactCar(t)))
	wantAll(t, sectionText(t, dossier.Stale(work, edtf.NewDay(2099, 1, 1))), "no longer describe the car", "the car was not examined")
	empty := replay.Of(load(t, carOf(nil)))
	wantAll(t, sectionText(t, dossier.Stale(empty, edtf.Day{})), "No reading, certificate or sign-off is on record.")
}

func TestWordingNeverPromises(t *testing.T) {
	s := load(t, compactCar(t))
	phrases, err := wording.Make(replay.Of(s), edtf.NewDay(2099, 1, 1))
	if err != nil {
		t.Fatal(err)
	}
	text := sectionText(t, dossier.Wording(s, phrases))
	wantAll(t, text, "What may be said", "the car was not examined", "“Reversible.” No record can promise it")
	wantNone(t, text, "proof", "guarantee")
	wantAll(t, sectionText(t, dossier.Wording(s, nil)), "The records give no sentence to judge.")
}

func TestAReversalStatementPrintsItsHeaderLinesFloorsAndSteps(t *testing.T) {
	s := load(t, compactCar(t))
	work := replay.Of(s)
	statement, err := reversal.Make(work, reversal.Options{On: edtf.NewDay(2099, 1, 1)})
	if err != nil {
		t.Fatal(err)
	}
	in := dossier.Input{Snapshot: s, Commit: "7c1f0e2", Day: edtf.NewDay(2099, 1, 1), Program: "boltback", Reversal: statement, Drawn: statement.Draw(work, reversal.Options{})}
	text := text(t, dossier.Reversal(in, reversal.Originality{}))
	wantAll(t, text, "The car was not examined", "It cannot know", "Found parts:", "Shell and structure:", "Consumables:", "How much the records must hold", "Work order")
	wantNone(t, text, "reversible", "proof")
	wantAll(t, sectionText(t, dossier.Rechecked(nil)), "give the same statement")
}

func TestOriginalityKeepsFoundAndOriginApart(t *testing.T) {
	work := replay.Of(load(t, compactCar(t)))
	o, err := reversal.OriginalityOf(work, reversal.Options{}, nil)
	if err != nil {
		t.Fatal(err)
	}
	text := sectionText(t, dossier.Originality(o))
	wantAll(t, text, "By whether it was found on the car", "By where it comes from", "need not have left the works", "mass of")
	wantAll(t, sectionText(t, dossier.Originality(reversal.Originality{})), "No part is on record.")
}

func TestTheSchemasThatTravelWithACarAreOneLineOfItsHistory(t *testing.T) {
	entry := history.Entry{Changes: []history.Change{
		{What: history.Added, Path: "schema/1/part.json", Title: "schema/1/part.json"},
		{What: history.Added, Path: "schema/1/joint.json", Title: "schema/1/joint.json"},
	}}
	text := sectionText(t, dossier.History("x", []history.Entry{entry}, 7))
	wantAll(t, text, "2 copies of schemas that travel with the car.")
	wantNone(t, text, "schema/1/part.json")
}

func TestAWorkOrderIsForTheBench(t *testing.T) {
	work := replay.Of(load(t, os.DirFS("../../records/sample/cars/tern-1500")))
	statement, err := reversal.Make(work, reversal.Options{On: edtf.NewDay(2026, 6, 15)})
	if err != nil {
		t.Fatal(err)
	}
	in := dossier.Input{Snapshot: work.Snapshot(), Commit: "7c1f0e2", Day: edtf.NewDay(2026, 6, 15), Program: "boltback", Reversal: statement}
	d := dossier.Reversal(in, reversal.Originality{})
	order := d.Sections[1]
	if !order.NewPage || order.ID != "work-order" {
		t.Fatalf("the work order begins no sheet of its own: %+v", order)
	}
	steps := 0
	for _, b := range order.Blocks {
		l, ok := b.(*doc.List)
		if !ok {
			continue
		}
		steps += len(l.Items)
		if !l.Boxes || !l.Ordered {
			t.Error("the steps have no boxes to tick")
		}
		for _, item := range l.Items {
			if len(item.Blocks) > 0 {
				_, warned := item.Blocks[0].(*doc.Caution)
				if has := strings.Contains(said(doc.NewSection("x", "x", item.Blocks...)), "CAUTION"); has && !warned {
					t.Errorf("the caution stands behind the details of %q", item.Text.String())
				}
			}
		}
	}
	if steps != len(statement.Steps) {
		t.Errorf("%d steps are printed, of %d", steps, len(statement.Steps))
	}
	got := text(t, d)
	wantAll(t, got, "To restore: as found", "A tick here records nothing", "!! CAUTION: HIGH VOLTAGE !! Before any cover", "[ ] 3. Take off Battery box, front", "Undo Front battery box to cradle",
		"Do up Radiator to front panel [joints/radiator-mount.json]; bag 0208, 4 fasteners", "Radiator to front panel [joints/radiator-mount.json]: 6 lbf.ft, threads dry", "Fill Petrol (36 L of petrol)", "Done by ____")
}
