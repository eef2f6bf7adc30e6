package workings

import (
	"fmt"
	"math/big"
	"testing"

	"pgregory.net/rapid"

	"boltback/internal/quantity"
)

func uncertaintyOf(t *testing.T, q quantity.Quantity, unit string) float64 {
	t.Helper()
	u, k, ok := q.Uncertainty()
	if !ok {
		t.Fatalf("%s has no uncertainty", q)
	}
	if k.Cmp(big.NewRat(2, 1)) != 0 {
		t.Errorf("k = %s", k.RatString())
	}
	v, err := u.Float(unit)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// The rules of package quantity for sums and products are an independent route
// to the same uncertainty.
func TestUncertaintyAgreesWithTheRulesForSumsAndProducts(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		text := func(name, unit string) string {
			v := rapid.IntRange(100, 9000).Draw(rt, name)
			return fmt.Sprintf("%d ±%d %s", v, rapid.IntRange(1, 20).Draw(rt, name+" U"), unit)
		}
		a, b, x := text("a", "kg"), text("b", "kg"), text("x", "mm")
		sum, _ := compute(t, "kg", "a-b", map[string]string{"a": a, "b": b})
		wantSum, _ := quantity.Sub(quantity.MustParse(a), quantity.MustParse(b))
		if got, want := uncertaintyOf(t, sum, "kg"), uncertaintyOf(t, wantSum, "kg"); got < want*0.999 || got > want*1.001 {
			rt.Fatalf("difference ±%g, want ±%g", got, want)
		}
		product, _ := compute(t, "kg.m", "a*b", map[string]string{"a": a, "b": x})
		wantProduct, _ := quantity.Mul(quantity.MustParse(a), quantity.MustParse(x))
		if got, want := uncertaintyOf(t, product, "kg.m"), uncertaintyOf(t, wantProduct, "kg.m"); got < want*0.999 || got > want*1.001 {
			rt.Fatalf("product ±%g, want ±%g", got, want)
		}
	})
}

func TestAnInputThatOccursTwiceIsNotTakenAsTwoIndependentOnes(t *testing.T) {
	// m / (m + n): the sensitivity to m is n/(m+n)², not that of a free quotient.
	q, _ := compute(t, ":1", "a/(a+b)", map[string]string{"a": "500 ±2 kg", "b": "500 ±2 kg"})
	want := 2 * 500.0 / 1e6 * 1.41421356
	if got := uncertaintyOf(t, q, ":1"); got < want*0.99 || got > want*1.01 {
		t.Errorf("±%g, want ±%g", got, want)
	}
	same, _ := compute(t, "kg", "a-a", map[string]string{"a": "500 ±2 kg"})
	if _, _, ok := same.Uncertainty(); ok {
		t.Errorf("a figure less itself is nothing for certain: %s", same)
	}
}

func TestALineComputedFromLinesKeepsWhatTheyShare(t *testing.T) {
	s := begin(Mass, "x", "x")
	s.take("a", "a", Given("500 ±2 kg"), quantity.Mass)
	s.take("b", "b", Given("400 ±2 kg"), quantity.Mass)
	s.calc("t", "kg", "a+b", "")
	s.calc("r", "kg", "t-a", "")
	about(t, s.get("r"), 400, "kg", 0)
	if got := uncertaintyOf(t, s.get("r"), "kg"); got < 1.999 || got > 2.001 {
		t.Errorf("the part that a and t share cancels: ±%g", got)
	}
}

func TestAbsenceOfAnUncertaintyIsCarried(t *testing.T) {
	q, _ := compute(t, "kg", "a+b", map[string]string{"a": "500 ±2 kg", "b": "400 kg"})
	if _, _, ok := q.Uncertainty(); ok {
		t.Errorf("%s claims an uncertainty that nobody recorded", q)
	}
	q, _ = compute(t, "kg", "a+b-b", map[string]string{"a": "500 ±2 kg", "b": "400 kg"})
	if got := uncertaintyOf(t, q, "kg"); got < 1.999 || got > 2.001 {
		t.Errorf("what has no effect takes nothing away: ±%g", got)
	}
	q, _ = compute(t, "kg", "a*b", map[string]string{"a": "500 ±2 kg", "b": "3"})
	if got := uncertaintyOf(t, q, "kg"); got < 5.999 || got > 6.001 {
		t.Errorf("a count is exact: ±%g", got)
	}
}

func TestABoundStaysABoundAndTurnsWhereTheResultFalls(t *testing.T) {
	for _, c := range []struct {
		name, formula, unit, a, b, want string
	}{
		{"a sum with a lower bound", "a+b", "MΩ", ">550 MΩ", "1 MΩ", ">551 MΩ"},
		{"a quotient under a lower bound", "b/a", "A", ">100 Ω", "10 V", "<0.1 A"},
		{"an upper bound", "2*a", "V", "<60 V", "1", "<120 V"},
		{"at least stays at least", "3*a", "kg", "≥7 kg", "1", "≥21 kg"},
		{"in parallel", "a*b/(a+b)", "MΩ", ">600 MΩ", "200 MΩ", ">150 MΩ"},
		{"two of one direction", "a+b", "MΩ", ">500 MΩ", "≥100 MΩ", ">600 MΩ"},
		{"the smaller of two lower bounds", "min(a, b)", "MΩ", ">550 MΩ", ">500 MΩ", ">500 MΩ"},
		{"a bound that does not decide", "min(a, b)", "MΩ", ">550 MΩ", "41 MΩ", "41 MΩ"},
		{"an uncertain figure beside a bound claims least", "a*b/(a+b)", "MΩ", ">600 MΩ", "200 ±50 MΩ", ">120 MΩ"},
	} {
		t.Run(c.name, func(t *testing.T) {
			q, w := compute(t, c.unit, c.formula, map[string]string{"a": c.a, "b": c.b})
			if !w.Computed() {
				t.Fatal(w.Answer)
			}
			if got := Show(q); got != c.want {
				t.Errorf("%s, want %s", got, c.want)
			}
		})
	}
}

func TestBoundsThatContradictGiveASentence(t *testing.T) {
	for _, c := range []struct{ name, formula, a, b, says string }{
		{"a lower and an upper bound", "a+b", ">550 MΩ", "<600 MΩ", "a lower and an upper bound do not combine into either"},
		{"over-range without the end of the range", "a+b", "over-range", "1 MΩ", "the end of the range at which a read over-range"},
		{"a hump over the bound", "a*(b-a)", ">1 MΩ", "10 MΩ", "needs"},
	} {
		t.Run(c.name, func(t *testing.T) {
			q, w := compute(t, "MΩ", c.formula, map[string]string{"a": c.a, "b": c.b})
			if w.Computed() {
				t.Fatalf("gives %s", q)
			}
			says(t, w.Answer, c.says)
		})
	}
}

// A value within a bound always lies within the bound of the result.
func TestABoundOfAResultHoldsForEveryValueThatTheInputAllows(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		bound := rapid.IntRange(1, 900).Draw(rt, "bound")
		load := rapid.IntRange(1, 900).Draw(rt, "load")
		beyond := bound + rapid.IntRange(1, 5000).Draw(rt, "beyond")
		values := func(a string) map[string]string {
			return map[string]string{"a": a, "b": fmt.Sprintf("%d MΩ", load)}
		}
		limit, _ := compute(t, "MΩ", "a*b/(a+b)", values(fmt.Sprintf(">%d MΩ", bound)))
		real, _ := compute(t, "MΩ", "a*b/(a+b)", values(fmt.Sprintf("%d MΩ", beyond)))
		d := quantity.Decide(limit, quantity.AtLeast(real), quantity.SimpleAcceptance)
		if d.Outcome == quantity.Met {
			rt.Fatalf("%s claims more than %s", limit, real)
		}
	})
}

// The slope of every operation is what a small change makes.
func TestSensitivitiesAreWhatASmallChangeMakes(t *testing.T) {
	for _, formula := range []string{"a+b-c", "a*b/c", "a^3-b^2", "sqrt(a*b)", "exp(-a/b)*c", "ln(a/b)+c", "abs(a-b)*c", "abs(b-a)*c", "min(a, b)*c", "max(a, b, c)", "a*b/(a+b)", "-a*(b-c)"} {
		f, err := ParseFormula(formula)
		if err != nil {
			t.Fatal(err)
		}
		rapid.Check(t, func(rt *rapid.T) {
			at := map[string]float64{}
			for _, name := range []string{"a", "b", "c"} {
				at[name] = float64(rapid.IntRange(1, 400).Draw(rt, name)) + 0.5*float64(len(at))
			}
			value := func(name string) float64 { return at[name] }
			slopes := map[string]float64{}
			f.root.slope(1, value, func(name string, by float64) { slopes[name] += by })
			for _, name := range []string{"a", "b", "c"} {
				if at["a"] == at["b"] || at["b"] == at["c"] || at["a"] == at["c"] {
					continue // a kink
				}
				x, h := at[name], 1e-4
				at[name] = x + h
				high := f.root.float(value)
				at[name] = x - h
				low := f.root.float(value)
				at[name] = x
				want := (high - low) / (2 * h)
				if d := slopes[name] - want; d > 1e-4*(1+abs(want)) || d < -1e-4*(1+abs(want)) {
					rt.Fatalf("%s: d/d%s is %g, want %g at %v", formula, name, slopes[name], want, at)
				}
			}
		})
	}
}

func abs(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}
