package dossier_test

import (
	"strings"
	"testing"

	"boltback/internal/dossier"
	"boltback/internal/record"
)

// shop is what the lines below refer to.
func shop(more map[string]string) map[string]string {
	records := map[string]string{
		"parts/lamp.json":                      part,
		"parts/shell.json":                     `{"kind":"part","name":"Shell"}`,
		"parts/loom.json":                      `{"kind":"part","name":"Loom","class":"loom"}`,
		"joints/bracket.json":                  `{"kind":"joint","name":"Lamp bracket","clamps":["parts/lamp"],"specification":{"torque":"9 N.m","angle":"30°","second-check":"not required"}}`,
		"stores/x/loft/store.json":             `{"kind":"store","name":"Loft"}`,
		"people/x/y/person.json":               `{"kind":"person","name":"Ina"}`,
		"people/x/z/person.json":               `{"kind":"person","name":"Tom"}`,
		"systems/oil.json":                     `{"kind":"system","name":"Oil","fill":{"of":"oil"}}`,
		"concerns/rattle.json":                 `{"kind":"concern","name":"Rattle"}`,
		"existing/hole.json":                   `{"kind":"existing","name":"Old hole","what":"hole"}`,
		"instruments/x/wrench/instrument.json": `{"kind":"instrument","name":"Wrench"}`,
	}
	for path, text := range more {
		records[path] = text
	}
	return records
}

func TestALineIsSaidInWordsWithWhatItLacks(t *testing.T) {
	tests := []struct{ name, line, want string }{
		{"a bare removal says what is missing", `{"act":"removal","parts":["parts/lamp"]}`,
			"Took off Lamp [parts/lamp.json]; where it was put: (not stated); purpose: (not stated)."},
		{"a whole removal", `{"act":"removal","parts":["parts/lamp"],"position":"left wing","joints":["joints/bracket"],"store":"stores/x/loft","place":"crate 1","tag":"7","bag":"B2","fasteners":1,"purpose":"conversion"}`,
			"Took off Lamp [parts/lamp.json]; from left wing; joints Lamp bracket; put in Loft, crate 1; tag 7; bag B2 with 1 fastener; purpose: conversion."},
		{"fasteners without a bag", `{"act":"removal","parts":["parts/lamp"],"place":"bench","fasteners":3,"purpose":"service"}`,
			"put at bench; 3 fasteners, bag (not stated); purpose: service."},
		{"a fitting takes fasteners from a bag", `{"act":"fitting","parts":["parts/lamp"],"bag":"B2","purpose":"service"}`,
			"Fitted Lamp [parts/lamp.json]; fasteners from bag B2; purpose: service."},
		{"a bare tightening", `{"act":"tightening","parts":["parts/lamp"]}`,
			"Tightened at Lamp [parts/lamp.json]; joint (not stated); method (not stated); set to (not stated)."},
		{"a whole tightening", `{"act":"tightening","parts":["parts/lamp"],"joints":["joints/bracket"],"method":"torque plus angle","set":"9 N.m","indicated":"9.1 N.m","angle":"30°","instrument":"instruments/x/wrench","second-check":"people/x/z"}`,
			"joints Lamp bracket; method torque plus angle; set to 9 N.m; indicated 9.1 N.m; then turned 30°; with Wrench; checked a second time by Tom."},
		{"a bare alteration", `{"act":"alteration","parts":["parts/shell"],"alteration":{}}`,
			"Altered Shell [parts/shell.json]; zone (not stated); where (not stated); size (not stated); material removed: (not stated); required by (not stated); would be undone by: (not stated); undoing would leave: (not stated); purpose: (not stated)."},
		{"an alteration of an existing feature", `{"act":"alteration","parts":["parts/shell"],"purpose":"conversion","alteration":{"zone":"boot","where":"left","size":"8 mm","count":2,"material-removed":"no","of":"existing/hole","required-by":"inspector","clause":"4","undo":"plug","leaves":"nothing","safety":"no"}}`,
			"size 8 mm; count 2; material removed: no; changes Old hole [existing/hole.json]; required by inspector; under 4; would be undone by: plug; undoing would leave: nothing; for a load path or another safety reason: no; purpose: conversion."},
		{"a loom says what became of its ends", `{"act":"removal","parts":["parts/loom"],"place":"bench","purpose":"conversion","ends":[{"end":"lamp","state":"cut"},{"end":"coil","state":"free"}]}`,
			"end lamp left cut; end coil left free"},
		{"a drain says where the waste went", `{"act":"drain","parts":["parts/lamp"],"system":"systems/oil","quantity":"4 L","waste":"carrier, note 7"}`,
			"Drained Lamp [parts/lamp.json]; system Oil [systems/oil.json]; quantity 4 L; waste: carrier, note 7."},
		{"sent out until a day", `{"act":"out","parts":["parts/lamp"],"with":"Brack Plating","due":"2026-05-01"}`,
			"Sent out Lamp [parts/lamp.json]; with Brack Plating; due 2026-05-01."},
		{"came back and was put nowhere", `{"act":"in","parts":["parts/lamp"]}`, "Took back in Lamp [parts/lamp.json]; where it was put: (not stated)."},
		{"preserved with a product", `{"act":"preserve","parts":["parts/lamp"],"product":"wax"}`, "Preserved Lamp [parts/lamp.json]; product wax."},
		{"became another part", `{"act":"repair","parts":["parts/lamp"],"became":"parts/shell"}`, "Repaired Lamp [parts/lamp.json]; became Shell [parts/shell.json]."},
		{"rectified a concern", `{"act":"rectify","parts":["parts/lamp"],"concern":"concerns/rattle"}`, "Rectified at Lamp [parts/lamp.json]; for the concern Rattle [concerns/rattle.json]."},
		{"scrapped at once", `{"act":"removal","parts":["parts/lamp"],"gone":"scrapped","purpose":"conversion"}`, "Took off Lamp [parts/lamp.json]; left for good: scrapped; purpose: conversion."},
		{"gone to another car, whose name is sealed", `{"act":"out","parts":["parts/lamp"],"gone":"to another car","other-car":"` + strings.Repeat("d", 64) + `"}`, "left for good: to another car; the other car: (withheld)."},
		{"a stock-take of a sealed crate", `{"act":"sighting","parts":["parts/lamp"],"store":"stores/x/loft","place":"crate 1","counted":"everything there","seal":"unbroken"}`, "Saw Lamp [parts/lamp.json]; in Loft, crate 1; looked for: everything there; seal of that place: unbroken."},
		{"undoing names the work that it undoes", `{"act":"restoration","parts":["parts/shell"],"undoes":"work/2026-01-01-a","facets":["structure"]}`, "undoes what was done in work/2026-01-01-a; bears on structure."},
		{"an act that no rule knows is quoted", `{"act":"polish","parts":["parts/lamp"]}`, `Did "polish" to Lamp [parts/lamp.json].`},
		{"a stock-take of a place where nothing was", `{"act":"sighting","store":"stores/x/loft","place":"crate 1","counted":"everything there"}`, "Saw nothing; in Loft, crate 1; looked for: everything there."},
		{"a stock-take of a seal alone", `{"act":"sighting","store":"stores/x/loft","place":"crate 1","counted":"everything there","seal":"unbroken"}`, "Saw a place that was not opened; in Loft, crate 1; looked for: everything there; seal of that place: unbroken."},
		{"no part", `{"act":"sighting","parts":[]}`, "Saw (a part not stated)."},
		{"a part that is not here", `{"act":"sighting","parts":["parts/gone"]}`, "Saw parts/gone, (no such record here) [parts/gone.json]."},
		{"the note ends the line in its own words", `{"act":"sighting","parts":["parts/lamp"],"note":"Dull."}`, "Saw Lamp [parts/lamp.json]; note: “Dull.”"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := load(t, carOf(shop(map[string]string{"work/2026-01-01-a.json": session("2026-01-01", "", tt.line)})))
			wantAll(t, section(t, input(s), "work"), tt.want)
			wantAll(t, said(dossier.Show(s, s.Record("work/2026-01-01-a"), nil)), tt.want)
		})
	}
}

func TestTheCalibrationThatCoversADayIsNamed(t *testing.T) {
	calibration := func(on, due string) string {
		return `{"kind":"calibration","on":"` + on + `","due":"` + due + `","as-found":"in tolerance","deviation":"1.2 %"}`
	}
	tests := []struct {
		name         string
		calibrations map[string]string
		want         string
	}{
		{"none on record", nil, "Wrench, (no calibration on record by that day)"},
		{"one made later does not count", map[string]string{"c": calibration("2026-03-03", "2027-03-03")}, "(no calibration on record by that day)"},
		{"in time", map[string]string{"c": calibration("2026-01-01", "2027-01-01")}, "calibrated 2026-01-01, due 2027-01-01, as found in tolerance, deviation 1.2 % [instruments/x/wrench/c.json]"},
		{"due on the day is in time", map[string]string{"c": calibration("2026-01-01", "2026-03-02")}, "due 2026-03-02, as found in tolerance, deviation 1.2 % [instruments"},
		{"overdue", map[string]string{"c": calibration("2025-01-01", "2026-01-01")}, "overdue on that day"},
		{"no due day", map[string]string{"c": `{"kind":"calibration","on":"2025-01-01"}`}, "(in time or not: not stated)"},
		{"the latest counts", map[string]string{"a": calibration("2026-02-01", "2027-02-01"), "b": calibration("2025-02-01", "2026-02-01")}, "calibrated 2026-02-01"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			more := map[string]string{"work/2026-03-02-a.json": session("2026-03-02T09:00:00+01:00", "",
				`{"act":"tightening","parts":["parts/lamp"],"joints":["joints/bracket"],"instrument":"instruments/x/wrench"}`)}
			for name, text := range tt.calibrations {
				more["instruments/x/wrench/"+name+".json"] = text
			}
			got := section(t, input(load(t, carOf(shop(more)))), "tightenings")
			wantAll(t, got, tt.want, "9 N.m plus 30°", "not required")
			if strings.Contains(got, "overdue") != strings.Contains(tt.want, "overdue") {
				t.Errorf("overdue or not:\n%s", got)
			}
		})
	}
}

func TestSessionsStandInTheOrderTheyState(t *testing.T) {
	order := func(records map[string]string) string {
		got := section(t, input(load(t, carOf(records))), "work")
		var at []string
		for line := range strings.SplitSeq(got, "\n") {
			if path, whole := strings.CutPrefix(line, " [work/"); whole && strings.HasSuffix(path, ".json]") && !strings.ContainsRune(path, ' ') {
				at = append(at, strings.TrimSuffix(line[strings.LastIndexByte(line, '-')+1:], ".json]"))
			}
		}
		return strings.Join(at, " ")
	}
	tests := []struct {
		name    string
		records map[string]string
		want    string
	}{
		{"by day", map[string]string{"work/2026-01-02-a.json": session("2026-01-02", "", seen), "work/2026-01-01-b.json": session("2026-01-01", "", seen)}, "b a"},
		{"on one day by the clock", map[string]string{"work/2026-01-01-a.json": session("2026-01-01T12:00:00Z", "", seen), "work/2026-01-01-b.json": session("2026-01-01T08:00:00Z", "", seen)}, "b a"},
		{"behind what it comes after", map[string]string{"work/2026-01-01-a.json": session("2026-01-01", `"after":["work/2026-01-01-c"],`, seen), "work/2026-01-01-b.json": session("2026-01-01", "", seen), "work/2026-01-01-c.json": session("2026-01-01", "", seen)}, "b c a"},
		{"a ring of such statements keeps the days", map[string]string{"work/2026-01-01-a.json": session("2026-01-01", `"after":["work/2026-01-02-b"],`, seen), "work/2026-01-02-b.json": session("2026-01-02", `"after":["work/2026-01-01-a"],`, seen)}, "a b"},
		{"a correction stands in the place of what it corrects", map[string]string{"work/2026-01-01-a.json": session("2026-01-01", "", seen), "work/2026-01-02-b.json": session("2026-01-02", "", seen),
			"work/2026-01-01-z.json": session("2026-01-01", `"corrects":"work/2026-01-01-a","reason":"r",`, seen)}, "a z b"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := order(shop(tt.records)); got != tt.want {
				t.Errorf("got %q, want %q", got, tt.want)
			}
		})
	}
}

func TestAHazardIsWarnedOfWhereItApplies(t *testing.T) {
	tests := []struct{ name, hazard, facet, line, want, unwanted string }{
		{"what is lifted", "heavy", "", `{"act":"removal","parts":["parts/it"]}`, "CAUTION: Lifting", ""},
		{"a mass that stays where it is hurts nobody", "heavy", "", `{"act":"drain","parts":["parts/it"]}`, "Drained", "CAUTION: Lifting"},
		{"a look hurts nobody", "asbestos", "", `{"act":"sighting","parts":["parts/it"]}`, "Saw", "CAUTION: Suspect"},
		{"the traction circuit is high voltage without a word", "", "traction circuit", `{"act":"fitting","parts":["parts/it"]}`, "CAUTION: High voltage", ""},
		{"a system warns for its parts", "fuel", "", `{"act":"drain","parts":["parts/lamp"],"system":"systems/petrol"}`, "CAUTION: Fuel vapour", ""},
		{"springs under load", "spring", "", `{"act":"removal","parts":["parts/it"]}`, "CAUTION: Springs under load", ""},
		{"refrigerant", "refrigerant", "", `{"act":"drain","parts":["parts/it"]}`, "opening it is licensed work", ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := section(t, input(load(t, carOf(shop(map[string]string{
				"parts/it.json":          `{"kind":"part","name":"It","hazards":["` + tt.hazard + `"],"facets":["` + tt.facet + `"]}`,
				"systems/petrol.json":    `{"kind":"system","name":"Petrol","parts":["parts/it"]}`,
				"work/2026-01-01-a.json": session("2026-01-01", "", tt.line),
			})))), "work")
			wantAll(t, got, tt.want)
			if tt.unwanted != "" {
				wantNone(t, got, tt.unwanted)
			}
		})
	}
}

func TestALicenceThatWasEndedSaysSo(t *testing.T) {
	s := load(t, carOf(shop(map[string]string{
		"people/x/y/licence.json": `{"kind":"licence","scope":["brakes","structure"],"authority":"Board","number":"1","until":"2027-01-01","checked":"register consulted","checked-on":"2026-01-02","checked-by":"people/x/z"}`,
		"people/x/y/ended.json":   `{"kind":"revocation","of":"people/x/y/licence","on":"2026-02-01"}`,
		"people/x/y/key.json":     `{"kind":"key","public":"ssh-ed25519 AAAA","from":"2026-01-01"}`,
	})))
	wantAll(t, section(t, input(s), "sign-offs"), "Ina brakes, structure Board, number 1", "until 2027-01-01; ended from 2026-02-01 [people/x/y/ended.json]",
		"register consulted, 2026-01-02, Tom", "No sign-off is on record.")
	wantAll(t, said(dossier.List(s, record.KindKey, record.KindRevocation)), "Ina: from 2026-01-01 until (not stated)", "ends people/x/y/licence from 2026-02-01")
}
