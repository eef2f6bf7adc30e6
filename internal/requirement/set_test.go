package requirement_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"boltback/internal/edtf"
	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/requirement"
)

const baseSet = `{"kind": "requirement-set", "name": "Base", "authority": "nobody", "edition": "2", "caution": "none", "rule": "simple acceptance",
 "items": [{"item": "ready", "title": "Ready", "asks": "A ready signal.", "judge": "builder", "test": "checks.ready_signal"}]}`

// shop gives the shipped set "base" and a car with sets of its own.
func shop(t *testing.T, own map[string]string) *requirement.Library { return shopOn(t, own, testDay) }

func shopOn(t *testing.T, own map[string]string, day edtf.Day) *requirement.Library {
	t.Helper()
	fsys := empty(t)
	for name, text := range own {
		fsys["requirements/"+name+".json"] = file(text)
	}
	s, err := ledger.Load(fsys)
	if err != nil {
		t.Fatal(err)
	}
	for _, u := range s.AllUnread() {
		t.Fatal(u.Fault)
	}
	return requirement.NewLibrary(fstest.MapFS{"base.json": file(baseSet)}, s, day)
}

func own(rest string) string {
	return `{"kind": "requirement-set", "authority": "us", "edition": "1", "caution": "none", "rule": "simple acceptance", ` + rest + `}`
}

func codesOf(set *requirement.Set) []string {
	var codes []string
	for _, f := range set.Findings {
		codes = append(codes, f.Code)
	}
	return codes
}

func TestASetAsksWhatItBuildsOnFirst(t *testing.T) {
	library := shop(t, map[string]string{"ours": own(`"builds-on": ["base"], "items": [{"item": "more", "title": "More", "asks": "More.", "test": "checks.orange_cable"}]`)})
	set, err := library.Load("ours")
	if err != nil {
		t.Fatal(err)
	}
	if len(set.Items) != 2 || set.Items[0].ID() != "base/ready" || set.Items[1].ID() != "ours/more" || len(set.Findings) > 0 {
		t.Errorf("%d items, findings %v", len(set.Items), set.Findings)
	}
	if !slices.Equal(library.Names(), []string{"base", "ours"}) {
		t.Errorf("%v", library.Names())
	}
}

func TestASetReachedTwiceCountsOnceAndARingIsAFault(t *testing.T) {
	set, err := shop(t, map[string]string{"a": own(`"builds-on": ["base", "b"]`), "b": own(`"builds-on": ["base", "a"]`)}).Load("a")
	if err != nil {
		t.Fatal(err)
	}
	if len(set.Items) != 1 || !slices.Equal(codesOf(set), []string{"set-ring"}) {
		t.Errorf("%d items, %v", len(set.Items), set.Findings)
	}
}

func TestAChainOfSetsEnds(t *testing.T) {
	sets := map[string]string{}
	for i := range 20 {
		sets[fmt.Sprintf("s%d", i)] = own(fmt.Sprintf(`"builds-on": ["s%d"]`, i+1))
	}
	sets["s20"] = own(`"items": []`)
	set, err := shop(t, sets).Load("s0")
	if err != nil || !slices.Equal(codesOf(set), []string{"set-depth"}) {
		t.Errorf("%v, %v", err, set.Findings)
	}
}

func TestAnOverrideChangesAnItemForAWhileAndForAReason(t *testing.T) {
	sets := map[string]string{"ours": own(`"builds-on": ["base"], "overrides": [{"item": "base/ready", "reason": "the inspector looks at both", "until": "2026-12-31", "test": "checks.ready_signal && checks.leaving_signal"}]`)}
	set, err := shop(t, sets).Load("ours")
	if err != nil || len(set.Findings) > 0 {
		t.Fatal(err, set.Findings)
	}
	if it := set.Items[0]; it.Changed == nil || !strings.Contains(it.Test, "leaving_signal") || it.Changed.Reason == "" {
		t.Errorf("%+v", it)
	}
	later, err := shopOn(t, sets, edtf.NewDay(2027, 1, 1)).Load("ours")
	if err != nil || !slices.Equal(codesOf(later), []string{"override-unused"}) || later.Items[0].Changed != nil {
		t.Errorf("%v, %v", err, later.Findings)
	}
	if f := later.Findings[0]; f.Severity != finding.Warning || f.Line == 0 || !strings.Contains(f.Message, "2026-12-31") {
		t.Errorf("%v", f)
	}
}

func TestAWaivedItemSaysWhyAndUntilWhen(t *testing.T) {
	set, err := shop(t, map[string]string{"ours": own(`"builds-on": ["base"], "overrides": [{"item": "base/ready", "reason": "letter of the inspector of 2026-05-02", "until": "2026-12-31", "waived": "yes"}]`)}).Load("ours")
	if err != nil {
		t.Fatal(err)
	}
	r := requirement.Assess(set, factsOf(t, empty(t))).Results[0]
	if r.Outcome != requirement.Waived || !strings.Contains(r.Reason, "2026-12-31") || !strings.Contains(r.Reason, "letter of the inspector") {
		t.Errorf("%s: %s", r.Outcome, r.Reason)
	}
}

func TestUnusedOverridesAreReported(t *testing.T) {
	for name, over := range map[string]string{
		"no such item":    `{"item": "base/redy", "reason": "x", "until": "2026-12-31", "waived": "yes"}`,
		"changes nothing": `{"item": "base/ready", "reason": "x", "until": "2026-12-31", "test": "checks.ready_signal"}`,
		"no day":          `{"item": "base/ready", "reason": "x", "until": "someday", "waived": "yes"}`,
	} {
		set, err := shop(t, map[string]string{"ours": own(`"builds-on": ["base"], "overrides": [` + over + `]`)}).Load("ours")
		if err != nil || !slices.Equal(codesOf(set), []string{"override-unused"}) || set.Items[0].Waived {
			t.Errorf("%s: %v, %v", name, err, set.Findings)
		}
	}
}

func TestAPinnedSetUnlikeTheShippedOneSaysSoAtTheHead(t *testing.T) {
	for text, want := range map[string]string{
		strings.Replace(baseSet, `"edition": "2"`, `"edition": "1"`, 1):                  "edition 1, and the program ships edition 2",
		strings.Replace(baseSet, `"asks": "A ready signal."`, `"asks": "A signal."`, 1):  "with other words than the program ships",
		strings.Replace(baseSet, `"caution": "none"`, `"caution": "quite another"`, 1):   "with other words",
		strings.Replace(baseSet, `"authority": "nobody"`, `"authority": "somebody"`, 1):  "with other words",
		strings.Replace(baseSet, `"judge": "builder"`, `"judge": "competent person"`, 1): "with other words",
	} {
		sets := map[string]string{"base": text, "ours": own(`"builds-on": ["base"]`)}
		for _, name := range []string{"base", "ours"} {
			set, err := shop(t, sets).Load(name)
			if err != nil || len(set.Head) != 1 || !strings.Contains(set.Head[0], want) {
				t.Errorf("%s: %v, %q", name, err, set.Head)
			}
		}
	}
	same, err := shop(t, map[string]string{"base": baseSet}).Load("base")
	if err != nil || len(same.Head) != 0 {
		t.Errorf("%v, %q", err, same.Head)
	}
}

func TestASetOutOfForceSaysSoAtTheHead(t *testing.T) {
	for rest, want := range map[string]string{`"from": "2027-01-01"`: "in force from 2027-01-01", `"until": "2025-12-31"`: "until 2025-12-31", `"from": "2026-06-30", "until": "2026-06-30"`: ""} {
		set, err := shop(t, map[string]string{"ours": own(rest)}).Load("ours")
		if err != nil || (want == "") != (len(set.Head) == 0) || want != "" && !strings.Contains(set.Head[0], want) {
			t.Errorf("%s: %v, %q", rest, err, set.Head)
		}
	}
}

func TestFaultsOfASetAreFoundAtTheirPlace(t *testing.T) {
	for code, text := range map[string]string{
		"item-twice":      own(`"items": [{"item": "a", "title": "A", "asks": "A."}, {"item": "a", "title": "A", "asks": "A."}]`),
		"source-unknown":  own(`"items": [{"item": "a", "title": "A", "asks": "A.", "source": "r100"}]`),
		"rule-not-stated": `{"kind": "requirement-set", "authority": "us", "edition": "1", "caution": "none", "items": [{"item": "a", "title": "A", "asks": "A.", "test": "checks.ready_signal"}]}`,
		"set-unknown":     own(`"builds-on": ["bose"]`),
		"expression":      own(`"items": [{"item": "a", "title": "A", "asks": "A.", "test": "checks.redy"}]`),
	} {
		set, err := shop(t, map[string]string{"ours": text}).Load("ours")
		if err != nil || !slices.Equal(codesOf(set), []string{code}) || set.Findings[0].Line != 1 || set.Findings[0].File != "requirements/ours.json" {
			t.Errorf("%s: %v, %v", code, err, set.Findings)
		}
	}
	if _, err := shop(t, nil).Load("ours"); err == nil || err.Error() != "there is no requirement set called ours" {
		t.Errorf("%v", err)
	}
	if _, err := shop(t, nil).Load("../base"); err == nil {
		t.Error("a name is no path")
	}
}

func TestTheFormOfASetIsStrict(t *testing.T) {
	for _, text := range []string{`{"kind": "requirement-set", "items": 1}`, `{"kind": "requirement-set", "itmes": []}`, `{"kind": "part"}`, `[]`, `{"kind": "requirement-set", "kind": "requirement-set"}`} {
		if _, err := requirement.NewLibrary(fstest.MapFS{"x.json": file(text)}, nil, testDay).Load("x"); err == nil {
			t.Errorf("%s is taken", text)
		}
	}
}
