package entry

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"boltback/internal/ledger"
	"boltback/internal/record"
)

func TestC56_OffsideAndDriversSideAreLeftOrRightWithTheAssumptionShown(t *testing.T) {
	for _, tc := range []struct{ words, market, steering, side, assumed string }{
		{"left", "", "", "left", ""},
		{"LH", "", "", "left", ""},
		{"R.H. side", "", "", "right", ""},
		{"centre", "", "", "centre", ""},
		{"both", "", "", "both", ""},
		{"O/S", "GB", "", "right", "in GB traffic keeps left"},
		{"off-side", "IE", "", "right", "in IE traffic keeps left"},
		{"N/S", "GB", "", "left", "in GB traffic keeps left"},
		{"nearside", "US", "", "right", "in US traffic keeps right"},
		{"O/S", "DE", "", "left", "in DE traffic keeps right"},
		{"O/S", "", "", "", "depends on the country"},
		{"O/S", "home market", "", "", "depends on the country"},
		{"driver’s side", "GB", "right", "right", "steering on the right"},
		{"passenger side", "GB", "right", "left", "steering on the right"},
		{"driver", "GB", "unknown", "", "depends on the steering"},
	} {
		t.Run(tc.words+" "+tc.market, func(t *testing.T) {
			s, err := ledger.Load(fstest.MapFS{"ledger.json": {Data: []byte(`{"kind": "ledger", "edition": "1"}`)},
				"car.json": {Data: fmt.Appendf(nil, `{"kind": "car", "market": %q, "steering": %q}`, tc.market, tc.steering)}})
			if err != nil {
				t.Fatal(err)
			}
			side, assumed, ok := Context{Snapshot: s}.Side(tc.words)
			if !ok || side != tc.side || (assumed == "") != (tc.assumed == "") || !strings.Contains(assumed, tc.assumed) {
				t.Errorf("%q %q %v", side, assumed, ok)
			}
		})
	}
	for _, words := range []string{"", "UK RHD", "front", "o", "ns os", "leftover"} {
		if side, _, ok := (Context{Country: "GB"}).Side(words); ok {
			t.Errorf("%q is taken for %q", words, side)
		}
	}
	if side, _, _ := (Context{Country: "GB"}).Side("O/S"); side != "right" {
		t.Error("without a car the yard's country counts")
	}
}

func TestASlugIsAPieceOfAPathWhateverTheName(t *testing.T) {
	for name, want := range map[string]string{
		"Fuel tank": "fuel-tank", "  Head lamp, left (O/S) ": "head-lamp-left-o-s", "Kühler": "kuehler", "Driver's seat": "drivers-seat", "№ 5": "5", "!!!": "", "": "",
		strings.Repeat("long name ", 20): "long-name-long-name-long-name-long-name-long-nam",
	} {
		if got := Slug(name); got != want || got != "" && !record.IsSlug(got) {
			t.Errorf("%q becomes %q, want %q", name, got, want)
		}
	}
}
