package history

import (
	"fmt"
	"testing"

	"boltback/internal/ledger"
	"boltback/internal/record"
)

// bigCar has n parts and sessions; change is put into the name of one of them.
func bigCar(b *testing.B, n int, change string) *ledger.Snapshot {
	all := files{}
	for i := range n {
		name := ""
		if i == n/2 {
			name = change
		}
		if i%2 == 0 {
			all[fmt.Sprintf("parts/part-%d.json", i)] = part(fmt.Sprintf(`"mass": "%d kg", "note": %q`, i, name))
		} else {
			all[fmt.Sprintf("work/2026-03-02-ines-%d.json", i)] = session(fmt.Sprintf(`"note": %q, "lines": [{"act": "removal", "parts": ["parts/part-%d"]}]`, name, i-1))
		}
	}
	return car(b, all)
}

func BenchmarkOneOfManyRecordsChanged(b *testing.B) {
	for _, n := range []int{300, 3_000, 30_000} {
		x, y := bigCar(b, n, "a"), bigCar(b, n, "b")
		b.Run(fmt.Sprint("diff of ", n), func(b *testing.B) {
			for b.Loop() {
				if changes, err := Diff(x, y); err != nil || len(changes) != 1 {
					b.Fatal(changes, err)
				}
			}
		})
		b.Run(fmt.Sprint("digests of ", n), func(b *testing.B) {
			for b.Loop() {
				apart := 0
				for _, kind := range record.Kinds() {
					for _, r := range x.OfKind(kind) {
						if other := y.Record(r.ID); other == nil || other.Digest != r.Digest {
							apart++
						}
					}
				}
				if apart != 1 {
					b.Fatal(apart)
				}
			}
		})
	}
}

func BenchmarkAThousandLinesWithOneInserted(b *testing.B) {
	list := func(insert bool) string {
		text := ""
		for i := range 1000 {
			if text != "" {
				text += ", "
			}
			if insert && i == 3 {
				text += `{"act": "drain", "system": "systems/fuel"}, `
			}
			text += fmt.Sprintf(`{"act": "removal", "parts": ["parts/p%d"]}`, i)
		}
		return session(`"lines": [` + text + `]`)
	}
	pairs := []Pair{{"work/2026-03-02-ines-x.json", []byte(list(false)), []byte(list(true))}}
	for b.Loop() {
		if changes := DiffFiles(pairs, nil); len(changes) != 1 || len(changes[0].Fields) != 1 {
			b.Fatal(listed(changes))
		}
	}
}

func BenchmarkTimelineOfAHundredVersions(b *testing.B) {
	var versions []Version
	for i := range 100 {
		versions = append(versions, Version{Revision: revision(b, fmt.Sprint(i), "2026-03-02T10:00:00Z"), Path: "parts/tank.json",
			Bytes: []byte(part(fmt.Sprintf(`"mass": "%d kg"`, i)))})
	}
	for b.Loop() {
		if got := len(Timeline(versions, 7)); got != len(versions) {
			b.Fatal(got)
		}
	}
}
