package requirement_test

import (
	"io/fs"
	"slices"
	"testing"
	"testing/fstest"

	"boltback/internal/requirement"
	"boltback/records"
)

// FuzzSet: whatever a file of a set holds, it is refused, or loads beside the shipped sets with every fault at a place in a file;
// each of its items then comes out with an outcome there is and a reason, and the same bytes give the same outcomes again.
func FuzzSet(f *testing.F) {
	names, err := fs.Glob(records.Requirements(), "*.json")
	if err != nil || len(names) == 0 {
		f.Fatal(err, names)
	}
	shipped := fstest.MapFS{}
	for _, name := range names {
		text, err := fs.ReadFile(records.Requirements(), name)
		if err != nil {
			f.Fatal(err)
		}
		shipped[name] = &fstest.MapFile{Data: text}
		f.Add(text)
	}
	f.Add([]byte(`{"kind": "requirement-set", "authority": "a", "edition": "1", "caution": "c", "builds-on": ["one", "heritage"], "overrides": [{"item": "heritage/age", "reason": "r", "until": "2030", "waived": "yes"}]}`))
	facts := factsOf(f, empty(f))
	f.Fuzz(func(t *testing.T, text []byte) {
		all := fstest.MapFS{"one.json": {Data: text}}
		for name, file := range shipped {
			all[name] = file
		}
		first := outcomesOf(t, all, facts)
		if again := outcomesOf(t, all, facts); !slices.Equal(first, again) {
			t.Errorf("%v, then %v", first, again)
		}
	})
}

// outcomesOf loads the set called one and asks it of a car of which nothing is recorded; nil where the set is refused.
func outcomesOf(t *testing.T, sets fs.FS, facts *requirement.Facts) []requirement.Outcome {
	set, err := requirement.NewLibrary(sets, nil, testDay).Load("one")
	if err != nil {
		if set != nil || err.Error() == "" {
			t.Errorf("refused with a set, or without a word: %v", err)
		}
		return nil
	}
	for _, found := range set.Findings {
		if found.File == "" || found.Line < 1 || found.Column < 1 || found.Message == "" {
			t.Errorf("a fault without its place: %+v", found)
		}
	}
	var outcomes []requirement.Outcome
	for _, r := range requirement.Assess(set, facts).Results {
		if r.Reason == "" || !slices.Contains(requirement.Outcomes(), r.Outcome) {
			t.Errorf("%s: %q, %q", r.Item.ID(), r.Outcome, r.Reason)
		}
		outcomes = append(outcomes, r.Outcome)
	}
	return outcomes
}
