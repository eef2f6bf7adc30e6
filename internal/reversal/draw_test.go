package reversal_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"boltback/internal/figure"
	"boltback/internal/record"
	"boltback/internal/replay"
	"boltback/internal/reversal"
)

// painted keeps what a drawing writes and how many outlines of each paint it has.
type painted struct {
	text   map[string]int
	dashed int
}

func (p *painted) Path(_ figure.Path, paint figure.Paint) {
	if len(paint.Dash) > 0 && paint.Width > 0.5 {
		p.dashed++
	}
}

func (p *painted) Label(_, _ float64, l figure.Label) { p.text[l.Text]++ }

func paint(d *figure.Drawing) *painted {
	p := &painted{text: map[string]int{}}
	d.Paint(p, 0, 0)
	return p
}

func drawn(t *testing.T) reversal.Drawings {
	w := replay.Of(sampleCar(t).load())
	return make_(t, w, reversal.Options{On: inspected}).Draw(w, reversal.Options{On: inspected})
}

func TestDrawingsFitThePaperAndHaveNoColour(t *testing.T) {
	all := drawn(t)
	for _, p := range append(all.Order, all.Plan) {
		if w, h := p.Drawing.Size(); w > 180 || h > 277 {
			t.Errorf("%s is %g by %g mm", p.ID, w, h)
		}
		svg := p.Drawing.SVG()
		if strings.Contains(svg, "NaN") || strings.Contains(svg, "Inf") {
			t.Errorf("%s is no sound drawing", p.ID)
		}
		for _, m := range regexp.MustCompile(`"#([0-9a-f]{2})([0-9a-f]{2})([0-9a-f]{2})"`).FindAllStringSubmatch(svg, -1) {
			if m[1] != m[2] || m[2] != m[3] {
				t.Errorf("%s paints in %s", p.ID, m[0])
			}
		}
	}
}

func TestThePlanViewSaysInWordsWhatItShowsAndWhatIsNotRecorded(t *testing.T) {
	plan := drawn(t).Plan
	for _, words := range []string{"Battery box, front (traction battery): -120 mm, front battery cradle", "Charge inlet (traction circuit): 2900 mm, right,",
		"12 V battery (12 V battery): place along the car not recorded", "Gearbox, four-speed (found part): 900 mm", "their route is not shown"} {
		if !strings.Contains(plan.Alt, words) {
			t.Errorf("%q is not in %s", words, plan.Alt)
		}
	}
	if plan := reversal.PlanPicture(nil, ""); plan.Alt != "A plan view of the car. No part is on record as on it." {
		t.Error(plan.Alt)
	}
}

func TestEveryPartOfThePlanViewIsInItsKeyOrCounted(t *testing.T) {
	var spots []reversal.Spot
	for i := range 130 {
		spots = append(spots, reversal.Spot{Part: record.Ref(fmt.Sprint("parts/p", i)), Name: fmt.Sprint("Part ", i), Station: "0.5 m"})
	}
	p := paint(reversal.PlanPicture(spots, "2400 mm").Drawing)
	if p.text["and 30 more, named in the words beside this drawing"] != 1 || p.text["Part 99, 0.5 m"] != 1 || p.text["Part 100, 0.5 m"] != 0 {
		t.Error(p.text)
	}
}

func TestATractionCableIsDrawnToWhatItIsFastenedTo(t *testing.T) {
	b := sampleCar(t)
	count := func(role string) int {
		edit(t, b, "parts/traction-cables", func(p *record.Part) { p.Role = role })
		w := replay.Of(b.load())
		return paint(reversal.PlanPicture(reversal.PlanView(w, w.On(inspected)), "2311 mm").Drawing).dashed
	}
	if with, without := count("traction cable"), count(""); with < 4 || without != 0 {
		t.Errorf("%d lines with the role recorded, %d without", with, without)
	}
}

func TestTheDrawingOfAWorkOrderShowsEveryStepOnceOverAllSheets(t *testing.T) {
	var g reversal.Graph
	for i := range 60 {
		g.Nodes = append(g.Nodes, reversal.Node{Step: i + 1, Kind: reversal.TakeOff, Level: max(0, i-19)})
		if i > 19 {
			g.Edges = append(g.Edges, reversal.Edge{From: i, To: i + 1})
		}
	}
	sheets := reversal.OrderPictures(g)
	if len(sheets) != 3 || len(reversal.OrderPictures(reversal.Graph{})) != 0 {
		t.Fatalf("%d sheets", len(sheets))
	}
	for step := 1; step <= 60; step++ {
		n := 0
		for _, s := range sheets {
			n += paint(s.Drawing).text[fmt.Sprint(step)]
		}
		// a step that another sheet waits for is written there once more
		if n < 1 || n > 2 {
			t.Errorf("step %d stands %d times", step, n)
		}
	}
	if !strings.Contains(sheets[0].Alt, "Steps that wait for no other: 1, 2, 3") || !strings.Contains(sheets[1].Alt, "after") {
		t.Error(sheets[0].Alt, sheets[1].Alt)
	}
}
