package reversal_test

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"boltback/internal/record"
	"boltback/internal/replay"
	"boltback/internal/reversal"
)

func make_(t interface{ Fatalf(string, ...any) }, w *replay.Work, o reversal.Options) *reversal.Statement {
	s, err := reversal.Make(w, o)
	if err != nil {
		t.Fatalf("no statement: %v", err)
	}
	return s
}

// different lists what stays different, each kind of thing once.
func different(s *reversal.Statement) []string {
	var list []string
	for _, d := range s.Different {
		text := d.What + " " + string(d.Thing)
		if d.What != "fill" && !slices.Contains(list, text) {
			list = append(list, text)
		}
	}
	slices.Sort(list)
	return list
}

func TestTheWorkOrderRestoresTheBaselineButForWhatWasLost(t *testing.T) {
	runs := 0
	seen := map[string]int{}
	rapid.Check(t, func(t *rapid.T) {
		most := rapid.SampledFrom([]int{8, 8, 12, 12, 30, 30, 60, 300}).Draw(t, "size")
		c := drawConversion(t, most, rapid.Bool().Draw(t, "lossy"))
		s := make_(t, replay.Of(c.load()), reversal.Options{})
		want := slices.Sorted(slices.Values(c.planted))
		if got := different(s); !slices.Equal(got, want) {
			for _, d := range s.Different {
				t.Log(d)
			}
			for _, step := range s.Steps {
				t.Log(step.Kind, step.Line.Parts, step.Line.Joints, step.Line.Position)
			}
			t.Fatalf("stays different: %v\nplanted: %v", got, want)
		}
		runs++
		for name, yes := range map[string]bool{"mount depth 4 and more": c.deep, "border joints": c.border, "looms": c.looms, "split sets": c.splits,
			"same-day overlaps": c.overlaps, "corrections": c.corrected, "assemblies": c.assemblies, "losses": len(c.planted) > 0} {
			if yes {
				seen[name]++
			}
		}
	})
	for _, name := range []string{"mount depth 4 and more", "border joints", "looms", "split sets", "same-day overlaps", "corrections", "assemblies", "losses"} {
		if seen[name]*10 < runs {
			t.Errorf("only %d of %d runs had %s: the generator no longer tests it", seen[name], runs, name)
		}
	}
}

func TestNoStepTakesOffAPartWhileAJointToAPartThatStaysIsDoneUp(t *testing.T) {
	taken := 0
	rapid.Check(t, func(t *rapid.T) {
		c := drawConversion(t, 20, rapid.Bool().Draw(t, "lossy"))
		w := replay.Of(c.load())
		s := make_(t, w, reversal.Options{})
		if i, text := heldWhileTakenOff(w, s); i >= 0 {
			t.Fatalf("step %d %s", i+1, text)
		}
		count(&taken, slices.ContainsFunc(s.Steps, func(p reversal.Step) bool { return p.Kind == reversal.TakeOff }))
	})
	if taken < 30 {
		t.Errorf("only %d work orders took anything off", taken)
	}
}

func TestStepsThatShareNothingMayChangePlaces(t *testing.T) {
	swapped, runs := map[string]int{}, 0
	rapid.Check(t, func(t *rapid.T) {
		c := drawConversion(t, 12, false)
		w := replay.Of(c.load())
		s := make_(t, w, reversal.Options{})
		lines := linesOf(s)
		runs++
		for range min(3*len(lines), 60) {
			if len(lines) < 2 {
				return
			}
			i := rapid.IntRange(0, len(lines)-2).Draw(t, "swap")
			if apart(w, lines[i], lines[i+1]) {
				lines[i], lines[i+1] = lines[i+1], lines[i]
				swapped[lines[i].Act]++
			}
		}
		if a, b := outline(w.Now().Run(linesOf(s))), outline(w.Now().Run(lines)); a != b {
			t.Fatalf("in order\n%s\n--- changed\n%s", a, b)
		}
	})
	for _, act := range []string{"removal", "fitting", "tightening"} {
		if swapped[act]*2 < runs {
			t.Errorf("only %d steps of the act %s changed places in %d runs", swapped[act], act, runs)
		}
	}
}

func linesOf(s *reversal.Statement) []record.Line {
	var lines []record.Line
	for _, step := range s.Steps {
		lines = append(lines, step.Line)
	}
	return lines
}

// apart says that two lines share no part and no joint: neither themselves, nor by what a joint of one clamps, nor by what an
// assembly holds.
func apart(w *replay.Work, a, b record.Line) bool {
	other := thingsOf(w, b)
	return !slices.ContainsFunc(thingsOf(w, a), func(r record.Ref) bool { return slices.Contains(other, r) })
}

func thingsOf(w *replay.Work, l record.Line) []record.Ref {
	list := slices.Concat(l.Parts, l.Joints)
	if l.System != "" {
		list = append(list, l.System)
	}
	for i := 0; i < len(list); i++ {
		info, _ := w.Part(list[i])
		more := slices.Concat(info.Joints, info.Body.Contains)
		if joint, ok := w.Joint(list[i]); ok {
			more = joint.Clamps
		}
		if i >= len(l.Parts)+len(l.Joints) { // what hangs on a neighbour's neighbour is no matter of the line
			more = nil
		}
		for _, r := range more {
			if !slices.Contains(list, r) {
				list = append(list, r)
			}
		}
	}
	return list
}

func outline(s *replay.State) string {
	text := ""
	for _, p := range s.Parts() {
		text += fmt.Sprintln(p.Ref, p.Where)
	}
	for _, j := range s.Joints() {
		text += fmt.Sprintln(j.Ref, j.Done)
	}
	return text
}

func TestAStatementRechecksAsWhatItIs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawConversion(t, 10, true)
		w := replay.Of(c.load())
		s := make_(t, w, reversal.Options{})
		changes, err := reversal.Recheck(w, s)
		if err != nil || len(changes) > 0 {
			t.Fatalf("%v %v", changes, err)
		}
	})
}

func TestTheWorkOrderRestoresANamedDayOnTheWay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawConversion(t, rapid.SampledFrom([]int{8, 12, 30}).Draw(t, "size"), false)
		days := int(c.day.Sub(time.Date(2026, 1, 5, 0, 0, 0, 0, time.UTC)).Hours() / 24)
		day := time.Date(2026, 1, 5+rapid.IntRange(0, days).Draw(t, "day"), 0, 0, 0, 0, time.UTC).Format("2006-01-02")
		c.car(record.Car{Root: "parts/shell", Baseline: &record.Baseline{Name: "as found", On: "2026-01-02", Parts: c.baseline}, Baselines: []record.Baseline{{Name: "on the way", On: record.Date(day)}}})
		s := make_(t, replay.Of(c.load()), reversal.Options{To: "on the way"})
		if got := different(s); len(got) > 0 {
			for _, d := range s.Different {
				t.Log(d)
			}
			for _, step := range s.Steps {
				t.Log(step.Kind, step.Line.Parts, step.Line.Joints, step.Line.Position)
			}
			t.Fatalf("to %s stays different: %v", day, got)
		}
	})
}
