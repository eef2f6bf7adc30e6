package dossier_test

import (
	"slices"
	"strings"
	"testing"

	"boltback/internal/doc"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/signoff"
)

func TestNumbersStandAsTheyWereReadWithHowFarTheyAgree(t *testing.T) {
	got := section(t, input(load(t, compactCar(t))), "identity")
	wantAll(t, got,
		"*OW 20713*", "right chassis leg; on Shell", "Ina Reed, 2026-02-02 [car.json:10]",
		"Near miss, archive certificate and stamping:", // beside the conflict that the title makes
		"the conflict stands until a record settles it",
		"the title is issued on \"OE 5518\", which is the engine number, and the engine is off the car",
		"on the car when read: yes; now, by the lines: no")
}

func TestACertificateStandsLineByLineBesideTheCar(t *testing.T) {
	got := section(t, input(load(t, compactCar(t))), "identity")
	wantAll(t, got,
		"Line by line: Archive certificate",
		"chassis number OW 20731 *OW 20713* differ [papers/archive.json:12]",
		"colour blue Blue agree", "tyres cross-ply (not stated) not stated")
}

func TestTheStateOfANumberIsThatOfItsWorstPair(t *testing.T) {
	number := func(where, raw string) string {
		return `{"what":"engine","raw":"` + raw + `","where":"` + where + `"}`
	}
	tests := []struct {
		name, numbers string
		want          []string
	}{
		{"one reading has nothing that bears it out", number("stamping", "E 1234"), []string{"single source E 1234"}},
		{"two readings from one sort of source bear nothing out", number("stamping", "E 1234") + "," + number("stamping", "E1234"), []string{"single source E 1234; E1234"}},
		{"two sources that differ in their writing agree", number("stamping", "*E 1234*") + "," + number("title", "E1234"), []string{"agree *E 1234*", "agree E1234"}},
		{"what could not be made out is compatible", number("stamping", "E 12?4") + "," + number("title", "E1234"), []string{"compatible E 12?4", "compatible E1234"}},
		{"a part of a number is incomplete", number("stamping", "E 123456") + "," + number("title", "123456"), []string{"incomplete E 123456", "incomplete 123456"}},
		{"exchanged digits are a near miss", number("stamping", "E 123456") + "," + number("title", "E 123465"), []string{"near miss E 123456", "near miss E 123465"}},
		{"two numbers conflict", number("stamping", "E 123456") + "," + number("title", "K 998871"), []string{"conflict E 123456", "conflict K 998871"}},
		{"what a spreadsheet damaged is no evidence", number("title", "1.23457E+11"), []string{"no evidence 1.23457E+11"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := load(t, carOf(map[string]string{"car.json": `{"kind":"car","numbers":[` + tt.numbers + `]}`}))
			var got []string
			_ = doc.Walk(dossierOf(s).Blocks(), func(b doc.Block, _ int) error {
				if m, ok := b.(*doc.Matrix); ok {
					for _, row := range m.Rows {
						got = append(got, row.Cells[0].State+" "+strings.ReplaceAll(row.Cells[0].Note.String(), " car.json:1", "")) // each with its source
					}
				}
				return nil
			})
			if !slices.Equal(got, tt.want) {
				t.Errorf("got %q, want %q", got, tt.want)
			}
		})
	}
}

func TestFiguresStandWithTheirBasisAndSourceAndNothingIsWorkedOut(t *testing.T) {
	got := section(t, input(load(t, compactCar(t))), "before-and-as-built")
	wantAll(t, got,
		"38 bhp of Engine (basis gross; source: handbook, page 12) [parts/engine.json:29]",
		"28 kW of Motor (basis 30-minute; source: data sheet FD28) [parts/motor.json:13]",
		"1080 kg (condition laden; source: maker's plate) [car.json:43]",
		"unladen mass (not stated) (not stated) (not stated)",
		"petrol: drained for good 2026-02-04", "working voltage 144 V",
		"2026-03-12 after the last line for it front axle: 402 ±1 kg")
	wantNone(t, got, "820", "kW of Engine", "51")
}

func TestAPartOffTheCarShowsWhereItIsAndWhatItLacks(t *testing.T) {
	got := section(t, input(load(t, compactCar(t))), "parts-off")
	wantAll(t, got,
		"bag B1 with 8 fasteners", "bag B3, fasteners (not counted)", "bag B7 with 4 of Tank straps",
		"may go back: no by law", "as found, 2026-02-02, “turns by hand”", "hazards: suspect asbestos, see Cautions",
		"Parts: Brake shoes, front.")
	if strings.Index(got, "Parts whose whereabouts the records do not know") > strings.Index(got, "Parts off the car with a stated place") {
		t.Error("what is not known doesn't stand first")
	}
}

func TestAlterationsForSafetyStandFirst(t *testing.T) {
	line := func(where, safety string) string {
		return `{"act":"alteration","parts":["parts/shell"],"alteration":{"zone":"boot","where":"` + where + `","safety":"` + safety + `"}}`
	}
	s := load(t, carOf(map[string]string{
		"parts/shell.json":       `{"kind":"part","name":"Shell"}`,
		"work/2026-01-01-a.json": session("2026-01-01", "", line("first hole", "no")+","+line("seat plate", "yes")),
	}))
	got := section(t, input(s), "alterations")
	if strings.Index(got, "seat plate") > strings.Index(got, "first hole") {
		t.Errorf("the safety decision doesn't stand first:\n%s", got)
	}
	wantAll(t, got, "safety decision", "material removed: (not stated)", "No hole survey is on record")
}

func TestATighteningStandsBesideItsSpecificationUnjudged(t *testing.T) {
	got := section(t, input(load(t, compactCar(t))), "tightenings")
	wantAll(t, got,
		"45 N.m, tolerance 10 %; thread dry; source: drawing S-12",
		"click, set to 45 N.m; 2026-03-02, Ina Reed",
		"calibrated 2025-03-01, due 2026-03-01, as found in tolerance, overdue on that day",
		"(required, and none on record)", "Battery box to tray: 22 N.m")
	wantNone(t, got, "Tank straps", " ok", "passed")
}

func TestABoundStaysABound(t *testing.T) {
	got := section(t, input(load(t, compactCar(t))), "readings")
	wantAll(t, got, ">550 MΩ (a bound), pole +", "210 MΩ, pole -", "(uncertainty of 1 of them not recorded)", "(no calibration on record by that day)")
}

func TestASignatureIsNotSaidToBeChecked(t *testing.T) {
	got := section(t, input(load(t, compactCar(t))), "sign-offs")
	wantAll(t, got, "signature not checked here", "Covers 2 records", "parts/brake-shoes reads otherwise now", "Ina Reed traction circuit Saltmarsh board, number SB 12", "not checked")
}

func TestASignOffStandsWithWhatItIsWorth(t *testing.T) {
	in := input(load(t, compactCar(t)))
	ink := ledger.All[record.SignOff](in.Snapshot)[0]
	in.Verified = report()
	in.Verified.SignOffs = []signoff.Verdict{{
		Record: ink.ID, By: ink.Body.By, On: ink.Body.On, Meaning: ink.Body.Meaning, Form: "key", Status: signoff.Void, Why: signoff.BadSignature,
		Differences: []signoff.Difference{{Record: "parts/brake-shoes", What: signoff.Altered}},
	}}
	got := section(t, in, "sign-offs")
	wantAll(t, got, "The signatures of 1 commit and of every sign-off in the ledger were checked for this page",
		"ask the workshop for the fingerprint by another way", "boltback verify lists what was found",
		"the signature does not fit its bytes", "not committed as it reads here", "was altered")
	wantNone(t, got, "signature not checked here", "No signature was checked")
}

func TestOverruledRecordsPrintStruckThroughWithTheirReason(t *testing.T) {
	in := input(load(t, compactCar(t)))
	wantAll(t, section(t, in, "work"),
		"Motor in (corrected)", "reason: “The battery box had been left out.”; it does not count.", "[struck out: Fitted Motor]",
		"Radiator seen (withdrawn)", "[struck out: Saw Radiator]", "Stands in the place of work/2026-03-02-ina-motor")
	wantAll(t, section(t, in, "overruled"), "[struck out: Motor in]", "[struck out: Radiator seen]", "another car's radiator")
}

func TestTwoCorrectionsOfOneRecordDisputeIt(t *testing.T) {
	s := load(t, carOf(map[string]string{
		"parts/lamp.json":    part,
		"parts/lamp-b.json":  `{"kind":"part","name":"Lamp b","corrects":"parts/lamp","reason":"b"}`,
		"parts/lamp-c.json":  `{"kind":"part","name":"Lamp c","corrects":"parts/lamp","reason":"c"}`,
		"concerns/gone.json": `{"kind":"concern","name":"Rattle","concern":"Rattles.","weight":"minor"}`,
		"concerns/take.json": `{"kind":"concern","withdraws":"concerns/gone","reason":"It was a spanner."}`,
	}))
	wantAll(t, section(t, input(s), "overruled"), "Disputed: several records claim to correct or withdraw it", "parts/lamp-b", "parts/lamp-c")
	wantAll(t, section(t, input(s), "concerns"), "[struck out: Rattle: “Rattles.”", "“It was a spanner.”")
}

func TestMissingEvidenceIsAListOfItsOwn(t *testing.T) {
	got := section(t, input(load(t, compactCar(t))), "not-known")
	wantAll(t, got, "neither for the car nor against it",
		"where a part is 2 [parts/dynamo.json] [parts/radiator.json]",
		"what a file says that could not be read 1 [parts/broken.json:1]",
		"the purpose of a removal, fitting or alteration 1 [work/2026-02-04-ina-strip.json:50]",
		"a hole survey of a zone that was altered 1")
}

func TestTheThreeDatesOfAPaperStayApart(t *testing.T) {
	got := section(t, input(load(t, compactCar(t))), "papers")
	wantAll(t, got, "in the file: 2026-02-02T09:14:00; claimed: 2026-02-02; received: 2026-02-02",
		"in the file: (not stated); claimed: (not stated); received: 2026-02-03; written on it: 03/02/26",
		"here [sha256 bbbbbbbbbbbbbbbb…]", "(no original on record)")
}

func TestAChassisNumberUnderARuleWithACheckDigitIsChecked(t *testing.T) {
	car := func(market, year string) string {
		return section(t, input(load(t, carOf(map[string]string{"car.json": `{"kind":"car","market":"` + market + `","year":"` + year +
			`","numbers":[{"what":"chassis","raw":"1M8GDM9AXKP042788","where":"plate"},{"what":"chassis","raw":"1M8GDM9AXKP042788","where":"title"}]}`}))), "identity")
	}
	us := car("US", "1989")
	wantAll(t, us, "Transcription check of 1M8GDM9AXKP042788:")
	if n := strings.Count(us, "Transcription check"); n != 1 {
		t.Errorf("one number is checked %d times", n)
	}
	wantNone(t, car("GB", "1967-03"), "Transcription check")
}
