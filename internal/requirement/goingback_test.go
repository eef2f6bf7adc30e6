package requirement_test

import (
	"strings"
	"testing"

	"boltback/records"
)

func TestItalyWarnsThatGoingBackMayBeBarredAndSaysHowThatIsKnown(t *testing.T) {
	lines := load(t, records.Requirements(), "it").GoingBack()
	if len(lines) != 1 {
		t.Fatalf("%d sentences", len(lines))
	}
	for _, words := range []string{"Going back may be barred", "decree 141", "second-hand", "Ask the authority: "} {
		if !strings.Contains(lines[0], words) {
			t.Errorf("%q is not in: %s", words, lines[0])
		}
	}
}

func TestASetThatKnowsNothingOfTheWayBackSaysNothing(t *testing.T) {
	if lines := load(t, records.Requirements(), "technical-baseline").GoingBack(); lines != nil {
		t.Errorf("%v", lines)
	}
}

func TestOneJurisdictionBarsLoosePartsWithAsbestosAndAnotherSaysNothingOfThem(t *testing.T) {
	lines := load(t, records.Requirements(), "uk").LooseAsbestos()
	if len(lines) != 1 {
		t.Fatalf("%d sentences", len(lines))
	}
	for _, words := range []string{"may be neither supplied nor fitted", "4 December 2023", "read", "Ask the authority: "} {
		if !strings.Contains(lines[0], words) {
			t.Errorf("%q is not in: %s", words, lines[0])
		}
	}
	if lines := load(t, records.Requirements(), "us-virginia").LooseAsbestos(); lines != nil {
		t.Errorf("%v", lines)
	}
}
