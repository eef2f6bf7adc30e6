package workings

import (
	"fmt"
	"math"
	"math/big"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"boltback/internal/quantity"
)

// compute takes plain numbers and quantities and gives one line.
func compute(t *testing.T, unit, formula string, values map[string]string) (quantity.Quantity, Working) {
	t.Helper()
	s := begin(Mass, "x", "x")
	for _, name := range []string{"a", "b", "c", "d"} {
		if text, ok := values[name]; ok {
			s.take(name, name, Given(text), quantity.Unknown)
		}
	}
	s.calc("x", unit, formula, "test")
	s.answer("x", "{}")
	w := s.done()
	return w.Value, w
}

func TestAFormulaIsComputedAsItIsWritten(t *testing.T) {
	for _, c := range []struct {
		name, formula, unit string
		values              map[string]string
		want                float64
	}{
		{"a product binds before a sum", "1+2*3", "", nil, 7},
		{"brackets bind first", "(1+2)*3", "", nil, 9},
		{"differences are taken from the left", "9-4-3", "", nil, 2},
		{"quotients are taken from the left", "24/4/3", "", nil, 2},
		{"a power binds before a product", "2*3^2", "", nil, 18},
		{"a minus sign stands before a factor", "-2^2+5", "", nil, 1},
		{"a minus sign stands after an operator", "3*-2", "", nil, -6},
		{"decimals are exact", "0.1+0.2-0.3", "", nil, 0},
		{"units are carried", "a*b", "N", map[string]string{"a": "2 kg", "b": "3 m/s²"}, 6},
		{"a result is given in the unit asked for", "a/b", "km/h", map[string]string{"a": "100 m", "b": "10 s"}, 36},
		{"inches and millimetres add up", "a+b", "mm", map[string]string{"a": "1 in", "b": "1 mm"}, 26.4},
		{"volts squared over ohms are watts", "a^2/b", "W", map[string]string{"a": "12 V", "b": "6 Ω"}, 24},
		{"farads and volts squared are joules", "1/2*a*b^2", "J", map[string]string{"a": "1000 µF", "b": "350 V"}, 61.25},
		{"a temperature difference has no offset", "a-b", "K", map[string]string{"a": "45 °C", "b": "20 °C"}, 25},
		{"Fahrenheit is taken to Celsius", "a-b", "K", map[string]string{"a": "68 °F", "b": "20 °C"}, 0},
		{"the smaller of two", "min(a, b)", "m", map[string]string{"a": "1 m", "b": "3 ft"}, 0.9144},
		{"the larger of three", "max(a, b, 2*a)", "m", map[string]string{"a": "1 m", "b": "3 ft"}, 2},
		{"a size without its sign", "abs(a-b)", "kg", map[string]string{"a": "3 kg", "b": "5 kg"}, 2},
		{"a root halves the dimensions", "sqrt(a*b)", "m", map[string]string{"a": "4 m", "b": "9 m"}, 6},
		{"exponential and logarithm undo each other", "exp(ln(5))", "", nil, 5},
		{"a per cent is a hundredth", "a*b", "kg", map[string]string{"a": "50 %", "b": "10 kg"}, 5},
		{"torque over length is force", "a/b", "N", map[string]string{"a": "10 N.m", "b": "20 mm"}, 500},
	} {
		t.Run(c.name, func(t *testing.T) {
			q, w := compute(t, c.unit, c.formula, c.values)
			if !w.Computed() {
				t.Fatal(w.Answer)
			}
			about(t, q, c.want, c.unit, 1e-9)
		})
	}
}

func TestAFormulaThatCannotBeReadSaysWhy(t *testing.T) {
	for _, c := range []struct{ formula, why string }{
		{"a+", "a number, a symbol or a bracket is expected"},
		{"(a+b", "a bracket is not closed"},
		{"a b", `"b" is not expected there`},
		{"log(a)", `there is no function "log"`},
		{"sqrt(a, b)", "sqrt does not take 2 values"},
		{"min(a)", "min does not take 1 values"},
		{"a % b", `holds '%'`},
		{"1.2.3", `"1.2.3" is no number`},
		{strings.Repeat("(", 200) + "a" + strings.Repeat(")", 200), "too many brackets"},
		{strings.Repeat("-", 200) + "a", "too many signs"},
		{"", "is expected"},
	} {
		if _, err := ParseFormula(c.formula); err == nil || !strings.Contains(err.Error(), c.why) {
			t.Errorf("%q: %v, want %q", c.formula, err, c.why)
		}
	}
}

func TestWhatDoesNotFitIsASentenceAndNotANumber(t *testing.T) {
	for _, c := range []struct {
		name, formula, unit string
		values              map[string]string
		says                string
	}{
		{"kilograms and metres do not add up", "a+b", "kg", map[string]string{"a": "1 kg", "b": "1 m"}, "kg and m do not add up"},
		{"a mass is not given in newtons", "a", "N", map[string]string{"a": "1 kg"}, "the result is kg and cannot be given in N"},
		{"nothing is divided by zero", "a/(b-b)", "kg", map[string]string{"a": "1 kg", "b": "2"}, "divide by zero"},
		{"volts have no logarithm", "ln(a)", "", map[string]string{"a": "1 V"}, "takes a plain number, not kg.m^2.s^-3.A^-1"},
		{"a negative number has no root", "sqrt(a-b)", "m", map[string]string{"a": "1 m²", "b": "2 m²"}, "no square root"},
		{"a metre has no root", "sqrt(a)", "m", map[string]string{"a": "1 m"}, "no square root among the units"},
		{"a power is a whole number", "a^0.5", "m", map[string]string{"a": "1 m²"}, "a power is a whole number"},
		{"a power has no unit", "a^b", "m", map[string]string{"a": "1 m²", "b": "2 kg"}, "a power is a whole number"},
		{"a metre and a kilogram are not compared", "max(a, b)", "m", map[string]string{"a": "1 m", "b": "2 kg"}, "m and kg are not compared"},
		{"the logarithm of nothing is no number", "ln(a)", "", map[string]string{"a": "0"}, "is no number"},
	} {
		t.Run(c.name, func(t *testing.T) {
			q, w := compute(t, c.unit, c.formula, c.values)
			if !q.IsZero() || w.Computed() {
				t.Fatalf("gives %s", q)
			}
			says(t, w.Answer, "not computed: needs values that fit", c.says)
		})
	}
}

func TestTheLineShowsTheFormulaAndTheNumbersOfTheSameSum(t *testing.T) {
	_, w := compute(t, "kg", "a*(b-c)/b", map[string]string{"a": "51 kg", "b": "2.31 m", "c": "-0.5 m"})
	says(t, w.Steps[0].Formula(), "x = a · (b - c) / b")
	says(t, w.Steps[0].Numbers(), "51 kg · (2.31 m - (-0.5 m)) / 2.31 m")
	says(t, w.Steps[0].Result(), "x = 62.04 kg")
}

func TestAPowerOfAnInputTakesItsUnitAlong(t *testing.T) {
	_, w := compute(t, "J", "1/2*a*b^2", map[string]string{"a": "1000 µF", "b": "350 V"})
	says(t, w.Steps[0].Formula(), "1 / 2 · a · b^2")
	says(t, w.Steps[0].Numbers(), "1 / 2 · 1000 µF · (350 V)^2")
}

// A formula with random numbers gives what floating point gives.
func TestAFormulaAgreesWithFloatingPoint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.IntRange(1, 5000).Draw(t, "a")
		b := rapid.IntRange(1, 5000).Draw(t, "b")
		c := rapid.IntRange(1, 5000).Draw(t, "c")
		f, err := ParseFormula("a*b/(a+c)-sqrt(b)*min(a, c)")
		if err != nil {
			t.Fatal(err)
		}
		values := map[string]int{"a": a, "b": b, "c": c}
		got, err := f.eval(func(name string) (amount, error) { return amount{big.NewRat(int64(values[name]), 1), dims{}}, nil })
		if err != nil {
			t.Fatal(err)
		}
		x, y, z := float64(a), float64(b), float64(c)
		want := x*y/(x+z) - math.Sqrt(y)*math.Min(x, z)
		if g, _ := got.v.Float64(); math.Abs(g-want) > 1e-9*(1+math.Abs(want)) {
			t.Fatalf("%g, want %g", g, want)
		}
	})
}

// What is printed reads back to the same formula.
func FuzzParseFormula(f *testing.F) {
	for _, seed := range []string{"a+b", "m_F+m_R", "-a^2*(b-1.5)/max(a, b)", "U_0*exp(-t/(R*C))", "((", "1e9", "π*d", "a--b", "x′1-x"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > 500 {
			return
		}
		one, err := ParseFormula(text)
		if err != nil {
			return
		}
		printed := strings.ReplaceAll(one.String(), "·", "*")
		two, err := ParseFormula(printed)
		if err != nil {
			t.Fatalf("%q prints as %q: %v", text, printed, err)
		}
		if fmt.Sprint(one.Symbols()) != fmt.Sprint(two.Symbols()) {
			t.Fatalf("%q has the symbols %v, printed %v", text, one.Symbols(), two.Symbols())
		}
		seven := func(string) (amount, error) { return amount{big.NewRat(7, 3), dims{}}, nil }
		a, errA := one.eval(seven)
		b, errB := two.eval(seven)
		if (errA == nil) != (errB == nil) || errA == nil && a.v.Cmp(b.v) != 0 {
			t.Fatalf("%q gives %v, printed %v", text, a, b)
		}
	})
}
