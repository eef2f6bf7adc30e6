package workings

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"boltback/internal/quantity"
)

// Every line of the sample's workings is computed once more from the numbers that
// are printed on it, by a reader that shares nothing with the formulas of the
// program but their notation: what is printed has to lead to what is printed.
func TestEveryLineOfThePageCanBeRedoneFromTheNumbersOnIt(t *testing.T) {
	redone := 0
	for name, c := range map[string]*Car{"heron": heron(t), "sample": sampleCar(t)} {
		for _, w := range c.All() {
			for _, s := range w.Steps {
				if s.Formula() == "" {
					continue
				}
				got, err := byHand(s.Numbers())
				if err != nil {
					t.Fatalf("%s %s: %s: %v", name, w.ID, s.Numbers(), err)
				}
				want, wide := printed(t, s)
				if math.Abs(got-want) > wide+0.002*scaleOf(s.Numbers(), want) {
					t.Errorf("%s %s: %s gives %g and the page says %s", name, w.ID, s.Numbers(), got, s.Result())
				}
				redone++
			}
		}
	}
	if redone < 250 {
		t.Errorf("%d lines were redone", redone)
	}
}

// printed is the number of a result in coherent units, with its uncertainty.
func printed(t *testing.T, s Step) (value, wide float64) {
	t.Helper()
	a, err := amountOf(s.Value)
	if err != nil {
		t.Fatal(err)
	}
	value, _ = a.v.Float64()
	if u, _, ok := s.Value.Uncertainty(); ok {
		if b, err := amountOf(u); err == nil {
			wide, _ = b.v.Float64()
		}
	}
	return value, wide / 20
}

// scaleOf is the size of the numbers on a line: a small difference of large
// numbers is known to their digits and not to its own.
func scaleOf(numbers string, result float64) float64 {
	h := hand{words: handWords(numbers)}
	h.sum()
	return math.Max(math.Abs(result), h.largest)
}

func byHand(numbers string) (float64, error) {
	h := hand{words: handWords(numbers)}
	v := h.sum()
	if h.err == nil && h.at < len(h.words) {
		h.err = fmt.Errorf("%q is left over", h.words[h.at])
	}
	return v, h.err
}

// handWords takes a printed line apart: brackets and signs by themselves, a number
// with its unit as one word.
func handWords(numbers string) []string {
	for _, sign := range []string{"(", ")", ",", "^"} {
		numbers = strings.ReplaceAll(numbers, sign, " "+sign+" ")
	}
	var words []string
	for _, f := range strings.Fields(numbers) {
		if n := len(words); n > 0 && isNumber(words[n-1]) && isUnit(f) {
			words[n-1] += " " + f
			continue
		}
		words = append(words, f)
	}
	return words
}

func isNumber(word string) bool {
	_, err := strconv.ParseFloat(strings.TrimLeft(word, "<>≤≥-"), 64)
	return err == nil
}

func isUnit(word string) bool {
	_, err := quantity.Parse("1 " + word)
	return err == nil && !isNumber(word)
}

// hand computes a printed line with ordinary precedence.
type hand struct {
	words   []string
	at      int
	err     error
	largest float64 // of the terms that were added or taken away
}

func (h *hand) next(words ...string) string {
	if h.at < len(h.words) {
		for _, w := range words {
			if h.words[h.at] == w {
				h.at++
				return w
			}
		}
	}
	return ""
}

func (h *hand) sum() float64 {
	v := h.product()
	for {
		switch h.next("+", "-") {
		case "+":
			v = h.added(v, h.product())
		case "-":
			v = h.added(v, -h.product())
		default:
			return v
		}
	}
}

func (h *hand) added(a, b float64) float64 {
	h.largest = math.Max(h.largest, math.Max(math.Abs(a), math.Abs(b)))
	return a + b
}

func (h *hand) product() float64 {
	v := h.power()
	for {
		switch h.next("·", "/") {
		case "·":
			v *= h.power()
		case "/":
			v /= h.power()
		default:
			return v
		}
	}
}

func (h *hand) power() float64 {
	v := h.one()
	if h.next("^") != "" {
		v = math.Pow(v, h.one())
	}
	return v
}

var handFunctions = map[string]func([]float64) float64{
	"min":  func(a []float64) float64 { return math.Min(a[0], a[1]) },
	"max":  func(a []float64) float64 { return math.Max(a[0], a[1]) },
	"abs":  func(a []float64) float64 { return math.Abs(a[0]) },
	"exp":  func(a []float64) float64 { return math.Exp(a[0]) },
	"ln":   func(a []float64) float64 { return math.Log(a[0]) },
	"sqrt": func(a []float64) float64 { return math.Sqrt(a[0]) },
}

func (h *hand) one() float64 {
	if h.at >= len(h.words) {
		h.err = fmt.Errorf("the line ends too early")
		return 0
	}
	word := h.words[h.at]
	h.at++
	f, isFunction := handFunctions[word]
	switch {
	case isFunction:
		return f(h.arguments())
	case word == "(":
		h.at--
		return h.arguments()[0]
	case word == "-":
		return -h.one()
	}
	q, err := quantity.Parse(strings.TrimLeft(word, "<>≤≥"))
	if err != nil {
		h.err = err
		return 0
	}
	a, err := amountOf(q)
	if err != nil {
		h.err = err
		return 0
	}
	v, _ := a.v.Float64()
	return v
}

func (h *hand) arguments() []float64 {
	h.next("(")
	list := []float64{h.sum()}
	for h.next(",") != "" {
		list = append(list, h.sum())
	}
	if h.next(")") == "" {
		h.err = fmt.Errorf("a bracket is not closed")
	}
	return append(list, 0)
}
