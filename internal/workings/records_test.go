package workings

import (
	"testing"
	"testing/fstest"

	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
)

// carOf makes a car of record texts by path.
func carOf(t *testing.T, records map[string]string) *Car {
	t.Helper()
	files := fstest.MapFS{"ledger.json": {Data: []byte(`{"kind": "ledger", "edition": "1"}`)}}
	for path, text := range records {
		files[path] = &fstest.MapFile{Data: []byte(text)}
	}
	s, err := ledger.Load(files)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range s.AllUnread() {
		t.Fatalf("%s: %s", f.Path, f.Fault.Message)
	}
	return Of(replay.Of(s), edtf.NewDay(2026, 7, 1), nil)
}

// resplit is a car whose modules were weighed in front and moved to the rear.
var resplit = map[string]string{
	"car.json": `{"kind": "car", "wheelbase": "2310 mm", "root": "parts/shell", "baseline": {"on": "2026-01-01", "parts": [{"part": "parts/shell"}, {"part": "parts/modules"}]},
	  "ratings": [{"of": "gross mass", "value": "1200 kg"}, {"of": "rear axle mass", "value": "700 kg"}]}`,
	"parts/shell.json":   `{"kind": "part", "found": "yes", "class": "assembly"}`,
	"parts/modules.json": `{"kind": "part", "name": "Modules", "found": "no", "class": "single", "mass": "51 ±0.2 kg", "station": "400 mm", "hazards": ["heavy"]}`,
	"readings/2026-02-01-a.json": `{"kind": "reading", "name": "Ticket", "what": "weighing", "on": "2026-02-01", "values": [{"of": "front axle", "value": "480 kg"}, {"of": "rear axle", "value": "520 kg"}, {"of": "total", "value": "1000 kg"}],
	  "weighing": {"condition": "kerb", "fuel": "none aboard", "driver": "not aboard", "division": "1 kg", "figure-by": "operator"}}`,
	"work/2026-03-01-a.json": `{"kind": "session", "started": "2026-03-01", "lines": [{"act": "removal", "parts": ["parts/modules"]}, {"act": "fitting", "parts": ["parts/modules"], "station": "2300 mm"}]}`,
}

func TestC21_ModulesMovedInTheRecordsLeaveTheTotalGood(t *testing.T) {
	c := carOf(t, resplit)
	today := find(t, c, Mass, "today 2026-02-01-a")
	about(t, lineOf(t, today, "D_1"), 41.95, "kg", 0.05)
	outcome(t, today, "total of this weighing", Met)
	outcome(t, today, "axle split of this weighing", Stale)
	if w := find(t, c, Mass, "reserve gross"); w.Worst() != Met {
		t.Errorf("the total is good: %s", w.Worst())
	}
	if w := find(t, c, Mass, "reserve rear axle"); w.Worst() != Stale {
		t.Errorf("the axle is stale: %s", w.Worst())
	}
}

func TestTheLiftStartsFromWhereTheMassIsToday(t *testing.T) {
	w := carOf(t, resplit).CentreAsPartsComeOut([]record.Ref{"parts/modules"})
	// Weighed at 1201.2 mm; the move takes 51 kg · 1.9 m / 1000 kg = 96.9 mm more.
	about(t, w.Inputs[1].Value, 2310*0.52+96.9, "mm", 0.1)
	about(t, w.Value, (1000*(2310*0.52+96.9)-51*2300)/949-(2310*0.52+96.9), "mm", 0.1)
}

func TestC31_AnInsulationInMilliohmsIsAQuestionAndNoShortCircuit(t *testing.T) {
	c := carOf(t, map[string]string{"readings/2026-02-01-a.json": `{"kind": "reading", "name": "Sheet", "what": "insulation", "on": "2026-02-01", "values": [{"of": "to chassis", "value": "1.20 mΩ", "poles": "bridged"}],
	  "insulation": {"circuit": "joined", "state": "dead", "test-voltage": "500 V", "working-voltage": "360 V"}}`})
	w := find(t, c, Insulation, "isolation 2026-02-01-a")
	says(t, w.Answer, "not computed: needs whether 1.20 mΩ was meant as megohms", "a thousand million")
	outcome(t, w, "the circuit as a whole", EvidenceMissing)
	if !w.Value.IsZero() || len(w.Verdicts) != 2 {
		t.Errorf("%+v", w)
	}
}

func TestAConverterIsAskedForOnlyWhereOneFeedsTheCircuit(t *testing.T) {
	circuit := `{"kind": "system", "name": "Lighting", "sort": "circuit", "circuit": {"sort": "low-voltage", "load": "12 A"}}`
	for _, w := range carOf(t, map[string]string{"systems/lighting.json": circuit}).About(Pack) {
		if w.ID == "budget lighting" {
			t.Errorf("%s", w.Answer)
		}
	}
}

func TestWhatWasEnteredTwiceInOneSessionStaysOneMove(t *testing.T) {
	same := map[string]string{}
	for path, text := range resplit {
		same[path] = text
	}
	same["work/2026-03-01-a.json"] = `{"kind": "session", "started": "2026-03-01", "lines": [{"act": "removal", "parts": ["parts/modules"]}, {"act": "fitting", "parts": ["parts/modules"]}]}`
	today := find(t, carOf(t, same), Mass, "today 2026-02-01-a")
	outcome(t, today, "axle split of this weighing", Met) // back at its place
}
