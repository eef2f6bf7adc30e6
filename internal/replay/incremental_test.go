package replay_test

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"boltback/internal/edtf"
	"boltback/internal/record"
	"boltback/internal/replay"
)

// fullText is a state with everything a reader can ask of it.
func fullText(s *replay.State) string {
	var b strings.Builder
	for _, p := range s.Parts() {
		fmt.Fprintf(&b, "%v %v %v %v since %v seen %v %v missed %v inside %v marks %v ends %v touched %v\n", p.Ref, p.Found, p.Where, p.Station,
			name(s, p.Since), name(s, p.Seen), p.Sealed, name(s, p.Missed), p.Inside, len(p.Marks), p.Ends, name(s, p.Touched))
	}
	for _, j := range s.Joints() {
		fmt.Fprintf(&b, "%v %v %v since %v tightened %v\n", j.Ref, j.Original, j.Done, name(s, j.Since), name(s, j.Tightened))
	}
	for _, d := range s.Doubts() {
		fmt.Fprintln(&b, d.Code, d.Thing, d.Text)
	}
	fmt.Fprintln(&b, s.Fills(), s.Car)
	return b.String()
}

func name(s *replay.State, n replay.Step) string {
	l, ok := s.Line(n)
	if !ok {
		return "-"
	}
	return fmt.Sprintf("%s#%d", l.Place.ID, l.Index)
}

func TestABackDatedSessionGivesWhatReplayingAllOfItGives(t *testing.T) {
	defer replay.KeepEvery(2)()
	taken, runs := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		c := drawCar(t)
		whole := c.files
		less := maps.Clone(whole)
		names := slices.Sorted(maps.Keys(whole))
		sessions := names[slices.IndexFunc(names, func(n string) bool { return strings.HasPrefix(n, "work/") }):]
		delete(less, rapid.SampledFrom(sessions).Draw(t, "entered later"))
		before, after := replay.Of((&bench{less}).load()), c.load()
		got, want := before.With(after), replay.Of(after)
		if fullText(got.Now()) != fullText(want.Now()) {
			t.Fatalf("taken over\n%s\n--- replayed\n%s", fullText(got.Now()), fullText(want.Now()))
		}
		for _, day := range []string{"2026-03-01", "2026-03-02", "2026-03-03"} {
			d, _ := edtf.ParseDay(day)
			if fullText(got.On(d)) != fullText(want.On(d)) {
				t.Fatalf("on %s\n%s\n--- replayed\n%s", day, fullText(got.On(d)), fullText(want.On(d)))
			}
		}
		runs++
		count(&taken, got.Kept() > 2)
	})
	if taken*4 < runs {
		t.Errorf("only %d of %d runs kept states in between", taken, runs)
	}
}

func TestReplayingTwiceGivesTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCar(t)
		if a, b := fullText(replay.Of(c.load()).Now()), fullText(replay.Of(c.load()).Now()); a != b {
			t.Fatalf("%s\n--- again\n%s", a, b)
		}
	})
}

func TestPlannedLinesLeaveTheStateTheyStartFromAlone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCar(t)
		s := replay.Of(c.load()).Now()
		before := fullText(s)
		for range 3 {
			s.Run([]record.Line{c.drawLine(), c.drawLine()})
		}
		if after := fullText(s); before != after {
			t.Fatalf("before\n%s\n--- after\n%s", before, after)
		}
	})
}
