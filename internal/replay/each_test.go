package replay_test

import (
	"slices"
	"testing"

	"boltback/internal/record"
	"boltback/internal/replay"
)

func TestWhatALineSawIsWhatTheStateSaysWasSeenInIt(t *testing.T) {
	b := newBench("parts/shell")
	for _, p := range []record.Ref{"parts/a", "parts/b", "parts/c"} {
		b.part(p, record.Part{Found: "yes"})
	}
	crate := func(act string, parts ...record.Ref) record.Line {
		return record.Line{Act: act, Parts: parts, Store: "stores/w/loft", Place: "crate 1"}
	}
	sealed, unbroken := crate("move", "parts/a", "parts/b"), crate("sighting")
	sealed.Seal, unbroken.Seal = "sealed", "unbroken"
	b.work("work/2026-01-05-a-one", record.Session{Started: "2026-01-05", Lines: []record.Line{crate("removal", "parts/a", "parts/b"), sealed, {Act: "sighting", Parts: []record.Ref{"parts/c"}}, unbroken}})
	work := replay.Of(b.load())
	saw := [][]record.Ref{}
	work.Each(func(step replay.Step, _ replay.Line, state *replay.State, changed replay.Changed) {
		var want []record.Ref
		for _, p := range state.Parts() {
			if p.Seen == step {
				want = append(want, p.Ref)
			}
		}
		got := slices.Compact(slices.Sorted(slices.Values(changed.Seen)))
		if !slices.Equal(got, slices.Sorted(slices.Values(want))) {
			t.Errorf("step %d saw %v, and the state says %v", step, got, want)
		}
		saw = append(saw, got)
	})
	if len(saw) != 4 || !slices.Equal(saw[3], []record.Ref{"parts/a", "parts/b"}) {
		t.Errorf("%v", saw)
	}
}
