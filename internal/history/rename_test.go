package history

import (
	"fmt"
	"slices"
	"testing"
)

func TestARecordIsTakenForRenamedWhenMostOfItStayed(t *testing.T) {
	const a, b = "parts/a.json", "parts/b.json"
	five := func(name, mass, tag string) string {
		return fmt.Sprintf(`{"kind": "part", "name": %q, "mass": %q, "tag": %q, "found": "yes", "origin": "new", "class": "single"}`, name, mass, tag)
	}
	for _, tc := range []struct {
		name     string
		old, new string
		renamed  bool
	}{
		{"the same bytes", five("A", "1 kg", "1"), five("A", "1 kg", "1"), true},
		{"the same bytes, though few", `{"kind": "part"}`, `{"kind": "part"}`, true},
		{"five of six values", five("A", "1 kg", "1"), five("A", "2 kg", "1"), true},
		{"four of six values", five("A", "1 kg", "1"), five("A", "2 kg", "2"), true},
		{"three of six values", five("A", "1 kg", "1"), five("B", "2 kg", "2"), false},
		{"all values in another order", `{"kind": "part", "name": "A", "tag": "1"}`, `{"kind": "part", "tag": "1",  "name": "A"}`, true},
		{"two of three values are too few", `{"kind": "part", "name": "A", "tag": "1"}`, `{"kind": "part", "name": "A", "tag": "1", "zone": "z"}`, false},
		{"the same value in another member does not count", `{"kind": "part", "name": "A", "tag": "B", "maker": "C"}`, `{"kind": "part", "name": "B", "tag": "C", "maker": "A"}`, false},
		{"one that is much longer", `{"kind": "part", "name": "A", "tag": "1", "found": "yes"}`, five("A", "2 kg", "1"), false},
	} {
		t.Run(tc.name, func(t *testing.T) {
			changes := diff(t, files{a: tc.old}, files{b: tc.new})
			if got := changes[0].What == Renamed; got != tc.renamed {
				t.Errorf("got %q", listed(changes))
			}
		})
	}
}

func TestTheMostAlikeIsTheRenamedOne(t *testing.T) {
	three := func(note string) string {
		return `{"kind": "part", "name": "Lamp", "found": "yes", "origin": "new", "class": "single", "note": "` + note + `"}`
	}
	got := listed(diff(t, files{"parts/lamp.json": three("left")}, files{"parts/a.json": three("right"), "parts/b.json": three("left")}))
	want := []string{"part “Lamp” added", "part “Lamp” renamed from parts/lamp: 5 of 5 values are the same"}
	if !slices.Equal(got, want) {
		t.Errorf("got %q", got)
	}
}

func TestAnotherKindIsNotTakenForRenamed(t *testing.T) {
	changes := diff(t, files{"parts/a.json": `{"kind": "part", "name": "A", "note": "n", "zone": "z", "papers": ["papers/x"]}`},
		files{"joints/a.json": `{"kind": "joint", "name": "A", "note": "n", "zone": "z", "papers": ["papers/x"]}`})
	if len(changes) != 2 || changes[0].What != Removed || changes[1].What != Added {
		t.Errorf("got %q", listed(changes))
	}
}

func TestManyRenamedRecordsAreKnownByTheirBytes(t *testing.T) {
	old, now := files{}, files{}
	for i := range 250 { // 250 * 250 is more than mostPairs
		text := fmt.Sprintf(`{"kind": "part", "name": "Part %d", "found": "yes", "origin": "new", "class": "single"}`, i)
		old[fmt.Sprintf("parts/old-%d.json", i)] = text
		if i == 7 {
			text = text[:len(text)-1] + `, "tag": "7"}`
		}
		now[fmt.Sprintf("parts/new-%d.json", i)] = text
	}
	count := map[What]int{}
	for _, c := range diff(t, old, now) {
		count[c.What]++
	}
	if count[Renamed] != 249 || count[Added] != 1 || count[Removed] != 1 {
		t.Errorf("got %v", count)
	}
}

func TestAReferenceToARenamedRecordIsTheSameReference(t *testing.T) {
	lamp := `{"kind": "part", "name": "Lamp", "found": "yes", "origin": "new"}`
	for _, tc := range []struct {
		name     string
		old, new string
		want     []string
	}{
		{"alone", `{"kind": "part", "same-as": "parts/lamp"}`, `{"kind": "part", "same-as": "parts/head-lamp"}`,
			[]string{"same as parts/lamp → parts/head-lamp, the same record under its new name"}},
		{"in a set", `{"kind": "part", "contains": ["parts/lamp", "parts/x"]}`, `{"kind": "part", "contains": ["parts/x", "parts/head-lamp"]}`,
			[]string{"contains parts/lamp → parts/head-lamp, the same record under its new name"}},
		{"to another record", `{"kind": "part", "same-as": "parts/lamp"}`, `{"kind": "part", "same-as": "parts/x"}`,
			[]string{"same as parts/lamp → parts/x"}},
		{"from another record", `{"kind": "part", "same-as": "parts/x"}`, `{"kind": "part", "same-as": "parts/head-lamp"}`,
			[]string{"same as parts/x → parts/head-lamp"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			for _, c := range diff(t, files{"parts/lamp.json": lamp, "parts/box.json": tc.old}, files{"parts/head-lamp.json": lamp, "parts/box.json": tc.new}) {
				if c.Path == "parts/box.json" && !slices.Equal(sentences(c.Fields), tc.want) {
					t.Errorf("got %q, want %q", sentences(c.Fields), tc.want)
				}
			}
		})
	}
}
