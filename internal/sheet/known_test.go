package sheet

import (
	"strings"
	"testing"
	"testing/fstest"

	"boltback/internal/ledger"
	"boltback/internal/record"
)

// car is a small car of an invented make.
func car(t *testing.T) *ledger.Snapshot {
	t.Helper()
	fsys := fstest.MapFS{}
	for name, text := range map[string]string{
		"ledger.json":      `{"kind": "ledger", "edition": "1", "workshop": "tallow-lane"}`,
		"car.json":         `{"kind": "car", "name": "Corvane Tern 1500", "root": "parts/shell", "numbers": [{"what": "chassis", "raw": "*TK 40317 R*", "on-car": "yes"}, {"what": "chassis", "raw": "TK 40317 R"}, {"what": "engine", "raw": "15E 2201", "on-car": "no"}]}`,
		"parts/shell.json": `{"kind": "part", "name": "Body shell", "zone": "boot floor"}`,
		"parts/tank.json":  `{"kind": "part", "name": "Fuel tank", "zone": "Boot floor", "position": "recess", "side": "centre", "tag": "0111", "hazards": ["fuel"]}`,
		"parts/mat.json":   `{"kind": "part", "name": "A mat", "zone": "boot floor"}`,
		"parts/horn.json":  `{"kind": "part", "name": "Horn", "zone": "engine bay"}`,
		"joints/tank.json": `{"kind": "joint", "name": "Tank flange", "zone": "boot floor", "clamps": ["parts/shell", "parts/tank"], "fasteners": [{"size": "5/16 UNF", "class": "S", "count": 6, "bag": "0213"}], "specification": {"torque": "18 lbf.ft", "surface": "dry", "source": "manual, F 6", "second-check": "required"}}`,
		"joints/stay.json": `{"kind": "joint", "name": "Tank stay", "zone": "boot floor", "clamps": ["parts/tank"], "fasteners": [{"what": "split pin", "bag": "0214"}]}`,
		"existing/d.json":  `{"kind": "existing", "name": "Drain", "what": "hole", "zone": "boot floor", "size": "25.4 mm", "count": 1}`,
		"systems/t.json":   `{"kind": "system", "name": "Traction", "sort": "circuit", "circuit": {"sort": "traction", "voltage": "403.2 V"}, "parts": ["parts/horn", "parts/gone"]}`,
		"systems/l.json":   `{"kind": "system", "name": "Lights", "sort": "circuit", "circuit": {"sort": "lighting", "voltage": "12 V"}, "parts": ["parts/horn"]}`,
	} {
		fsys[name] = &fstest.MapFile{Data: []byte(text)}
	}
	s, err := ledger.Load(fsys)
	if err != nil {
		t.Fatal(err)
	}
	for _, u := range s.AllUnread() {
		t.Fatalf("%s: %s", u.Path, u.Fault.Message)
	}
	return s
}

func TestAHeadNamesTheCarAndTheNumbersReadOnIt(t *testing.T) {
	if h := HeadFrom(car(t), "tern"); h.Car != "Corvane Tern 1500" || h.Slug != "tern" || h.Numbers != "chassis *TK 40317 R*" {
		t.Errorf("%+v", h)
	}
}

func TestPartsToComeOffAreThoseOnTheCarInTheZoneJointedOnesFirst(t *testing.T) {
	all := func(record.Ref) bool { return true }
	list := RemovalsFrom(car(t), "boot floor", all)
	if len(list) != 2 || list[0].Part != "Fuel tank" || list[1].Part != "A mat" {
		t.Fatalf("%+v", list)
	}
	want := Removal{Tag: "0111", Part: "Fuel tank", Position: "recess", Side: "centre", Fasteners: "split pin; 6 × 5/16 UNF S", Bag: "several", Hazard: "fuel"}
	if list[0] != want {
		t.Errorf("%+v, want %+v", list[0], want)
	}
	if list := RemovalsFrom(car(t), "", func(id record.Ref) bool { return id == "parts/horn" }); len(list) != 1 || list[0].Part != "Horn" {
		t.Errorf("%+v", list)
	}
}

func TestJointsComeWithTheirValueAndItsSource(t *testing.T) {
	list := TighteningsFrom(car(t), "boot floor")
	if len(list) != 2 {
		t.Fatalf("%+v", list)
	}
	want := TighteningLine{Joint: "Tank flange", Fasteners: "6 × 5/16 UNF S", Specified: "18 lbf.ft, dry", Source: "manual, F 6", SecondCheck: true}
	if list[1] != want {
		t.Errorf("%+v, want %+v", list[1], want)
	}
}

func TestAValueWithoutASourceIsNotPrinted(t *testing.T) {
	p := mustMake(t, func() (*Printout, error) {
		return NewTightening(sampleHead(), "N·m", []TighteningLine{{Joint: "Belt anchorage", Specified: "40 N.m"}})
	})
	if out := tool(t, p, "pdftotext", "-layout", "sheet.pdf", "-"); strings.Contains(out, "40 N.m") || !strings.Contains(out, "no value with a") {
		t.Error(out)
	}
}

func TestWhatWasThereBeforeIsListed(t *testing.T) {
	list := FeaturesFrom(car(t), "boot floor")
	if len(list) != 1 || list[0] != (Feature{"hole", "Drain", "25.4 mm", 1}) {
		t.Errorf("%+v", list)
	}
}

func TestPointsToProveDeadAreThoseOfTheTractionCircuit(t *testing.T) {
	list := IsolationsFrom(car(t))
	if len(list) != 2 || list[0] != (Isolation{"Horn", "403.2 V"}) || list[1] != (Isolation{"parts/gone", "403.2 V"}) {
		t.Errorf("%+v", list)
	}
}

func TestManyKindsOfFastenersAreCountedAndFewAreWrittenOut(t *testing.T) {
	mount := &record.Joint{Fasteners: []record.Fastener{{Size: "M8", Count: 4}, {Size: "M6", Count: 2}}}
	stay := &record.Joint{Fasteners: []record.Fastener{{Size: "5/16", Count: 1}}}
	for want, joints := range map[string][]*record.Joint{
		"":                         nil,
		"4 × M8, 2 × M6; 1 × 5/16": {mount, stay},
		"13 in 3 joints":           {mount, stay, mount},
		"M5, M4, M3, M2":           {{Fasteners: []record.Fastener{{Size: "M5"}, {Size: "M4"}, {Size: "M3"}, {Size: "M2"}}}},
	} {
		if got := inBox(joints); got != want {
			t.Errorf("%q, not %q", got, want)
		}
	}
}
