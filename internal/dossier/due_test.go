package dossier_test

import (
	"os"
	"testing"

	"boltback/internal/dossier"
	"boltback/internal/edtf"
	"boltback/internal/replay"
)

func TestDueAndStockTakesSayWhyAndWhere(t *testing.T) {
	work := replay.Of(load(t, os.DirFS("../../records/sample/cars/courser")))
	day := edtf.NewDay(2026, 11, 1)
	list := replay.DueBy(work, day, replay.Horizon{Days: 60, SightingMonths: 24})
	got := sectionText(t, dossier.Due(work, list, day, 60, "courser"))
	wantAll(t, got, "6 overdue", "CAUTION: FUEL VAPOUR", "not read gas-free since", "Concerns that are open", "a stock-take of its place did not find it", "the car was not examined")
	wantAll(t, sectionText(t, dossier.Due(work, nil, day, 60, "courser")), "Nothing on record is overdue")
	joint := []replay.Due{{Sort: replay.TightenAgain, Thing: "joints/a", Record: "joints/a", Step: replay.NoStep, On: day, Overdue: true, Why: "after 50 mi: due"}, {Sort: replay.TightenAgain, Thing: "joints/b", Record: "joints/b", Step: replay.NoStep, Why: "after 50 mi: not known"}}
	wantAll(t, sectionText(t, dossier.Due(work, joint, day, 60, "courser")), "1 overdue", "Joints to be tightened again", "by the odometer on joints/a", "cannot be said")
	shelves := replay.Shelves(work, day)
	wantAll(t, sectionText(t, dossier.StockTakes(work, shelves, day, "courser")), "which does not say that it is lost", "0405", "not seen since")
	wantAll(t, sectionText(t, dossier.StockTakes(work, nil, day, "courser")), "no stock-take was made")
}
