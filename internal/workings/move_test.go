package workings

import (
	"math"
	"strings"
	"testing"

	"boltback/internal/quantity"
)

// figureOf is a quantity as a float, for sums that a test redoes.
func figureOf(t *testing.T, q quantity.Quantity) float64 {
	t.Helper()
	v, ok := q.Rat()
	if !ok {
		t.Fatalf("%s is no number", Show(q))
	}
	f, _ := v.Float64()
	return f
}

func near(a, b float64) bool { return math.Abs(a-b) < 1e-6 }

func TestAMoveIsWorkedOutBeforeItIsMadeFromTheLastWeighingAndThePartsSince(t *testing.T) {
	c := heron(t)
	list := c.Moved(Move{Mass: Given("51 kg"), By: Given("1.90 m")})
	if got := list[0].Answer; !strings.HasPrefix(got, "41.95 kg leave the front axle for the rear") {
		t.Errorf("51 kg by 1.90 m on 2310 mm: %s", got)
	}
	if list[0].Caution == "" {
		t.Error("a move must carry its caution")
	}
	before, _, _ := c.loadsToday()
	after := list[1]
	sum, shift := figureOf(t, resultOf(after, "l")), figureOf(t, list[0].Value)
	if want := figureOf(t, before.Front.Value) + figureOf(t, before.Rear.Value); !near(sum, want) {
		t.Errorf("the total became %v, it was %v", sum, want)
	}
	if got, want := figureOf(t, resultOf(after, "l_R")), figureOf(t, before.Rear.Value)+shift; !near(got, want) {
		t.Errorf("rear %v, want %v", got, want)
	}
	for _, w := range list {
		if w.ID == "reserve gross" || w.ID == "reserve rear axle" && w.Title != "Reserve: rear axle, laden" {
			t.Errorf("%s: %s", w.ID, w.Title)
		}
	}
}

func TestAPartMovesFromWhereItIsRecorded(t *testing.T) {
	c := heron(t)
	by := c.Moved(Move{Part: "parts/pack", By: Given("-400 mm")})[0]
	to := c.Moved(Move{Part: "parts/pack", To: Given("1700 mm")})[0]
	if a, b := figureOf(t, by.Value), figureOf(t, to.Value); !near(a, b) || a >= 0 {
		t.Errorf("from 2100 mm to 1700 mm is %v kg, 400 mm forward is %v kg", b, a)
	}
	if !strings.Contains(to.Answer, "leave the rear axle for the front") || strings.Contains(to.Answer, "-") {
		t.Error(to.Answer)
	}
	if got := c.Moved(Move{Part: "parts/gearbox", To: Given("1 m")})[0].Answer; !strings.Contains(got, "needs mass moved") {
		t.Errorf("a part without mass: %s", got)
	}
}

func TestAMoveThatLiftsAnAxleIsAContradiction(t *testing.T) {
	list := heron(t).Moved(Move{Mass: Given("900 kg"), By: Given("3 m")})
	if got := list[1].Worst(); got != Contradiction {
		t.Errorf("the front axle would carry less than nothing, and the outcome is %q", got)
	}
}
