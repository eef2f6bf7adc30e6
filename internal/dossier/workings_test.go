package dossier_test

import (
	"strings"
	"testing"

	"boltback/internal/doc"
	"boltback/internal/dossier"
	"boltback/internal/edtf"
	"boltback/internal/replay"
	"boltback/internal/workings"
)

func joined() workings.Working {
	return workings.JoinedSides("sides", workings.Given("300 kΩ"), workings.Given("300 kΩ"), workings.Given("400 V"), "")
}

func TestAWorkingIsAPageOfANotebookWithTheNumbersPutIn(t *testing.T) {
	sections := dossier.Workings([]workings.Working{joined()}, nil)
	if len(sections) != 1 {
		t.Fatalf("%d sections", len(sections))
	}
	got := said(sections[0])
	wantAll(t, got, "Insulation, bonding and proving dead", "375 Ω/V when the sides are joined.",
		"R = 1 / (1 / R_1 + 1 / R_2) = 1 / (1 / 300 kΩ + 1 / 300 kΩ); R = 150 kΩ",
		"at least 500 Ω/V", "not met", "UN R100 5.1.3.2 (read)", "CAUTION: High voltage", "pack side to chassis", "resistances in parallel (physics)")
}

func TestWhatIsNotComputedSaysWhatItNeedsAndNeverZero(t *testing.T) {
	w := workings.MoveMass("m", "modules", workings.Given("51 kg"), workings.Given(""), workings.Given("2.31 m"))
	got := said(dossier.Workings([]workings.Working{w}, nil)[0])
	wantAll(t, got, "Not computed: needs moved rearward by", "Not on record:")
	wantNone(t, got, "0 kg")
}

func TestASourceFromMemoryIsPrintedAsRecalled(t *testing.T) {
	w := workings.RestraintIn("r", workings.Mount{Name: "box", Mass: workings.Given("200 kg"), Bolts: 4}, workings.DirectionsUN()[0])
	got := said(dossier.Workings([]workings.Working{w}, nil)[0])
	wantAll(t, got, "(recalled)", "what holds the bolt", "CAUTION: Structure", "screening sum for an engineer")
}

func TestTheSummaryHasOneLineAWorkingAndCountsWhatIsOpen(t *testing.T) {
	open := workings.MoveMass("m", "modules", workings.Given("51 kg"), workings.Given(""), workings.Given("2.31 m"))
	got := said(dossier.WorkingsSummary([]workings.Working{open, joined(), joined()}))
	wantAll(t, got, "3 workings, 1 of them not computed for want of records.", "What moving modules does", "not met")
	if strings.Count(got, "CAUTION: High voltage") != 1 {
		t.Error("a caution stands once")
	}
	wantAll(t, said(dossier.WorkingsSummary(nil)), "There is no working to show.")
	wantAll(t, said(dossier.Workings(nil, nil)[0]), "There is no working to show.")
}

func TestTextOfARecordCannotPoseAsALineOfAWorking(t *testing.T) {
	w := workings.Toe("t", workings.Given("2.5\nmm"), workings.Given(""))
	wantAll(t, said(dossier.Workings([]workings.Working{w}, nil)[0]), "2.5␊mm")
}

func TestEveryWorkingOfACarMakesASoundDocument(t *testing.T) {
	car := workings.Of(replay.Of(load(t, compactCar(t))), edtf.NewDay(2026, 4, 1), nil)
	list := car.All()
	d := &doc.Document{Title: "Workings", Language: "en", Provenance: &doc.Provenance{Commit: "0", Day: "2026-04-01", Basis: doc.NotExamined},
		Sections: append(dossier.Workings(list, car.Pictures), dossier.WorkingsSummary(list))}
	if err := doc.Check(d); err != nil {
		t.Error(err)
	}
}
