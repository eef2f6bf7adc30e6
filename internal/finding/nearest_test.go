package finding

import "testing"

func TestNearestNamesTheOneMostLikelyMeant(t *testing.T) {
	names := []string{"parts/fuel-tank", "parts/fuel-pump", "parts/radiator", "parts/engine"}
	for _, tc := range []struct{ name, typed, want string }{
		{"a letter left out", "parts/fuel-tnk", "parts/fuel-tank"},
		{"two letters swapped", "parts/raidator", "parts/radiator"},
		{"a letter too many", "parts/enginee", "parts/engine"},
		{"capitals are not counted", "parts/Engine", "parts/engine"},
		{"the end left out", "parts/radia", "parts/radiator"},
		{"nothing near", "stores/loft", ""},
		{"the name itself is no suggestion", "parts/engine", ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if got := Nearest(tc.typed, names); got != tc.want {
				t.Errorf("Nearest(%q) = %q, want %q", tc.typed, got, tc.want)
			}
		})
	}
}
