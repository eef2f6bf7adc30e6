package reversal_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"boltback/internal/record"
	"boltback/internal/replay"
	"boltback/internal/reversal"
)

// A car of a real size: 300 found parts and more, 400 joints, 1,000 lines of work.
func TestTheWorkOrderOfALargeConversionRestoresItButForWhatWasLost(t *testing.T) {
	for seed, lossy := range []bool{false, true} {
		c := rapid.Custom(func(t *rapid.T) *conversion { return drawSized(t, 300, 520, lossy) }).Example(seed + 1)
		w := replay.Of(c.load())
		parts, joints := len(w.Parts()), len(w.Now().Joints())
		if parts < 300 || joints < 400 || w.Len() < 1_000 {
			t.Errorf("only %d parts, %d joints and %d lines: this is no large conversion", parts, joints, w.Len())
		}
		s := make_(t, w, reversal.Options{})
		if want := slices.Sorted(slices.Values(c.planted)); !slices.Equal(different(s), want) || lossy && len(want) == 0 {
			t.Errorf("stays different: %v\nplanted: %v", different(s), want)
		}
		if i, text := heldWhileTakenOff(w, s); i >= 0 {
			t.Errorf("step %d %s", i+1, text)
		}
	}
}

// heldWhileTakenOff gives the first step that takes a part off the car while a joint holds it to one that stays, or that
// undoes a joint without saying so; -1 where there is none.
func heldWhileTakenOff(w *replay.Work, s *reversal.Statement) (step int, why string) {
	state := w.Now()
	for i, step := range s.Steps {
		next := state.Run([]record.Line{step.Line})
		if step.Kind == reversal.TakeOff {
			if text := held(w, state, next, step.Line); text != "" {
				return i, text
			}
		}
		state = next
	}
	return -1, ""
}

func held(w *replay.Work, before, after *replay.State, l record.Line) string {
	for _, j := range before.Joints() {
		if now, _ := after.Joint(j.Ref); j.Done != replay.Undone && now.Done == replay.Undone && !slices.Contains(l.Joints, j.Ref) {
			return "undoes " + string(j.Ref) + " without saying so"
		}
	}
	for _, p := range l.Parts {
		for _, j := range after.MountedBy(p) {
			info, _ := w.Joint(j.Ref)
			for _, other := range info.Clamps {
				if o, _ := after.Part(other); o.Where.Place == replay.OnCar || info.Hosted {
					return "takes " + string(p) + " off while " + string(j.Ref) + " holds it to " + string(other)
				}
			}
		}
	}
	return ""
}
