package sheet

import (
	"testing"

	"boltback/internal/record"
)

func TestPartsToGoOnComeWithTheirJointsAndBag(t *testing.T) {
	only := func(id record.Ref) bool { return id == "parts/tank" || id == "parts/shell" }
	list := FittingsFrom(car(t), "boot floor", only)
	want := FittingLine{Tag: "0111", Part: "Fuel tank ⚠ fuel", Position: "recess", Joint: "Tank stay; Tank flange", Fasteners: "split pin; 6 × 5/16 UNF S", Bag: "several"}
	if len(list) != 1 || list[0] != want {
		t.Errorf("%+v, want %+v alone: the shell is the car", list, want)
	}
	if list := FittingsFrom(car(t), "engine bay", only); len(list) != 0 {
		t.Errorf("of another zone: %+v", list)
	}
}
