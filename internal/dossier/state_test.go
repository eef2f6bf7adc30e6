package dossier_test

import (
	"testing"

	"boltback/internal/doc"
	"boltback/internal/dossier"
	"boltback/internal/edtf"
	"boltback/internal/replay"
)

// stateText is the state of the compact car on a day, as the terminal shows it.
func stateText(t *testing.T, day string) string {
	t.Helper()
	work := replay.Of(load(t, compactCar(t)))
	on, err := edtf.ParseDay(day)
	if err != nil {
		t.Fatal(err)
	}
	section := dossier.State(work, work.On(on))
	if err := doc.Check(&doc.Document{Title: "t", Language: "en", Provenance: &doc.Provenance{Commit: "c", Day: day, Basis: doc.NotExamined}, Sections: []*doc.Section{section}}); err != nil {
		t.Errorf("the section is not well formed: %v", err)
	}
	return sectionText(t, section)
}

func TestTheStateTellsWhereThingsAreOnADay(t *testing.T) {
	before, after := stateText(t, "2000-01-01"), stateText(t, "2099-01-01")
	wantAll(t, before, "The car on 2000-01-01", "the car was not examined", "On the car")
	wantAll(t, after, "The car on 2099-01-01", "In store, or with somebody")
	if before == after {
		t.Error("the day makes no difference")
	}
}

func TestTheStateOfAnEmptyCarIsReadable(t *testing.T) {
	work := replay.Of(load(t, carOf(nil)))
	wantAll(t, sectionText(t, dossier.State(work, work.Now())), "No part is on record.", "by all that is recorded")
}
