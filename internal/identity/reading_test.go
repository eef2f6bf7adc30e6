package identity

import (
	"testing"
	"testing/fstest"

	"boltback/internal/ledger"
)

const carFile = `{
  "kind": "car",
  "numbers": [
    {"what": "chassis", "raw": "*TK 40317 R*", "where": "stamping", "legibility": "legible", "on-car": "yes"},
    {"what": "plate", "raw": "TK40317R", "where": "plate", "status": "reproduction", "on-car": "yes"},
    {"what": "plate", "raw": "TK40317R", "where": "plate", "status": "as read", "factory-method": "yes", "on-car": "no",
      "place": "in an envelope in the safe", "paper": "papers/plate-in-place", "note": "bulkhead repaired"},
    {"what": "plate", "raw": "TK40317R GB", "base": "TK40317R", "addition": "GB, by the importer", "where": "plate",
      "status": "as read", "legibility": "not recorded", "factory-method": "unknown"}
  ]
}
`

// car loads a small car of an invented make.
func car(t *testing.T) []Reading {
	t.Helper()
	file := func(text string) *fstest.MapFile { return &fstest.MapFile{Data: []byte(text)} }
	s, err := ledger.Load(fstest.MapFS{
		"ledger.json":       file(`{"kind": "ledger"}`),
		"car.json":          file(carFile),
		"parts/engine.json": file(`{"kind": "part", "numbers": [{"what": "engine", "raw": "4711", "where": "stamping", "on-car": "no"}]}`),
		"papers/title.json": file(`{"kind": "paper", "class": "title", "numbers": [{"what": "engine", "raw": "4711"}]}`),
	})
	if err != nil {
		t.Fatal(err)
	}
	return Readings(s)
}

func TestReadingsKeepWhatTheLedgerSays(t *testing.T) {
	readings := car(t)
	if len(readings) != 6 {
		t.Fatalf("got %d readings: %+v", len(readings), readings)
	}
	first := readings[0].Claim
	if first.Number.Raw != "*TK 40317 R*" || first.Source != FromStamping || first.Record != "car.json:4" || first.OnCar != Yes || first.Legibility != Legible {
		t.Errorf("got %+v", first)
	}
	if last := readings[3].Claim; last.Factory != NotKnown || last.Legibility != "" || last.Number.Added() != "GB" {
		t.Errorf("what is unknown became %+v", last)
	}
	if engine := readings[4].Claim; engine.Part != "parts/engine" && engine.Part != "parts/engine.json" {
		t.Errorf("the engine's number is borne by %q", engine.Part)
	}
	if title := readings[5].Claim; title.Source != FromTitle || title.Kind != Engine {
		t.Errorf("a number in a title comes from %q", title.Source)
	}
}

func TestALedgerWhoseTitleIsOnTheEngineInStoreIsAtHighRisk(t *testing.T) {
	s := one(t, Statements(Claims(car(t))), "titled-number-off-car")
	if s.Severity != High {
		t.Errorf("severity %s", s.Severity)
	}
}

func TestPlateEntriesNeverTakeAReadingForAnOriginal(t *testing.T) {
	plates := PlateEntries(car(t))
	want := []Answer{No, Yes, NotKnown}
	if len(plates) != len(want) {
		t.Fatalf("got %+v", plates)
	}
	for i, p := range plates {
		if p.Original != want[i] {
			t.Errorf("plate %d: original %q, want %q", i, p.Original, want[i])
		}
	}
	statements := Plates(plates)
	says(t, one(t, statements, "plate-original-off-car").Sentence, "in an envelope in the safe")
	one(t, statements, "plate-copy-on-car")
}
