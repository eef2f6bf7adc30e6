package requirement_test

import (
	"encoding/json"
	"io/fs"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"boltback/internal/requirement"
	"boltback/records"
)

// TestBreakingAnItemsTestIsCaughtByItsRecords breaks the expression of every item in every way that breakages knows, one at a
// time: some record of the item's fixture, or the empty car, must then come out differently.
func TestBreakingAnItemsTestIsCaughtByItsRecords(t *testing.T) {
	for _, name := range names(t) {
		set := load(t, records.Requirements(), name)
		nothing := factsOf(t, empty(t))
		for _, it := range set.Items {
			if it.Test == "" || it.Set != name {
				continue
			}
			cars := variants(t, it.Set, it.RequirementItem.Item)
			broken := breakages(it.Test)
			if len(broken) == 0 {
				t.Errorf("%s: nothing in %s can be broken", it.ID(), it.Test)
			}
			for _, test := range broken {
				mutant := load(t, withTest(t, name, it.RequirementItem.Item, test), name)
				if !differs(t, mutant, it.ID(), cars, nothing) {
					t.Errorf("%s: no record of its fixture notices that its test became\n%s", it.ID(), test)
				}
			}
		}
	}
}

// TestBreakingToWhichCarsAnItemAppliesIsCaughtByItsRecords does the same to the expression that says which cars are asked.
func TestBreakingToWhichCarsAnItemAppliesIsCaughtByItsRecords(t *testing.T) {
	broken := 0
	for _, name := range names(t) {
		set := load(t, records.Requirements(), name)
		nothing := factsOf(t, empty(t))
		for _, it := range set.Items {
			if it.Applies == "" || it.Test == "" || it.Set != name {
				continue
			}
			cars := variants(t, it.Set, it.RequirementItem.Item)
			for _, applies := range []string{"!(" + it.Applies + ")", "true", "false"} {
				if broken++; !differs(t, load(t, withMember(t, name, it.RequirementItem.Item, "applies", applies), name), it.ID(), cars, nothing) {
					t.Errorf("%s: no record of its fixture notices that it applies where\n%s", it.ID(), applies)
				}
			}
		}
	}
	if broken == 0 {
		t.Error("no item is asked of some cars alone")
	}
}

// differs reports whether any car comes out otherwise than its name states. A test that no longer compiles is noticed too.
func differs(t *testing.T, set *requirement.Set, id string, cars map[string]*requirement.Facts, nothing *requirement.Facts) bool {
	for variant, facts := range cars {
		if r := only(t, set, facts, id); r.Outcome != expected(variant) {
			return true
		}
	}
	return only(t, set, nothing, id).Outcome != requirement.EvidenceMissing
}

var figureInTest = regexp.MustCompile(`q\("(-?[0-9.]+) `)

// breakages lists an expression with one thing in it broken: a comparison turned round, and for or, all for exists, a negation
// put before a fact, a limit ten times or a tenth of what it was, and the whole of it turned round or made constant.
func breakages(test string) []string {
	list := []string{"!(" + test + ")", "true", "false"}
	for from, to := range map[string]string{" >= ": " <= ", " <= ": " >= ", " > ": " < ", " < ": " > ", " && ": " || ", " || ": " && ", " == ": " != ", " != ": " == ",
		".all(": ".exists(", ".exists(": ".all("} {
		for at := range strings.Count(test, from) {
			list = append(list, replaceNth(test, from, to, at))
		}
	}
	for _, m := range figureInTest.FindAllStringSubmatchIndex(test, -1) {
		for _, digits := range []string{test[m[2]:m[3]] + "0", "0.0" + strings.TrimPrefix(test[m[2]:m[3]], "0.")} {
			if strings.Contains(test[m[2]:m[3]], ".") && strings.HasSuffix(digits, "0") {
				digits = "1" + test[m[2]:m[3]]
			}
			list = append(list, test[:m[2]]+digits+test[m[3]:])
		}
	}
	return list
}

func replaceNth(s, from, to string, n int) string {
	at := 0
	for {
		i := strings.Index(s[at:], from)
		if i < 0 {
			return s
		}
		if at += i; n == 0 {
			return s[:at] + to + s[at+len(from):]
		}
		n--
		at += len(from)
	}
}

// withTest gives the shipped sets with the test of one item replaced.
func withTest(t *testing.T, name, item, test string) fs.FS {
	t.Helper()
	return withMember(t, name, item, "test", test)
}

// withMember gives the shipped sets with an expression of one item replaced.
func withMember(t *testing.T, name, item, member, expression string) fs.FS {
	t.Helper()
	fsys := fstest.MapFS{}
	for _, n := range names(t) {
		text, err := fs.ReadFile(records.Requirements(), n+".json")
		if err != nil {
			t.Fatal(err)
		}
		if n == name {
			var set map[string]any
			if err := json.Unmarshal(text, &set); err != nil {
				t.Fatal(err)
			}
			for _, raw := range set["items"].([]any) {
				if it := raw.(map[string]any); it["item"] == item {
					it[member] = expression
				}
			}
			if text, err = json.Marshal(set); err != nil {
				t.Fatal(err)
			}
		}
		fsys[n+".json"] = &fstest.MapFile{Data: text}
	}
	return fsys
}
