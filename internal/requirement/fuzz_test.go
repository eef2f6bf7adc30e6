package requirement_test

import (
	"encoding/json"
	"testing"
	"testing/fstest"

	"boltback/internal/requirement"
)

// FuzzExpression: whatever stands in a test, the set loads, and the item is either faulty with its place or has an outcome; the
// item beside it is not touched.
func FuzzExpression(f *testing.F) {
	for _, seed := range []string{isolation, `traction.cases.all(c, c.bonding < q("0.1 Ω"))`, `years_passed(car.year, car.today, 30)`, `checks.ready_signal ? true : false`,
		`car.market in ["GB", "US"]`, `has(car.year)`, `(((((`, `"\u0000"`, `q("1 kg") - q("1 kg") > q("0 kg")`, `mass.total / car.gross_mass <= q("100 %")`, `[true].all(x, x)`,
		`!+(!`, `---Q---`, "\xff))u0))u", "n\x10>>>", `[true].al(lz, x)`, `car.arket in ["GB", "US"]`, `q("1)- q) kg"("1 kg") > `, "checks.ready_signal \xff true", `"\u003"`} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, test string) {
		quoted, err := json.Marshal(test)
		if err != nil || test == "" {
			t.Skip()
		}
		set, err := requirement.NewLibrary(fstest.MapFS{"one.json": file(`{"kind": "requirement-set", "authority": "nobody", "edition": "1", "caution": "none", "rule": "guard band U",
 "items": [{"item": "it", "title": "It", "asks": "It.", "test": ` + string(quoted) + `}, {"item": "other", "title": "Other", "asks": "Other.", "test": "checks.ready_signal"}]}`)}, nil, testDay).Load("one")
		if err != nil {
			t.Skip() // not UTF-8
		}
		results := requirement.Assess(set, factsOf(t, empty(t))).Results
		if results[1].Outcome != requirement.EvidenceMissing {
			t.Errorf("the other item is %s", results[1].Outcome)
		}
		if (results[0].Outcome == requirement.RuleError) != (len(set.Findings) > 0) && results[0].Reason == "" {
			t.Errorf("%s without a reason", results[0].Outcome)
		}
	})
}
