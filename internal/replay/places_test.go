package replay_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"boltback/internal/record"
	"boltback/internal/replay"
)

// Lines that follow each other and share nothing may change places: the car is the same afterwards.
func TestLinesThatShareNothingMayChangePlaces(t *testing.T) {
	swapped, runs := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		c := drawCar(t)
		var lines []record.Line
		for range rapid.IntRange(2, 12).Draw(t, "in a row") {
			lines = append(lines, c.drawLine())
		}
		w := replay.Of(c.load())
		changed := slices.Clone(lines)
		for range 20 {
			i := rapid.IntRange(0, len(lines)-2).Draw(t, "swap")
			if !share(w, changed[i], changed[i+1]) {
				changed[i], changed[i+1] = changed[i+1], changed[i]
				swapped++
			}
		}
		if a, b := carOf(w.Now().Run(lines)), carOf(w.Now().Run(changed)); a != b {
			t.Fatalf("in order\n%s\n--- changed\n%s", a, b)
		}
		runs++
	})
	if swapped < runs {
		t.Errorf("only %d pairs of lines changed places in %d runs", swapped, runs)
	}
}

// share says that two lines work on one thing: a part or joint that either names, or to which what it names is tied by joints,
// assemblies and shared holes; or a store, a spot or a fill.
func share(w *replay.Work, a, b record.Line) bool {
	if a.Seal+a.Counted+b.Seal+b.Counted != "" {
		return true // they are about whatever lies in a place by then
	}
	other := tiedTo(w, b)
	return slices.ContainsFunc(tiedTo(w, a), func(r record.Ref) bool { return slices.Contains(other, r) })
}

func tiedTo(w *replay.Work, l record.Line) []record.Ref {
	list := slices.Concat(l.Parts, l.Joints)
	if l.Became != "" {
		list = append(list, l.Became)
	}
	for i := 0; i < len(list); i++ {
		part, _ := w.Part(list[i])
		joint, _ := w.Joint(list[i])
		more := slices.Concat(part.Joints, part.Body.Contains, joint.Clamps, []record.Ref{joint.PicksUp})
		for _, p := range w.Parts() {
			if slices.Contains(p.Body.Contains, list[i]) {
				more = append(more, p.Ref)
			}
		}
		for _, j := range w.Now().Joints() {
			if info, _ := w.Joint(j.Ref); info.PicksUp == list[i] {
				more = append(more, j.Ref)
			}
		}
		for _, r := range more {
			if r != "" && !slices.Contains(list, r) && r != w.Root() {
				list = append(list, r)
			}
		}
	}
	for _, r := range []record.Ref{l.Store, l.System, record.Ref(l.Position)} {
		if r != "" {
			list = append(list, r)
		}
	}
	return list
}

// carOf writes a state without saying which line led to it.
func carOf(s *replay.State) string {
	var list []string
	for _, p := range s.Parts() {
		list = append(list, fmt.Sprintln(p.Ref, p.Found, p.Where, p.Inside, len(p.Marks), p.Missed != replay.NoStep, p.Sealed))
		for _, e := range p.Ends {
			list = append(list, fmt.Sprintln(p.Ref, e.End, e.State))
		}
	}
	for _, j := range s.Joints() {
		list = append(list, fmt.Sprintln(j.Ref, j.Done, j.Bag, j.Fasteners))
	}
	for _, f := range s.Fills() {
		list = append(list, fmt.Sprintln(f.Ref, f.State))
	}
	for _, d := range s.Doubts() {
		list = append(list, fmt.Sprintln(d.Code, d.Thing, d.End))
	}
	slices.Sort(list)
	return strings.Join(append(list, fmt.Sprint(s.Car)), "")
}
