package reversal_test

import (
	"math/big"
	"testing"

	"boltback/internal/record"
	"boltback/internal/replay"
	"boltback/internal/reversal"
)

func share(t *testing.T, list []reversal.Share, group string) reversal.Share {
	t.Helper()
	for _, s := range list {
		if s.Group == group {
			return s
		}
	}
	t.Fatalf("there is no group %q in %v", group, list)
	return reversal.Share{}
}

func TestOriginalityKeepsFoundAndOriginApart(t *testing.T) {
	b := sampleCar(t)
	edit(t, b, "parts/clutch", func(p *record.Part) { p.Origin = "reproduction" })
	b.work("work/2026-06-01-bram-x", record.Session{Started: "2026-06-01", Lines: []record.Line{{Act: "out", Parts: []record.Ref{"parts/radiator"}, Gone: "sold"}}})
	w := replay.Of(b.load())
	o, err := reversal.OriginalityOf(w, reversal.Options{On: inspected}, map[record.Ref]*big.Rat{"parts/engine": big.NewRat(1800, 1), "parts/radiator": big.NewRat(90, 1)})
	if err != nil {
		t.Fatal(err)
	}
	found, added := share(t, o.ByFound, "found on the car"), share(t, o.ByFound, "not found on the car")
	if found.Absent.Count != 1 || found.Absent.Value.Cmp(big.NewRat(90, 1)) != 0 || found.Kept.Value.Cmp(big.NewRat(1800, 1)) != 0 {
		t.Errorf("%+v", found)
	}
	if added.Kept.Count != 0 || added.OnCar.Count == 0 || added.OnCar.Kilograms < 100 {
		t.Errorf("%+v", added)
	}
	// the clutch was found on the car and is a reproduction: it counts in both tables, each time by its own word
	if c := share(t, o.ByOrigin, "reproduction"); c.Kept.Count != 1 {
		t.Errorf("%+v", c)
	}
	sum := func(list []reversal.Share) (n int64) {
		for _, s := range list {
			n += s.OnCar.Count + s.Kept.Count + s.Absent.Count
		}
		return n
	}
	if sum(o.ByFound) != sum(o.ByOrigin) || sum(o.ByAssembly) != found.OnCar.Count+found.Kept.Count+found.Absent.Count {
		t.Errorf("the tables do not add up: %d, %d, %d", sum(o.ByFound), sum(o.ByOrigin), sum(o.ByAssembly))
	}
	if engine := share(t, o.ByAssembly, "Engine, 1.5 litre, with manifolds, fan, water pump and flywheel"); engine.Kept.Count != 2 {
		t.Errorf("the engine and its head: %+v", engine)
	}
}

func TestTheDrawingOfAWorkOrderHasEveryStepOnceAndNoStepBeforeWhatItNeeds(t *testing.T) {
	w := replay.Of(sampleCar(t).load())
	s := make_(t, w, reversal.Options{On: inspected})
	g := s.Dependencies(w)
	if len(g.Nodes) != len(s.Steps) || len(g.Edges) == 0 {
		t.Fatalf("%d nodes, %d edges", len(g.Nodes), len(g.Edges))
	}
	level := map[int]int{}
	for _, n := range g.Nodes {
		level[n.Step] = n.Level
	}
	for _, e := range g.Edges {
		if e.From >= e.To || level[e.From] >= level[e.To] {
			t.Errorf("step %d needs step %d, on levels %d and %d", e.To, e.From, level[e.To], level[e.From])
		}
	}
	// no edge follows from two others
	for _, a := range g.Edges {
		for _, b := range g.Edges {
			for _, c := range g.Edges {
				if a.From == b.From && a.To == c.To && b.To == c.From {
					t.Fatalf("the edge %d to %d follows from those by %d", a.From, a.To, b.To)
				}
			}
		}
	}
}

func TestThePlanViewShowsWhatSitsOnTheCarFromFrontToBack(t *testing.T) {
	w := replay.Of(sampleCar(t).load())
	spots := reversal.PlanView(w, w.Now())
	seen := map[record.Ref]bool{}
	for _, s := range spots {
		seen[s.Part] = true
		if p, _ := w.Now().Part(s.Part); p.Where.Place != replay.OnCar {
			t.Errorf("%s is not on the car", s.Part)
		}
	}
	if !seen["parts/motor"] || !seen["parts/gearbox"] || seen["parts/engine"] || seen["parts/bodyshell"] {
		t.Error(seen)
	}
	if spots[len(spots)-1].Station != "" && spots[0].Station == "" {
		t.Error("parts with a place do not come first")
	}
}
