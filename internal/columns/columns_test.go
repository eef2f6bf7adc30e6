package columns

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"boltback/internal/edtf"
	"boltback/internal/entry"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/steps"
	"boltback/internal/table"
)

// bench is a small car in a workshop that writes days first.
func bench(t testing.TB) steps.Bench {
	t.Helper()
	s, err := ledger.Load(fstest.MapFS{
		"ledger.json":                        {Data: []byte(`{"kind": "ledger", "edition": "1", "started": "2026-01-05"}`)},
		"car.json":                           {Data: []byte(`{"kind": "car", "market": "GB", "root": "parts/shell"}`)},
		"parts/shell.json":                   {Data: []byte(`{"kind": "part", "found": "yes"}`)},
		"parts/fuel-tank.json":               {Data: []byte("{\n  \"kind\": \"part\",\n  \"name\": \"Fuel tank\",\n  \"tag\": \"0111\"\n}\n")},
		"parts/horn.json":                    {Data: []byte(`{"kind": "part", "name": "Horn", "tag": "0112"}`)},
		"joints/tank-straps.json":            {Data: []byte(`{"kind": "joint", "clamps": ["parts/fuel-tank"], "fasteners": [{"size": "M8", "count": 4}]}`)},
		"stores/tallow-lane/loft/store.json": {Data: []byte(`{"kind": "store", "name": "Loft"}`)},
	})
	if err != nil {
		t.Fatal(err)
	}
	return steps.Bench{Context: entry.Context{Snapshot: s, Today: edtf.NewDay(2026, 6, 1), Country: "GB"}, By: "people/tallow-lane/ines-okafor",
		People: []record.Ref{"people/tallow-lane/ines-okafor", "people/tallow-lane/bram-ostler"}, Instruments: []record.Ref{"instruments/tallow-lane/wrench"}}
}

func plan(t *testing.T, text string, change ...func(*Options)) *Plan {
	t.Helper()
	o := Options{Bench: bench(t)}
	for _, c := range change {
		c(&o)
	}
	tab, err := table.Read([]byte(text), Known(o.Kind))
	if err != nil {
		t.Fatal(err)
	}
	p, err := Make(tab, o)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// rows writes the fates of a plan, one a line.
func rows(p *Plan) string {
	var lines []string
	for _, f := range p.Fates {
		line := fmt.Sprintf("%d: %s", f.Line, f.Says)
		if f.Fault != "" {
			line = fmt.Sprintf("%d! %s (%s)", f.Line, f.Fault, f.Hint)
		}
		for _, n := range f.Notes {
			line += " [" + n + "]"
		}
		lines = append(lines, line)
	}
	return strings.Join(lines, "\n")
}

func wantRows(t *testing.T, p *Plan, want ...string) {
	t.Helper()
	got := strings.Split(rows(p), "\n")
	if len(got) != len(want) {
		t.Fatalf("%d rows:\n%s", len(got), rows(p))
	}
	for i := range want {
		if !strings.Contains(got[i], want[i]) {
			t.Errorf("row %d is\n%s\nand should say\n%s", i, got[i], want[i])
		}
	}
}

func TestATableOfPartsBecomesTheirRecords(t *testing.T) {
	p := plan(t, "Part;Tag;Weight (kg);Side;Hazards;Part no.;Where it sat\nHeater;0200;4,5;O/S;asbestos, heavy;113-043;bulkhead\nFuel tank;0111;;;;;\nLamp;;;;;;\n")
	wantRows(t, p, "parts/heater (new) [O/S is taken for the right", "parts/fuel-tank is on record just so", "parts/lamp (new)")
	if p.Kind != Parts || len(p.Records) != 2 {
		t.Fatalf("%s %+v", p.Kind, p.Records)
	}
	heater := p.Records[0].Body.(*record.Part)
	if heater.Mass != "4.5 kg" || heater.Side != "right" || len(heater.Hazards) != 2 || heater.Numbers[0].Raw != "113-043" || heater.Position != "bulkhead" || heater.Note != "side as told: O/S" {
		t.Errorf("%+v", heater)
	}
}

func TestATableOfJointsKnowsItsPartsByNameAndTag(t *testing.T) {
	p := plan(t, "Joint,Parts,Size,Count,Bag,Torque (Nm),Source\nHorn bracket,horn + 0111,M6,2,0401,9,handbook\nOther,what is this,M8,1,,,\n")
	wantRows(t, p, "joints/horn-bracket (new)", "no part is called what is this: parts/what-is-this is named all the same")
	j := p.Records[0].Body.(*record.Joint)
	if fmt.Sprint(j.Clamps) != "[parts/horn parts/fuel-tank]" || j.Fasteners[0] != (record.Fastener{Size: "M6", Count: 2, Bag: "0401"}) || j.Specification.Torque != "9 N.m" {
		t.Errorf("%+v %+v", j, j.Specification)
	}
}

func TestAStripDownBecomesSessionsByDayAndPerson(t *testing.T) {
	p := plan(t, "Tag,Part,Fasteners,Size,Bag,Crate,Date,By\n0200,Heater,4 x M8 bolts,,0401,loft crate 2,2026-03-02,bram\n0201,Pipe,2,M6,0402,loft crate 2,2026-03-02,bram\n0202,Hose,,,,loft crate 2,2026-03-03,bram\n0203,Heater,1,M5,,,2026-03-03,ines\n")
	wantRows(t, p, "removal of parts/heater (new); tag 0200; 4 × M8 bolts", "2 × M6", "parts/hose (new)", "removal of parts/heater; tag 0203")
	if len(p.Works) != 3 || len(p.Works[0].Lines) != 2 || p.Works[0].By != "people/tallow-lane/bram-ostler" || p.Works[1].Started != "2026-03-03" {
		t.Fatalf("%+v", p.Works)
	}
	if l := p.Works[0].Lines[0]; l.Store != "stores/tallow-lane/loft" || l.Place != "crate 2" || l.Fasteners != 4 || l.Bag != "0401" {
		t.Errorf("%+v", l)
	}
	if len(p.Records) != 5 {
		t.Errorf("three parts and two joints: %+v", p.Records)
	}
}

func TestATableOfTighteningsNamesJointsAndInstruments(t *testing.T) {
	p := plan(t, "Joint,Torque,Method,Wrench,Second check\n,Nm,,,\ntank straps,47,click,wrench,people/tallow-lane/bram-ostler\nno such,5,click,,\ntank-straps,35 ft-lb,dial,,\n")
	wantRows(t, p, "tightening of parts/fuel-tank; joint joints/tank-straps; set 47 N.m", "no joint is called no such", "not one of the words")
	if l := p.Works[0].Lines[0]; l.Instrument != "instruments/tallow-lane/wrench" || l.SecondCheck != "people/tallow-lane/bram-ostler" || l.Method != "click" {
		t.Errorf("%+v", l)
	}
	if len(p.Works[0].Lines) != 1 {
		t.Error(rows(p))
	}
}

func TestReadingsOfOneMeasurementAreOneRecord(t *testing.T) {
	p := plan(t, "What,Where,Value,Date,By\nweighing,front left,212 kg,2026-03-02,ines\nweighing,front right,208 kg,2026-03-02,ines\nweighing,front left,210 kg,2026-04-02,ines\nweighing,rear,,2026-04-02,ines\n")
	wantRows(t, p, "weighing on 2026-03-02: front left 212 kg", "208 kg", "2026-04-02", "has no figure")
	if len(p.Readings) != 2 || len(p.Readings[0].Values) != 2 {
		t.Errorf("%+v", p.Readings)
	}
}

func TestAStockTakeNamesWhatWasSeenAndSaysWhereEverythingWasLookedFor(t *testing.T) {
	p := plan(t, "Tag,Part,Crate,Today,Seal\n0111,Fuel tank,loft crate 1,seen,\n0112,Horn,loft crate 1,missed,\n,Odd lamp,loft crate 1,worse,\n0111,Fuel tank,loft crate 2,perhaps,\n,,loft crate 4,seen,\n0112,Horn,loft crate 5,empty,\n")
	wantRows(t, p, "sighting of parts/fuel-tank", "missed: 0112 Horn; everything at stores/tallow-lane/loft, crate 1 was looked for", "parts/odd-lamp (new)",
		"neither seen nor missed", "names no part and no tag", "said of a place, and the row names a part")
	if len(p.Works) != 1 || len(p.Works[0].Lines) != 1 {
		t.Fatalf("%+v", p.Works)
	}
	if l := p.Works[0].Lines[0]; fmt.Sprint(l.Parts) != "[parts/fuel-tank parts/odd-lamp]" || l.Counted != "everything there" || !strings.Contains(l.Note, "parts/odd-lamp: in a worse state") {
		t.Errorf("%+v", l)
	}
	if p = plan(t, "Tag,Crate,Today\n0111,loft crate 1,seen\n"); p.Works[0].Lines[0].Counted != "" {
		t.Error("nobody said that everything was looked for")
	}
}

func TestAPlaceWhereNothingWasSeenIsALineThatNamesNoPart(t *testing.T) {
	p := plan(t, "Tag,Part,Crate,Today,Note\n0112,Horn,loft crate 3,missed,\n0111,Fuel tank,loft crate 3,no,\n,,loft crate 4,nothing,swept out\n,Lamp,loft crate 5,seen,\n")
	wantRows(t, p, "missed: 0112 Horn; everything at stores/tallow-lane/loft, crate 3", "missed: 0111", "nothing was seen at stores/tallow-lane/loft, crate 4; everything there was looked for", "parts/lamp")
	if len(p.Works) != 1 || len(p.Works[0].Lines) != 3 || p.Faults() != 0 {
		t.Fatalf("%+v", p.Works)
	}
	if lacks := entry.Lacks(p.Works[0]); len(lacks) > 0 {
		t.Errorf("it lacks %s", lacks)
	}
	for _, l := range p.Works[0].Lines[1:] {
		if len(l.Parts) != 0 || l.Counted != "everything there" || l.Act != "sighting" || l.Place == "crate 4" && l.Note != "swept out" {
			t.Errorf("%+v", l)
		}
	}
}

func TestWhatWasMissedIsNotSettledWhereARowOfThePlaceIsNotTaken(t *testing.T) {
	p := plan(t, "Tag,Part,Crate,Today\n0111,Fuel tank,loft crate 1,perhaps\n0112,Horn,loft crate 1,missed\n,,loft crate 2,nothing\n")
	wantRows(t, p, "neither seen nor missed", "not settled what was missed there", "nothing was seen at stores/tallow-lane/loft, crate 2")
	if len(p.Works) != 1 || len(p.Works[0].Lines) != 1 || p.Works[0].Lines[0].Place != "crate 2" {
		t.Errorf("%+v", p.Works)
	}
	p = plan(t, "Tag,Part,Crate,Today\n0111,Fuel tank,,seen\n,,loft crate 2,nothing\n")
	wantRows(t, p, "does not say where", "not settled what was missed there")
	p = plan(t, "Tag,Part,Crate,Today\n0111,Fuel tank,loft crate 2,seen\n,,loft crate 2,nothing\n0112,Horn,crate 9,missed\n")
	wantRows(t, p, "sighting of parts/fuel-tank", "one row saw something at this place, and another nothing", "does not say in which store")
	if l := p.Works[0].Lines; len(l) != 1 || l[0].Counted != "" {
		t.Errorf("%+v", l)
	}
}

func TestC03_WhatASpreadsheetDamagedIsRefusedAtItsLineAndNeverRebuilt(t *testing.T) {
	p := plan(t, "Part,Part no.,Tag\nA,1.1E+10433,0200\nB,220,0201\nC,34567,147\nD,Jan-17,0203\nE,\"1,234,567\",0204\nF,12345.00,0205\nG,#N/A,0206\nH,1E10432,0207\nI,2026-03-02 00:00,0208\nJ,ok,1.47E+02\nK,0034567,0209\n")
	wantRows(t, p, `Part no.: "1.1E+10433" is damaged`, "came through a spreadsheet as digits alone", "fewer digits than a tag", "may be a date", "commas between thousands",
		"decimal places", "can show nothing", "parts/h (new)", "date with a time of day", "scientific form", "parts/k (new)")
	if p.Faults() != 8 || len(p.Records) != 3 {
		t.Errorf("%d faults, %d records", p.Faults(), len(p.Records))
	}
	for _, n := range p.Records {
		if raw := n.Body.(*record.Part).Numbers[0].Raw; raw != "220" && raw != "1E10432" && raw != "0034567" {
			t.Errorf("%s became %q", n.ID, raw)
		}
	}
}

func TestC31_MilliohmOnAnInsulationTableIsAQuestion(t *testing.T) {
	p := plan(t, "What,Where,Value\ninsulation,positive,1.2 mΩ\ninsulation,negative,>550 MΩ\nbonding,seat,12 mΩ\n")
	wantRows(t, p, "can be read in 2 ways", "insulation on 2026-06-01: negative >550 MΩ", "bonding")
	if p.Fates[0].Fault == "" || !strings.Contains(p.Fates[0].Hint, "MΩ") {
		t.Error(rows(p))
	}
	p = plan(t, "What,Where,Value (mΩ)\ninsulation,positive,1.2\n")
	if p.Faults() != 1 {
		t.Errorf("a unit in the header is as doubtful: %s", rows(p))
	}
}

func TestC45_DatesFourYearsEarlyAreOfferedAShiftAndNeverGivenOneUnasked(t *testing.T) {
	const text = "Tag,Part,Crate,Date\n0200,Heater,crate 1,2022-03-01\n0201,Pipe,crate 1,2022-03-02\n"
	p := plan(t, text)
	wantRows(t, p, "may count from another year", "--date-shift 1462")
	if p.Faults() != 2 || len(p.Works) != 0 {
		t.Error(rows(p))
	}
	p = plan(t, text, func(o *Options) { o.Shift, o.Asked = 1462, true })
	wantRows(t, p, "2022-03-01 stands there, shifted by 1462 days as asked to 2026-03-02", "2026-03-03")
	if p.Works[0].Started != "2026-03-02" {
		t.Errorf("%+v", p.Works[0])
	}
	if p = plan(t, text, func(o *Options) { o.Asked = true }); p.Faults() != 0 || p.Works[0].Started != "2022-03-01" {
		t.Error(rows(p))
	}
}

func TestC40_ADateThatReadsTwoWaysIsRefusedWithBoth(t *testing.T) {
	abroad := func(o *Options) { o.Bench.Context.Country = "" }
	p := plan(t, "Tag,Part,Crate,Date\n0200,Heater,crate 1,03/04/2026\n0201,Pipe,crate 1,46083\n", abroad)
	wantRows(t, p, "2026-03-04", "may be 2026-03-02 or 2030-03-03")
	if p.Faults() != 2 {
		t.Error(rows(p))
	}
	if p = plan(t, "Tag,Part,Crate,Date\n0200,Heater,crate 1,03/04/2026\n0201,Pipe,crate 1,25/04/2026\n", abroad); p.Faults() != 0 || p.Works[0].Started != "2026-04-03" {
		t.Errorf("another date of the file settles it: %s", rows(p))
	}
}

func TestC69_AmbiguousThousandsAreRefusedWithTheirLine(t *testing.T) {
	wantRows(t, plan(t, "Part,Mass (kg)\nEngine,\"1,234\"\nAxle,\n"), `2! Mass: "1,234" can be read in two ways`, "parts/axle")
	wantRows(t, plan(t, "Part;Mass (kg)\nEngine;1,234\nAxle;31,5\n"), `parts/engine (new) [Mass: the comma in "1,234" is a decimal comma, as elsewhere in the file]`, "parts/axle")
}

func TestC50_OneTagOnTwoRowsStaysOnBoth(t *testing.T) {
	p := plan(t, "Part,Tag\nAlternator,0112\n")
	wantRows(t, p, "tag 0112 is on parts/horn already; both stay: write 0112a and 0112b")
	if p.Records[0].Body.(*record.Part).Tag != "0112" {
		t.Error("a number was changed")
	}
}

func TestFormulasAndUnknownColumnsAreKeptAsText(t *testing.T) {
	p := plan(t, "Part,Tag,Colour,Masss\n=A1&B1,0200,grey,4\n")
	wantRows(t, p, "parts/a1-b1 (new) [Part: \"=A1&B1\" is a formula, and stays text]")
	if note := p.Records[0].Body.(*record.Part).Note; note != "Colour: grey; Masss: 4" || !strings.Contains(strings.Join(p.Notes, " "), `"Masss" is not known, and is kept in the note of its row; did you mean mass?`) {
		t.Errorf("%q %q", note, p.Notes)
	}
}

func TestWhatDoesNotSettleWhatATableListsIsAsked(t *testing.T) {
	for text, want := range map[string]string{"Note,Date\nx,2026-01-01\n": "do not settle", "Tag,Note\n1,2\n": "do not settle"} {
		tab, err := table.Read([]byte(text), Known(""))
		if err != nil {
			t.Fatal(err)
		}
		_, err = Make(tab, Options{Bench: bench(t)})
		var fault *table.Fault
		if !errors.As(err, &fault) || !strings.Contains(fault.Message, want) || !strings.Contains(fault.Hint, "strip-down") {
			t.Errorf("%q: %v", text, err)
		}
		if _, err = Make(tab, Options{Bench: bench(t), Kind: Joints}); !errors.As(err, &fault) || !strings.Contains(fault.Message, "a table of joints needs the columns joint and") {
			t.Errorf("%v", err)
		}
	}
}

// TestAStripDownAsATableIsEnteredInTenMinutes counts the keys of a table of 80 parts and 200 fasteners typed into a
// spreadsheet: every cell and the key after it, at two hundred keys a minute. Tags in a row and one crate for twenty parts are
// typed once and drawn downwards, for which four keys are counted.
func TestAStripDownAsATableIsEnteredInTenMinutes(t *testing.T) {
	const head, draw = "Tag;Part;Fasteners;Size;Crate\n", 4
	text, keys := head, len(head)
	for i := range 80 {
		cells := []string{fmt.Sprintf("%04d", 200+i), fmt.Sprintf("rear bracket %02d", i), fmt.Sprint(2 + i%2), []string{"M8", "5/16"}[i%2], fmt.Sprintf("crate %d", i/20)}
		text += strings.Join(cells, ";") + "\n"
		for n, cell := range cells {
			switch drawn := n == 0 || n == 4; {
			case !drawn:
				keys += len(cell) + 1
			case i%20 == 0:
				keys += len(cell) + 1 + draw
			}
		}
	}
	p := plan(t, text)
	fasteners := int64(0)
	for _, l := range p.Works[0].Lines {
		fasteners += l.Fasteners
	}
	if p.Faults() != 0 || len(p.Works[0].Lines) != 80 || fasteners != 200 {
		t.Fatalf("%d faults, %d lines, %d fasteners", p.Faults(), len(p.Works[0].Lines), fasteners)
	}
	t.Logf("%d keys: %.1f minutes at 200 keys a minute", keys, float64(keys)/200)
	if keys > 2000 {
		t.Errorf("%d keys are more than ten minutes hold", keys)
	}
}

func FuzzMake(f *testing.F) {
	for _, text := range []string{"Part,Tag,Mass\n=A1,0147,\"1,2\"\n", "Tag;Part;Fasteners;Crate;Date\n1;a;4 x M8;c;03/04/26\n", "What,Where,Value\ninsulation,x,1.2 mΩ\n", "Tag,Crate,Today,Seal\n0111,crate 1,missed,unbroken\n", "Joint,Torque\n,Nm\ntank straps,47\n"} {
		f.Add(text)
	}
	b := bench(f)
	f.Fuzz(func(t *testing.T, text string) {
		tab, err := table.Read([]byte(text), Known(""))
		if err != nil {
			return
		}
		p, err := Make(tab, Options{Bench: b})
		if err != nil {
			return
		}
		for _, n := range p.Records {
			if len(record.KindsAt(record.PathOf(n.ID))) == 0 {
				t.Errorf("%s is no place for a record", n.ID)
			}
		}
		if len(p.Fates) != len(tab.Rows) {
			t.Errorf("%d rows, %d fates", len(tab.Rows), len(p.Fates))
		}
	})
}
