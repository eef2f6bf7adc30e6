package dossier_test

import (
	"strings"
	"testing"
	"testing/fstest"

	"boltback/internal/doc"
	"boltback/internal/dossier"
	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/replay"
	"boltback/internal/requirement"
)

const smallSet = `{"kind": "requirement-set", "name": "Small", "authority": "nobody", "edition": "1", "caution": "Made for a test.", "rule": "guard band U",
 "sources": [{"key": "s", "document": "A text", "basis": "recalled"}], "items": [
 {"item": "iso", "title": "Isolation", "asks": "Enough of it.", "source": "s", "clause": "7", "test": "insulation.joined >= q(\"500 Ω/V\")", "judge": "builder", "bring": ["test sheet"], "remedy": "Dry it.", "ask": "How much?"},
 {"item": "ready", "title": "Ready", "asks": "A signal.", "source": "s", "clause": "8", "test": "checks.ready_signal", "judge": "builder", "bring": ["test sheet"], "remedy": "Set it up."},
 {"item": "look", "title": "Look", "asks": "Somebody looks.", "judge": "inspector", "bring": ["the car"], "remedy": "none"}]}`

func smallAssessment(t *testing.T, value string) *requirement.Assessment {
	t.Helper()
	fsys := fstest.MapFS{"ledger.json": {Data: []byte(`{"kind": "ledger", "edition": "1"}`)},
		"readings/2026-04-01-a.json": {Data: []byte(`{"kind": "reading", "what": "insulation", "on": "2026-04-01", "values": [{"of": "to chassis", "value": "` + value + `", "poles": "bridged"}],
 "insulation": {"circuit": "joined", "state": "dead", "test-voltage": "500 V", "working-voltage": "400 V"}}`)}}
	s, err := ledger.Load(fsys)
	if err != nil {
		t.Fatal(err)
	}
	day := edtf.NewDay(2026, 6, 30)
	set, err := requirement.NewLibrary(fstest.MapFS{"small.json": {Data: []byte(smallSet)}}, nil, day).Load("small")
	if err != nil {
		t.Fatal(err)
	}
	return requirement.Assess(set, requirement.Of(replay.Of(s), day))
}

// wordsOf gives all text of a section.
func wordsOf(t *testing.T, s *doc.Section) string {
	t.Helper()
	var b strings.Builder
	if err := doc.Walk([]doc.Block{s}, func(block doc.Block, _ int) error {
		for _, text := range doc.Texts(block) {
			b.WriteString(text.String() + "\n")
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestARequirementsPageSaysWhatEachOutcomeRestsOn(t *testing.T) {
	words := wordsOf(t, dossier.Requirements(smallAssessment(t, "0.3 ±0.01 MΩ")))
	for _, want := range []string{"the car was not examined", "Made for a test.", "1 evidence missing, 1 for the inspector, 1 met", "A text, 7 (recalled)", "small, edition 1", "guard band U, fixed by the set",
		"below 0.01 %", "readings/2026-04-01-a", "Would settle it: a function test", "Test sheet: for Isolation, Ready (evidence missing)", "How much? (Isolation)"} {
		if !strings.Contains(words, want) {
			t.Errorf("%q is not said in\n%s", want, words)
		}
	}
}

func TestWhatFlippedIsNamedOnBothSides(t *testing.T) {
	a, b := smallAssessment(t, "0.3 ±0.01 MΩ"), smallAssessment(t, "0.1 ±0.01 MΩ")
	words := wordsOf(t, dossier.Flipped(a, b, requirement.Compare(a, b), requirement.Divide(a, b)))
	for _, want := range []string{"Isolation", "met: ", "not met: ", "A text, 7", "One reading, met here and not there", "readings/2026-04-01-a", "Isolation (small): insulation"} {
		if !strings.Contains(words, want) {
			t.Errorf("%q is not said in\n%s", want, words)
		}
	}
	if same := requirement.Compare(a, a); len(same) != 0 {
		t.Errorf("an assessment flips against itself: %v", same)
	}
}
