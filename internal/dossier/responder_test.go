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

// readyCar has every record that a valid sheet asks for.
func readyCar() map[string]string {
	part := func(name, rest string) string {
		return `{"kind": "part", "name": "` + name + `", "found": "no", "position": "boot", ` + rest + `}`
	}
	return map[string]string{
		"car.json": `{"kind": "car", "name": "Grey Wren", "make": "Ottermere", "wheelbase": "2300 mm", "root": "parts/shell",
			"numbers": [{"what": "chassis", "raw": "OW 1", "where": "stamping"}]}`,
		"parts/shell.json":                     `{"kind": "part", "name": "Shell", "found": "yes"}`,
		"parts/box.json":                       part("Box", `"role": "traction battery", "mass": "60 kg", "station": "2500 mm", "hazards": ["high voltage", "lithium"], "ratings": [{"of": "energy", "value": "9 kWh", "source": "label"}]`),
		"parts/switch.json":                    part("Switch", `"role": "service disconnect", "mass": "1 kg", "station": "2400 mm"`),
		"parts/cable.json":                     part("Cable", `"role": "traction cable", "mass": "2 kg", "station": "1000 mm"`),
		"parts/small.json":                     part("Small battery", `"role": "auxiliary battery", "mass": "9 kg", "station": "100 mm"`),
		"work/2026-02-01-ina-fitted.json":      `{"kind": "session", "started": "2026-02-01", "lines": [{"act": "fitting", "parts": ["parts/box", "parts/switch", "parts/cable", "parts/small"], "position": "boot"}]}`,
		"readings/2026-02-10-ina-weighed.json": `{"kind": "reading", "what": "weighing", "on": "2026-02-10"}`,
		"readings/2026-02-10-ina-dead.json":    `{"kind": "reading", "what": "proved-dead", "on": "2026-02-10"}`,
	}
}

func sheetOf(t *testing.T, records map[string]string) string {
	t.Helper()
	s := load(t, carOf(records))
	in := dossier.Input{Snapshot: s, Work: replay.Of(s), Day: edtf.NewDay(2026, 4, 1), Commit: "7c1f", Reader: dossier.Responder}
	in.Workings = workings.Of(in.Work, in.Day, nil).All()
	d := dossier.Build(in)
	if err := doc.Check(d); err != nil {
		t.Fatal(err)
	}
	return said(d.Sections[0])
}

func TestASheetForFirstRespondersIsValidWhereNothingIsMissingOrStale(t *testing.T) {
	got := sheetOf(t, readyCar())
	wantAll(t, got, "Valid for 2026-04-01, until the next change to traction circuit, low voltage, mass distribution or identity",
		"Cut off at: Switch: boot", "Then part the 12 V battery: Small battery: boot", "Wait: (not recorded): treat as live", "energy 9 kWh",
		"no part that holds fuel is on record", "watch for re-ignition: (not recorded)", "The fire service's own rules go before everything")
	wantNone(t, got, "NOT VALID")
}

func TestASheetForFirstRespondersSaysWhichCellsAreAboard(t *testing.T) {
	records := readyCar()
	wantAll(t, sheetOf(t, records), "cells: lithium, of which kind: (not recorded)")
	records["parts/box.json"] = strings.Replace(records["parts/box.json"], `"kind": "part"`, `"kind": "part", "pack": {"chemistry": "lithium titanate"}`, 1)
	wantAll(t, sheetOf(t, records), "cells: lithium titanate.")
}

func TestASheetForFirstRespondersIsNotValidAndSaysWhy(t *testing.T) {
	for _, c := range []struct{ file, old, new, why string }{
		{"car.json", `"what": "chassis"`, `"what": "engine"`, "no chassis number is on record"},
		{"parts/box.json", `"role": "traction battery", `, "", "no traction battery is on record as on the car"},
		{"parts/box.json", `"energy"`, `"power"`, "the energy of the battery is not recorded"},
		{"parts/box.json", `, "lithium"`, "", "what cells the battery has is not recorded"},
		{"parts/switch.json", `"service disconnect"`, `"seat"`, "no service disconnect or master switch is on record"},
		{"parts/cable.json", `"traction cable"`, `"seat"`, "no traction cable is on record"},
		{"parts/small.json", `"auxiliary battery"`, `"seat"`, "no 12 V battery is on record"},
		{"readings/2026-02-10-ina-weighed.json", `"weighing"`, `"photo"`, "mass distribution: no reading, sign-off or certificate describes it"},
		{"readings/2026-02-10-ina-dead.json", "2026-02-10", "2026-01-10", "traction circuit: stale"},
		{"readings/2026-02-10-ina-weighed.json", "2026-02-10", "2026-01-10", "mass distribution: stale"},
	} {
		records := readyCar()
		changed := strings.Replace(records[c.file], c.old, c.new, 1)
		if changed == records[c.file] {
			t.Fatalf("%s has no %q", c.file, c.old)
		}
		records[c.file] = changed
		got := sheetOf(t, records)
		wantAll(t, got, "CAUTION: this sheet is NOT VALID", c.why, "treat everything as live", "3 Isolate")
		wantNone(t, got, "Valid for 2026-04-01")
	}
}

func TestMovingTheBatteryEndsASheetForFirstResponders(t *testing.T) {
	records := readyCar()
	records["work/2026-03-01-ina-moved.json"] = `{"kind": "session", "started": "2026-03-01", "lines": [{"act": "removal", "parts": ["parts/box"], "place": "bench"},
		{"act": "fitting", "parts": ["parts/box"], "position": "engine bay", "station": "200 mm"}]}`
	got := sheetOf(t, records)
	wantAll(t, got, "NOT VALID", "traction circuit: stale: Box came off (2026-03-01); Box came on (2026-03-01)", "Box: engine bay")
}

func TestAPlaceThatTheRecordsDoNotStateIsNotFilledIn(t *testing.T) {
	records := readyCar()
	for _, name := range []string{"parts/switch.json", "work/2026-02-01-ina-fitted.json"} {
		records[name] = strings.Replace(records[name], `"position": "boot"`, `"note": "new"`, 1)
	}
	records["work/2026-02-01-ina-fitted.json"] = strings.Replace(records["work/2026-02-01-ina-fitted.json"], `, "note": "new"}`, "}", 1)
	wantAll(t, sheetOf(t, records), "NOT VALID", "the place of a disconnect is not recorded", "Cut off at: Switch: (not stated)")
}

func TestRecordsWithErrorsOrAnInboxMakeASheetInvalid(t *testing.T) {
	in := whole(t, input(load(t, compactCar(t))))
	in.Reader = dossier.Responder
	wantAll(t, text(t, dossier.Build(in)), "the records have 1 error", "2 entries saved and not complete")
}

func TestTheWaitForTheCapacitorsIsSaidWhereTheRecordsLetItBeComputed(t *testing.T) {
	records := readyCar()
	records["car.json"] = strings.Replace(records["car.json"], `"wheelbase"`, `"ratings": [{"of": "voltage", "value": "360 V", "basis": "charged", "source": "cells"}], "wheelbase"`, 1)
	records["systems/traction.json"] = `{"kind": "system", "sort": "circuit", "circuit": {"sort": "traction", "colour": "orange", "pre-charge": {"capacitance": "1000 µF"}}}`
	records["parts/switch.json"] = strings.Replace(records["parts/switch.json"], `"mass"`, `"ratings": [{"of": "other", "value": "10 kΩ", "note": "discharge resistor"}], "mass"`, 1)
	got := sheetOf(t, records)
	wantAll(t, got, "to 60 V through the discharge resistor, if it is whole; computed, and no proof: prove it dead", "colour orange", "voltage 360 V charged")
	wantNone(t, got, "Wait: (not recorded)")
}

func TestWhatIsStillAboardSaysOfEachFluidWhetherItWasLetOut(t *testing.T) {
	records := readyCar()
	records["parts/tank.json"] = `{"kind": "part", "name": "Tank", "found": "yes", "role": "fuel tank", "hazards": ["fuel"]}`
	records["systems/fuel.json"] = `{"kind": "system", "sort": "fill", "fill": {"of": "petrol"}, "parts": ["parts/tank"]}`
	wantAll(t, sheetOf(t, records), "petrol: (let out or not: not recorded)", "Fuel or its vapour: Tank")
	records["systems/fuel.json"] = strings.Replace(records["systems/fuel.json"], `"petrol"`, `"petrol", "drained": "2026-01-20"`, 1)
	wantAll(t, sheetOf(t, records), "petrol: drained, on record", "Fuel or its vapour: Tank")
	wantNone(t, sheetOf(t, records), "no part that holds fuel is on record")
}
