package gitstore

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TestAChangedIndexHoldsEachPathOnceInOrder holds many changes at once against a plain list of what each path has by then.
func TestAChangedIndexHoldsEachPathOnceInOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		path := rapid.SampledFrom([]string{"a", "a.json", "a/b", "a/b.json", "b", "ab", "c"})
		ix, want := &gitIndex{}, map[string]byte{}
		for id := range byte(rapid.IntRange(1, 4).Draw(t, "rounds")) {
			var entries []indexEntry
			var gone []string
			for _, name := range rapid.SliceOfNDistinct(path, 0, 5, rapid.ID).Draw(t, "paths") {
				if rapid.Bool().Draw(t, "gone") {
					gone = append(gone, name)
					delete(want, name)
					continue
				}
				entries, want[name] = append(entries, newIndexEntry(name, Hash{id}, modeFile, fileStat{})), id
			}
			ix.change(entries, gone)
		}
		var names []string
		for _, e := range ix.entries {
			names = append(names, e.name)
			if id, ok := want[e.name]; !ok || e.fixed[idAt] != id {
				t.Fatalf("%s is not as it was put last", e.name)
			}
		}
		if len(names) != len(want) || !slices.IsSortedFunc(names, strings.Compare) {
			t.Fatalf("%q, and %d paths are wanted", names, len(want))
		}
	})
}
