package requirement_test

import (
	"fmt"
	"io/fs"
	"runtime"
	"strings"
	"testing"
	"testing/fstest"

	"boltback/internal/ledger"
	"boltback/internal/requirement"
)

// setOf gives a file system with one set of one item.
func setOf(test string) fs.FS {
	return fstest.MapFS{"one.json": {Data: []byte(fmt.Sprintf(`{"kind": "requirement-set", "authority": "nobody", "edition": "1", "caution": "none", "rule": "guard band U",
  "items": [{"item": "it", "title": "It", "asks": "It.", "test": %q}, {"item": "other", "title": "Other", "asks": "Other.", "test": "checks.ready_signal"}]}`, test))}}
}

// ask gives the result of one expression for a car.
func ask(t testing.TB, test string, files fstest.MapFS) requirement.Result {
	t.Helper()
	fsys := empty(t)
	for name, f := range files {
		fsys[name] = f
	}
	if asked[test] == nil {
		asked[test] = load(t, setOf(test), "one")
	}
	return only(t, asked[test], factsOf(t, fsys), "one/it")
}

// asked keeps the sets of ask, so that properties compile an expression once.
var asked = map[string]*requirement.Set{}

func file(text string) *fstest.MapFile { return &fstest.MapFile{Data: []byte(text)} }

func TestHostileExpressionsAreRefusedWithTheirPosition(t *testing.T) {
	deep := strings.Repeat("!(", 400) + "true" + strings.Repeat(")", 400)
	wide := "true" + strings.Repeat(" && true", 300)
	cases := map[string]struct {
		test    string
		message string
		column  int // in the expression, from 0
	}{
		"nesting":                {deep, "", 0},
		"many nodes":             {wide, "", 0},
		"too long":               {"true || " + strings.Repeat("false || ", 300) + "true", "characters", 2000},
		"a text pattern":         {`car.market.matches("(a*)*b")`, "matches", 18},
		"an unknown function":    {`true && launch()`, `"launch"`, 14},
		"an unknown subject":     {`carr.seats > 1`, `"carr"`, 0},
		"an unknown fact":        {`checks.redy_signal`, `"redy_signal"`, 6},
		"a presence test":        {`has(car.market)`, `"has"`, 3},
		"no expression":          {`car.seats >`, "no expression", 11},
		"no yes or no":           {`car.seats`, "no yes or no", 0},
		"a quantity by its text": {`insulation.joined > "500 Ω/V"`, "", 18},
		"a quantity with ==":     {`insulation.joined == q("500 Ω/V")`, "not compared with ==", 18},
		"a bad quantity":         {`insulation.joined > q("500 ohmz")`, "", 21},
		"a bad day":              {`car.year < day("2026-02-30")`, "2026-02-28", 14},
		"lists in lists":         {`traction.cases.all(a, traction.cases.all(b, traction.cases.all(c, a.name == b.name || b.name == c.name)))`, "", 66},
		"a conversion":           {`int("1") == 1`, `"int"`, 3},
		"arithmetic on numbers":  {`car.seats + 1 > 2`, "", 10},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			set := load(t, setOf(c.test), "one")
			if len(set.Findings) != 1 {
				t.Fatalf("findings: %v", set.Findings)
			}
			f := set.Findings[0]
			if f.Line != 2 || !strings.Contains(f.Message, c.message) || f.Message == "" {
				t.Errorf("%v", f)
			}
			if from := strings.Index(`  "items": [{"item": "it", "title": "It", "asks": "It.", "test": "`, `"test": "`) + len(`"test": "`) + 1; c.column > 0 && c.message != "" && !strings.Contains(c.test[:min(len(c.test), c.column)], `"`) && f.Column != from+c.column {
				t.Errorf("column %d, want %d", f.Column, from+c.column)
			}
			results := requirement.Assess(set, factsOf(t, empty(t))).Results
			if results[0].Outcome != requirement.RuleError || results[1].Outcome != requirement.EvidenceMissing {
				t.Errorf("the faulty item gives %s, the other %s", results[0].Outcome, results[1].Outcome)
			}
		})
	}
}

func TestAnEndlessComprehensionStopsAtItsCostAndIsNoPass(t *testing.T) {
	files := fstest.MapFS{}
	for i := range 600 {
		files[fmt.Sprintf("parts/p%d.json", i)] = file(fmt.Sprintf(`{"kind": "part", "name": "Box %d", "found": "no", "class": "single", "hazards": ["high voltage"]}`, i))
	}
	files["work/2026-03-14-ada-in.json"] = file(`{"kind": "session", "by": "people/reed-wharf/ada", "started": "2026-03-14", "lines": [{"act": "fitting", "parts": [` + list(600) + `]}]}`)
	r := ask(t, `traction.cases.all(a, traction.cases.all(b, a.name == b.name || a.name != b.name))`, files)
	if r.Outcome != requirement.RuleError || !strings.Contains(r.Reason, "cost") {
		t.Errorf("%s: %s", r.Outcome, r.Reason)
	}
}

func list(n int) string {
	var refs []string
	for i := range n {
		refs = append(refs, fmt.Sprintf(`"parts/p%d"`, i))
	}
	return strings.Join(refs, ", ")
}

// TestHostileExpressionsTakeBoundedMemory: whatever a set of the longest allowed size holds, refusing it, or asking it of a car with
// many parts, allocates no more than some tens of megabytes.
func TestHostileExpressionsTakeBoundedMemory(t *testing.T) {
	const most = 32 << 20
	fsys := empty(t)
	for i := range 150 {
		fsys[fmt.Sprintf("parts/p%d.json", i)] = file(`{"kind": "part", "name": "Box", "found": "no", "class": "single", "hazards": ["high voltage"]}`)
	}
	fsys["work/2026-03-14-ada-in.json"] = file(`{"kind": "session", "by": "people/reed-wharf/ada", "started": "2026-03-14", "lines": [{"act": "fitting", "parts": [` + list(150) + `]}]}`)
	facts := factsOf(t, fsys)
	for name, test := range map[string]string{
		"nesting":         strings.Repeat("(", 1000) + "true" + strings.Repeat(")", 990),
		"negations":       strings.Repeat("!", 1990) + "false",
		"conditions":      strings.Repeat("true ? ", 280) + "true",
		"literals":        "car.market in [" + strings.TrimSuffix(strings.Repeat(`"GB", `, 320), ", ") + "]",
		"a long text":     `car.market == "` + strings.Repeat("x", 1900) + `"`,
		"a long quantity": `car.power > q("` + strings.Repeat("9", 1900) + ` kW")`,
		"comprehensions":  `traction.cases.all(a, traction.cases.all(b, a.name == b.name && ` + strings.TrimSuffix(strings.Repeat("a.name == b.name && ", 60), " && ") + `))`,
		"filters":         "traction.cases" + strings.Repeat(".filter(c, true)", 100) + ".size() > 0",
	} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		r := requirement.Assess(load(t, setOf(test), "one"), facts).Results[0]
		runtime.ReadMemStats(&after)
		if taken := after.TotalAlloc - before.TotalAlloc; taken > most {
			t.Errorf("%s: %d MB were taken", name, taken>>20)
		}
		if r.Outcome == requirement.Met {
			t.Errorf("%s is met", name)
		}
	}
}

func TestAnErrorOfARuleIsNeverAPass(t *testing.T) {
	weighed := fstest.MapFS{"car.json": file(`{"kind": "car", "name": "Larkspur", "seats": 2, "ratings": [{"of": "gross mass", "value": "1280 kg"}]}`)}
	for _, test := range []string{`car.gross_mass < q("5 V")`, `car.gross_mass < q("5 V") || true`, `true || car.gross_mass < q("5 V") || car.seats == 2`, `!(car.gross_mass < q("5 V")) || car.seats == 2`, `car.gross_mass < q("5 V") || car.seats == 2`} {
		if r := ask(t, test, weighed); r.Outcome != requirement.RuleError && !strings.HasPrefix(test, "true") {
			t.Errorf("%s: %s (%s)", test, r.Outcome, r.Reason)
		}
	}
}

func TestAbsentFactsAreUnknownAlsoInsideLists(t *testing.T) {
	a, b := `{"kind": "part", "name": "Inverter", "found": "no", "class": "single", "hazards": ["high voltage"]}`, `{"kind": "part", "name": "Charger", "found": "no", "class": "single", "hazards": ["high voltage"]}`
	files := fstest.MapFS{"parts/a.json": file(a), "parts/b.json": file(b),
		"work/2026-03-14-ada-in.json": file(`{"kind": "session", "by": "people/reed-wharf/ada", "started": "2026-03-14", "lines": [{"act": "fitting", "parts": ["parts/a", "parts/b"]}]}`),
		"readings/2026-04-01-ada-bonding.json": file(`{"kind": "reading", "what": "bonding", "on": "2026-04-01", "values": [{"of": "inverter case", "value": "0.05 ±0.001 Ω"}],
 "bonding": {"current": "1 A", "resolution": "0.001 Ω"}}`)}
	r := ask(t, `traction.cases.all(c, c.bonding < q("0.1 Ω"))`, files)
	if r.Outcome != requirement.EvidenceMissing || len(r.Gaps) != 1 || !strings.Contains(r.Gaps[0].Fact, "Charger") {
		t.Errorf("all: %s, %v", r.Outcome, r.Gaps)
	}
	if r = ask(t, `traction.cases.exists(c, c.bonding < q("0.1 Ω"))`, files); r.Outcome != requirement.Met {
		t.Errorf("exists: %s, %v", r.Outcome, r.Gaps)
	}
	if r = ask(t, `traction.cases.exists(c, c.bonding > q("0.1 Ω"))`, files); r.Outcome != requirement.EvidenceMissing {
		t.Errorf("exists, none known: %s, %v", r.Outcome, r.Gaps)
	}
	if r = ask(t, `traction.colour != "black"`, files); r.Outcome != requirement.EvidenceMissing {
		t.Errorf("what nobody recorded is not unlike anything: %s", r.Outcome)
	}
}

func TestTooCloseIsAnUnknownOfItsOwnThroughLogic(t *testing.T) {
	near := fstest.MapFS{"readings/2026-04-01-ada-insulation.json": file(`{"kind": "reading", "what": "insulation", "on": "2026-04-01", "values": [{"of": "to chassis", "value": "0.201 ±0.01 MΩ", "poles": "bridged"}],
 "insulation": {"circuit": "joined", "state": "dead", "test-voltage": "500 V", "working-voltage": "400 V"}}`)}
	for test, want := range map[string]requirement.Outcome{
		`insulation.joined >= q("500 Ω/V")`:                                   requirement.TooClose,
		`!(insulation.joined >= q("500 Ω/V"))`:                                requirement.TooClose,
		`insulation.joined >= q("500 Ω/V") && true`:                           requirement.TooClose,
		`insulation.joined >= q("500 Ω/V") || true`:                           requirement.Met,
		`insulation.joined >= q("500 Ω/V") && false`:                          requirement.NotMet,
		`insulation.joined >= q("500 Ω/V") && checks.ready_signal`:            requirement.EvidenceMissing,
		`q("500 Ω/V") <= insulation.joined`:                                   requirement.TooClose,
		`insulation.joined >= q("100 Ω/V")`:                                   requirement.Met,
		`insulation.joined > q("1000 Ω/V")`:                                   requirement.NotMet,
		`insulation.joined < q("500 Ω/V") || insulation.joined > q("1 kΩ/V")`: requirement.TooClose,
	} {
		if r := ask(t, test, near); r.Outcome != want {
			t.Errorf("%s: %s (%s)", test, r.Outcome, r.Reason)
		}
	}
}

func TestOnlyTheSetsAskedForAreCompiled(t *testing.T) {
	sets := fstest.MapFS{"good.json": file(`{"kind": "requirement-set", "authority": "nobody", "edition": "1", "caution": "none", "items": []}`), "bad.json": file(`{"kind": "requirement-set"`)}
	library := requirement.NewLibrary(sets, ledger.Empty(), testDay)
	if _, err := library.Load("good"); err != nil {
		t.Error(err)
	}
	if _, err := library.Load("bad"); err == nil || !strings.Contains(err.Error(), "bad.json") {
		t.Errorf("%v", err)
	}
}
