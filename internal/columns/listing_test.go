package columns

import (
	"bytes"
	"encoding/csv"
	"strings"
	"testing"
	"testing/fstest"

	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/table"
)

const digestOfAPrice = "2f1e4fc8b7a0e2ab6a3d7f1d53c5a1d3c0a8df6d1b9b0f0c0a4a6f0e8d7c6b5a"

func carOf(t *testing.T, files map[string]string) *ledger.Snapshot {
	t.Helper()
	fsys := fstest.MapFS{"ledger.json": {Data: []byte(`{"kind": "ledger", "edition": "1"}`)}}
	for name, text := range files {
		fsys[name] = &fstest.MapFile{Data: []byte(text)}
	}
	s, err := ledger.Load(fsys)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// lines writes a listing with bars, empty columns left out.
func lines(l Listing) string {
	var b strings.Builder
	for _, row := range append([][]string{l.Header}, l.Rows...) {
		b.WriteString(strings.Join(row, "|") + "\n")
	}
	return b.String()
}

func TestEveryRecordOfAKindIsARowAndSaysWhetherItCounts(t *testing.T) {
	s := carOf(t, map[string]string{
		"parts/horn.json":       `{"kind": "part", "name": "Horn", "tag": "0147", "hazards": ["fuel", "asbestos"], "numbers": [{"what": "serial", "raw": "12*4"}]}`,
		"parts/horn-again.json": `{"kind": "part", "corrects": "parts/horn", "reason": "misread", "name": "Horn", "count": 2}`,
		"parts/lamp.json":       `{"kind": "part", "name": "Lamp", "value": "` + digestOfAPrice + `"}`,
		"parts/lamp-not.json":   `{"kind": "part", "withdraws": "parts/lamp", "reason": "another car's"}`,
		"parts/tank.json":       `{"mass": "8.3 kg", "value": "900 GBP", "name": "Tank", "kind": "part"}`,
	})
	l := List(s, record.KindPart)
	got := lines(l)
	for _, part := range []string{"parts/horn|corrected|parts/horn-again|Horn||||", "parts/horn-again|stands||Horn|parts/horn||misread|2|", "parts/lamp|withdrawn|parts/lamp-not|Lamp|",
		"withheld, sha256 " + digestOfAPrice, "parts/lamp-not|withdraws||", "parts/tank|stands||Tank|", "|8.3 kg|", "|0147|", "fuel; asbestos", "|serial|12*4|"} {
		if !strings.Contains(got, part) {
			t.Errorf("no %q in\n%s", part, got)
		}
	}
	if strings.Contains(got, "900") || l.Withheld != 2 {
		t.Errorf("withheld %d of 2:\n%s", l.Withheld, got)
	}
}

func TestASessionHasARowForEachLineAndAReadingForEachFigure(t *testing.T) {
	s := carOf(t, map[string]string{
		"work/2026-01-02-out.json":     `{"kind": "session", "started": "2026-01-02", "by": "people/a/b", "lines": [{"act": "removal", "parts": ["parts/horn", "parts/lamp"]}, {"act": "drain", "note": "dry"}], "note": "cold"}`,
		"work/2026-01-03-none.json":    `{"kind": "session", "started": "2026-01-03"}`,
		"readings/2026-01-02-kgs.json": `{"kind": "reading", "what": "weighing", "values": [{"of": "front left", "value": "201 kg"}, {"of": "front right", "value": "not recorded"}]}`,
	})
	if got, want := lines(List(s, record.KindSession)), `path|standing|corrected or withdrawn by|by|started|note|line|line.act|line.parts|line.note
work/2026-01-02-out|stands||people/a/b|2026-01-02|cold|1|removal|parts/horn; parts/lamp|
work/2026-01-02-out|stands||people/a/b|2026-01-02|cold|2|drain||dry
work/2026-01-03-none|stands|||2026-01-03|||||
`; got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
	if got, want := lines(List(s, record.KindReading)), `path|standing|corrected or withdrawn by|what|figure|figure.of|figure.value
readings/2026-01-02-kgs|stands||weighing|1|front left|201 kg
readings/2026-01-02-kgs|stands||weighing|2|front right|not recorded
`; got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
}

func TestPartsThatWereListedAreReadBackAsTheyWere(t *testing.T) {
	texts := map[string]string{
		"parts/horn.json":       `{"kind": "part", "name": "=HYPERLINK(\"http://x.invalid\")", "tag": "0147", "found": "yes", "side": "left", "contains": ["parts/lamp", "parts/tank"], "hazards": ["fuel", "asbestos"], "note": "horn;=1+1"}`,
		"parts/lamp.json":       `{"kind": "part", "name": "Lamp", "class": "set", "count": 2, "numbers": [{"what": "serial", "raw": "0034567", "read-by": "people/a/b"}, {"what": "other", "raw": "*12"}], "tyre": {"size": "165 R 15", "load-index": 84}}`,
		"parts/wrong.json":      `{"kind": "part", "name": "Mistaken", "tag": "0199"}`,
		"parts/wrong-away.json": `{"kind": "part", "withdraws": "parts/wrong", "reason": "not of this car"}`,
		"parts/tank.json":       `{"kind": "part", "name": "Tank", "value": "` + digestOfAPrice + `"}`,
	}
	s := carOf(t, texts)
	var file bytes.Buffer
	l := List(s, record.KindPart)
	if changed, err := table.Write(&file, l.Header, l.Rows); err != nil || len(changed) != 2 {
		t.Fatalf("changed %v, %v", changed, err)
	}
	p := plan(t, file.String(), func(o *Options) { o.Kind = Parts; o.Bench.Context.Snapshot = carOf(t, nil) })
	if p.Faults() > 0 || len(p.Records) != 3 {
		t.Fatalf("%s\n%s", rows(p), file.String())
	}
	for _, made := range p.Records {
		want := s.Record(made.ID).Body
		if part := want.(*record.Part); part.Value != "" {
			part.Value = ""
		}
		was, err1 := record.Encode(want)
		is, err2 := record.Encode(made.Body)
		if err1 != nil || err2 != nil || !bytes.Equal(was, is) {
			t.Errorf("%s was\n%sand came back as\n%s", made.ID, was, is)
		}
	}
	if got := rows(p); !strings.Contains(got, "left out: withdrawn by parts/wrong-away") || !strings.Contains(got, "left out: withdraws") {
		t.Error(got)
	}
}

// places is a path of each kind of record.
var places = []string{
	"ledger.json", "car.json", "parts/a.json", "joints/a.json", "systems/a.json", "existing/a.json", "work/2026-01-02-ines-a.json", "readings/2026-01-02-ines-a.json",
	"concerns/a.json", "settings/a.json", "codes/a.json", "papers/a.json", "signoffs/2026-01-02-ines-a.json", "transfers/2026-01-02-a.json", "people/lane/ines/person.json",
	"people/lane/ines/licence-a.json", "people/lane/ines/key-a.json", "people/lane/ines/key-a-ended.json", "instruments/lane/wrench/instrument.json",
	"instruments/lane/wrench/calibration-2026-01-02.json", "stores/lane/loft/store.json", "requirements/a.json",
}

// TestOfEveryKindAFormulaIsNeutralAndNamedAndComesBack writes a name that a spreadsheet would compute into a record of each kind.
func TestOfEveryKindAFormulaIsNeutralAndNamedAndComesBack(t *testing.T) {
	const formula = `=cmd|' /C calc'!A0`
	met := map[record.Kind]bool{}
	for i, kind := range record.Kinds() {
		s := carOf(t, map[string]string{places[i]: `{"kind": "` + string(kind) + `", "name": "` + formula + `"}`})
		l := List(s, kind)
		var file bytes.Buffer
		changed, err := table.Write(&file, l.Header, l.Rows)
		if err != nil || len(changed) != 1 || changed[0].Row != 1 {
			t.Errorf("%s: %v (%v)", kind, changed, err)
			continue
		}
		rows, err := csv.NewReader(&file).ReadAll()
		if err != nil || len(rows) != 2 {
			t.Fatalf("%s: %q (%v)", kind, rows, err)
		}
		for column, cell := range rows[1] {
			text, marks := table.Marked(cell)
			if strings.HasPrefix(cell, "=") || marks && (text != formula || rows[0][column] != changed[0].Column) {
				t.Errorf("%s: %s is %q", kind, rows[0][column], cell)
			}
			met[kind] = met[kind] || marks
		}
	}
	if len(met) != len(record.Kinds()) {
		t.Errorf("a formula was met in %v", met)
	}
}

func TestTheRowOfASignOffSaysItsPathAndTheOneItWasSignedUnder(t *testing.T) {
	s := carOf(t, map[string]string{"signoffs/2026-01-02-ines-a.json": `{"kind": "sign-off", "name": "A", "path": "signoffs/2026-01-02-ines-b.json"}`})
	if got, want := lines(List(s, record.KindSignOff)), `path|standing|corrected or withdrawn by|name|path as signed
signoffs/2026-01-02-ines-a|stands||A|signoffs/2026-01-02-ines-b.json
`; got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
}
