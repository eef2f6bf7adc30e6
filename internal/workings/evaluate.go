package workings

import (
	"math"
	"math/big"

	"boltback/internal/quantity"
)

// evaluate computes a line from the values that were taken, with its
// uncertainty or bound.
func (s *sheet) evaluate(symbol, unit string) (quantity.Quantity, error) {
	nominal, err := s.at(symbol, nil)
	if err != nil {
		return quantity.Quantity{}, err
	}
	value, err := quantityOf(nominal, unit)
	if err != nil {
		return quantity.Quantity{}, err
	}
	leaves := s.leaves(symbol, map[string]bool{}, nil)
	bound := quantity.Point
	for _, name := range leaves {
		if q := s.inputs[name]; !q.IsPoint() {
			if bound, err = s.turn(symbol, name, bound, leaves); err != nil {
				return quantity.Quantity{}, err
			}
		}
	}
	if bound != quantity.Point {
		return s.bounded(symbol, unit, bound, leaves)
	}
	return s.uncertain(symbol, value, nominal, leaves)
}

// leaves lists the inputs from which a symbol is computed, each once.
func (s *sheet) leaves(symbol string, seen map[string]bool, list []string) []string {
	if seen[symbol] {
		return list
	}
	seen[symbol] = true
	l, computed := s.lines[symbol]
	if !computed {
		return append(list, symbol)
	}
	for _, name := range l.formula.Symbols() {
		list = s.leaves(name, seen, list)
	}
	return list
}

// at computes a symbol with some inputs set to other values, in coherent units.
func (s *sheet) at(symbol string, instead map[string]*big.Rat) (amount, error) {
	known := map[string]amount{}
	var value func(string) (amount, error)
	value = func(name string) (amount, error) {
		if a, ok := known[name]; ok {
			return a, nil
		}
		var a amount
		var err error
		if l, computed := s.lines[name]; computed {
			a, err = l.formula.eval(value)
		} else if a, err = s.amount(name); err == nil && instead[name] != nil {
			a.v = instead[name]
		}
		known[name] = a
		return a, err
	}
	return value(symbol)
}

func (s *sheet) amount(name string) (amount, error) {
	if a, ok := s.memo[name]; ok {
		return a, nil
	}
	a, err := amountOf(s.inputs[name])
	if err == nil {
		s.memo[name] = a
	}
	return a, err
}

// uncertain carries the recorded uncertainties of the inputs to the result: each
// standard uncertainty times the sensitivity of the result to that input, and
// those of independent inputs combined as the root of the sum of squares
// (JCGM 100:2008, 5.1.2, formula 10). Counts, ratios and constants of the program
// are exact. Where an input that matters has none recorded, so has the result.
func (s *sheet) uncertain(symbol string, value quantity.Quantity, nominal amount, leaves []string) (quantity.Quantity, error) {
	slopes := s.slopes(symbol)
	whole, _ := nominal.v.Float64()
	total := 0.0
	for _, name := range leaves {
		u, known := s.standard(name)
		if !known && s.matters(name, slopes[name], whole) {
			return value, nil
		}
		if known {
			total += u * slopes[name] * u * slopes[name]
		}
	}
	v := new(big.Rat).SetFloat64(2 * math.Sqrt(total))
	if v == nil || v.Sign() == 0 {
		return value, nil
	}
	u, err := quantityOf(amount{v, nominal.dims}, value.Unit())
	if err != nil {
		return value, nil
	}
	return value.WithUncertainty(u, big.NewRat(2, 1))
}

// matters reports whether a change of an input by a hundredth changes the result
// at all; the places of parts cancel out of a total mass.
func (s *sheet) matters(name string, slope, whole float64) bool {
	step := math.Abs(s.floatOf(name)) / 100
	if step == 0 {
		step = 0.01
	}
	change := math.Abs(slope) * step
	return !(change <= 1e-11*(math.Abs(whole)+step))
}

// standard is the standard uncertainty of an input in coherent units; false
// where it is not recorded.
func (s *sheet) standard(name string) (float64, bool) {
	q := s.inputs[name]
	expanded, k, ok := q.Uncertainty()
	if !ok {
		return 0, s.exact(name)
	}
	a, err := amountOf(expanded)
	if err != nil {
		return 0, false
	}
	u, _ := new(big.Rat).Quo(a.v, k).Float64()
	return u, true
}

// exact reports whether an input has no uncertainty by its nature.
func (s *sheet) exact(name string) bool {
	if d := s.inputs[name].Dimension(); d == quantity.Count || d == quantity.Ratio {
		return true
	}
	for _, in := range s.w.Inputs {
		if in.Symbol == name {
			return in.Exact
		}
	}
	return false
}

// slopes gives the sensitivity of a symbol to every input it is computed from.
func (s *sheet) slopes(symbol string) map[string]float64 {
	value := s.nearly()
	slopes := map[string]float64{}
	var add func(string, float64)
	add = func(name string, by float64) {
		if l, computed := s.lines[name]; computed {
			l.formula.root.slope(by, value, add)
		} else {
			slopes[name] += by
		}
	}
	add(symbol, 1)
	return slopes
}

// floatOf is an input in coherent units.
func (s *sheet) floatOf(name string) float64 {
	if v, ok := s.floats[name]; ok {
		return v
	}
	v := math.NaN()
	if a, err := s.amount(name); err == nil {
		v, _ = a.v.Float64()
	}
	s.floats[name] = v
	return v
}

// nearly gives symbols in floating point.
func (s *sheet) nearly() func(string) float64 {
	known := map[string]float64{}
	var value func(string) float64
	value = func(name string) float64 {
		l, computed := s.lines[name]
		if !computed {
			return s.floatOf(name)
		}
		v, ok := known[name]
		if !ok {
			v = l.formula.root.float(value)
			known[name] = v
		}
		return v
	}
	return value
}
