package app

import (
	"slices"
	"testing"
	"testing/fstest"

	"boltback/internal/ledger"
)

func TestATagIsReadWithAndWithoutItsCheckCharacter(t *testing.T) {
	for written, want := range map[string]int{"0109": 109, "0109-8": 109, "01098": 109, " 0109 8 ": 109, "12345": 12345, "1": -1, "crate 1": -1, "0190-8": -1, "": -1, "99999999999": -1} {
		n, ok := numberOf(written)
		if !ok {
			n = -1
		}
		if n != want {
			t.Errorf("%q is number %d, want %d", written, n, want)
		}
	}
}

func TestOnlyWordsThatAddUpAreTagsInFreeText(t *testing.T) {
	if got := tagWords("crate 0109-8, rail 2; 0190-8: 2026-05-26 01098"); !slices.Equal(got, []string{"0109-8"}) {
		t.Errorf("%q", got)
	}
}

func TestWhatIsPrintedStaysInUseWhetherItsRecordCountsOrNot(t *testing.T) {
	fsys := fstest.MapFS{}
	for name, text := range map[string]string{
		"ledger.json":                    `{"kind": "ledger", "edition": "1", "workshop": "tallow-lane"}`,
		"parts/tank.json":                `{"kind": "part", "name": "Fuel tank", "tag": "0111"}`,
		"parts/tank-gone.json":           `{"kind": "part", "withdraws": "parts/tank", "reason": "never was"}`,
		"joints/tank.json":               `{"kind": "joint", "name": "Tank flange", "fasteners": [{"size": "M6", "bag": "0213"}]}`,
		"work/2025-09-16-ines-tank.json": `{"kind": "session", "name": "Tank", "lines": [{"act": "removal", "parts": ["parts/tank"], "tag": "0112", "bag": "0214", "place": "crate 0301-X"}, {"act": "move", "place": "crate 0109-8"}]}`,
		"inbox/a.json":                   `{"kind": "part", "fields": {"tag": "0700"}, "lacks": ["name"]}`,
		"inbox/b.json":                   `not JSON`,
	} {
		fsys[name] = &fstest.MapFile{Data: []byte(text)}
	}
	s, err := ledger.Load(fsys)
	if err != nil {
		t.Fatal(err)
	}
	used := numbersIn(s)
	for _, n := range []int{111, 112, 213, 214, 109, 700} {
		if !used[n] {
			t.Errorf("%d is not in use", n)
		}
	}
	if used[301] {
		t.Error("0301-X does not add up and is in use all the same")
	}
	if next := nextNumber(used); next != 701 {
		t.Errorf("the next is %d", next)
	}
	if next := nextNumber(nil); next != 1 {
		t.Errorf("the first is %d", next)
	}
}
