package requirement

import (
	"testing"
	"testing/fstest"

	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/quantity"
	"boltback/internal/replay"
	"boltback/records"
)

// fill supplies a gap with a value of the type of its fact, as large as in full.
func fill(t *testing.T, g Gap, large bool) {
	t.Helper()
	if g.of == nil {
		t.Fatalf("the gap %q cannot be supplied", g.Sentence())
	}
	f, _ := g.of.subject.fact(g.name)
	var value any
	switch f.Kind {
	case YesNo:
		value = large
	case Text:
		value = "orange"
	case Whole:
		value = int64(4)
	case OnDay:
		value = edtf.MustParse("1967-03-14")
	case Figure:
		text := "1 ±0.001 "
		if large {
			text = "50000 ±1 "
		}
		value = []figure{{q: quantity.MustParse(text + f.Unit)}}
	case Several:
		for _, s := range Subjects() {
			if s.Name == f.Of {
				value = []*thing{{subject: s, name: "one of them", facts: map[string]known{}}}
			}
		}
	}
	g.of.facts[g.name] = known{value: value}
}

// TestSupplyingEveryNamedGapLeavesNothingMissing gives a car of which nothing is recorded what each outcome asks for, three
// times at the most: once for lists, once for what their entries lack, once for what comes to light with it.
func TestSupplyingEveryNamedGapLeavesNothingMissing(t *testing.T) {
	s, err := ledger.Load(fstest.MapFS{"ledger.json": {Data: []byte(`{"kind": "ledger", "edition": "1"}`)}})
	if err != nil {
		t.Fatal(err)
	}
	day := edtf.NewDay(2026, 6, 30)
	library := NewLibrary(records.Requirements(), nil, day)
	for _, name := range library.Names() {
		for _, large := range []bool{true, false} {
			set, err := library.Load(name)
			if err != nil {
				t.Fatal(err)
			}
			facts := Of(replay.Of(s), day)
			for range 3 {
				for _, r := range Assess(set, facts).Results {
					for _, g := range r.Gaps {
						if g.Kind != Close {
							fill(t, g, large)
						}
					}
				}
			}
			for _, r := range Assess(set, facts).Results {
				if r.Outcome == EvidenceMissing || r.Outcome == RuleError {
					t.Errorf("%s: %s, %s", r.Item.ID(), r.Outcome, r.Reason)
				}
			}
		}
	}
}

// TestEveryFactIsDeclaredInFull: each says what it is and what would settle it, a quantity its unit, a list its entries.
func TestEveryFactIsDeclaredInFull(t *testing.T) {
	byName := map[string]*Subject{}
	for _, s := range Subjects() {
		if byName[s.Name] != nil || s.Words == "" {
			t.Errorf("subject %s stands twice or without words", s.Name)
		}
		byName[s.Name] = s
	}
	for _, s := range byName {
		seen := map[string]bool{}
		for _, f := range s.Facts {
			if seen[f.Name] || f.Words == "" || f.Want == "" {
				t.Errorf("%s.%s stands twice, or lacks its words", s.Name, f.Name)
			}
			seen[f.Name] = true
			if f.Kind == Figure {
				if _, err := quantity.Parse("1 " + f.Unit); err != nil {
					t.Errorf("%s.%s: %v", s.Name, f.Name, err)
				}
			}
			if f.Kind == Several && (byName[f.Of] == nil || !byName[f.Of].Entry) {
				t.Errorf("%s.%s is a list of nothing", s.Name, f.Name)
			}
		}
	}
}
