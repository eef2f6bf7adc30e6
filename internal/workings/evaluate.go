package workings

import (
	"errors"
	"fmt"
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

// direction is +1 where the result rises with an input over all values that its
// bound allows, -1 where it falls, 0 where it does not change. The other bounded
// inputs stand once at their bound and once far beyond it, as the smaller of two
// lower bounds moves only when both do.
func (s *sheet) direction(symbol, name string, leaves []string) (int, error) {
	far := map[string]*big.Rat{}
	for _, other := range leaves {
		if q := s.inputs[other]; other != name && !q.IsPoint() {
			if start, err := s.amount(other); err == nil {
				far[other] = new(big.Rat).Mul(start.v, outward(q, 1_000_000_000))
			}
		}
	}
	near, err := s.walk(symbol, name, map[string]*big.Rat{})
	if err != nil || len(far) == 0 {
		return near, err
	}
	beyond, err := s.walk(symbol, name, far)
	if err == nil && near != 0 && beyond != 0 && near != beyond {
		err = errors.New("the result does not go one way over the values that the bounds allow")
	}
	if near == 0 {
		near = beyond
	}
	return near, err
}

// outward is a factor that leads from a bound into the values it allows.
func outward(q quantity.Quantity, thousandths int64) *big.Rat {
	factor := big.NewRat(thousandths, 1000)
	if b := q.Bound(); b == quantity.Below || b == quantity.AtOrBelow {
		factor.Inv(factor)
	}
	return factor
}

// walk moves one input outward and watches which way the result goes.
func (s *sheet) walk(symbol, name string, others map[string]*big.Rat) (int, error) {
	q := s.inputs[name]
	start, err := s.amount(name)
	if err != nil {
		return 0, err
	}
	if start.v.Sign() <= 0 {
		return 0, fmt.Errorf("the bound %s is not above zero", q)
	}
	last, err := s.at(symbol, others)
	if err != nil {
		return 0, err
	}
	upward := q.Bound() == quantity.Above || q.Bound() == quantity.AtOrAbove
	sign := 0
	for _, step := range []int64{1001, 1500, 4000, 1_000_000} {
		others[name] = new(big.Rat).Mul(start.v, outward(q, step))
		next, err := s.at(symbol, others)
		if err != nil {
			return 0, err
		}
		c := next.v.Cmp(last.v)
		if !upward {
			c = -c
		}
		if c != 0 && sign != 0 && c != sign {
			return 0, errors.New("the result does not go one way over the values that " + q.String() + " allows")
		}
		if c != 0 {
			sign = c
		}
		last = next
	}
	return sign, nil
}

// turn adds the effect of one bounded input to the bound of the result.
func (s *sheet) turn(symbol, name string, bound quantity.Bound, leaves []string) (quantity.Bound, error) {
	direction, err := s.direction(symbol, name, leaves)
	if err != nil || direction == 0 {
		return bound, err
	}
	b := s.inputs[name].Bound()
	lower := b == quantity.Above || b == quantity.AtOrAbove
	strict := b == quantity.Above || b == quantity.Below
	next := map[[2]bool]quantity.Bound{
		{true, true}: quantity.Above, {true, false}: quantity.AtOrAbove,
		{false, true}: quantity.Below, {false, false}: quantity.AtOrBelow,
	}[[2]bool{lower == (direction > 0), strict}]
	isLower := func(b quantity.Bound) bool { return b == quantity.Above || b == quantity.AtOrAbove }
	switch {
	case bound == quantity.Point || bound == next:
		return next, nil
	case isLower(bound) != isLower(next):
		return bound, errors.New("a lower and an upper bound do not combine into either")
	case isLower(next):
		return quantity.Above, nil
	}
	return quantity.Below, nil
}

// bounded gives the bound of the result: inputs with an uncertainty stand at the
// end that claims least.
func (s *sheet) bounded(symbol, unit string, bound quantity.Bound, leaves []string) (quantity.Quantity, error) {
	lower := bound == quantity.Above || bound == quantity.AtOrAbove
	worst, slopes := map[string]*big.Rat{}, s.slopes(symbol)
	for _, name := range leaves {
		q := s.inputs[name]
		expanded, _, ok := q.Uncertainty()
		if !ok || !q.IsPoint() {
			continue
		}
		u, err := amountOf(expanded)
		if err != nil {
			return quantity.Quantity{}, err
		}
		middle, err := s.amount(name)
		if err != nil {
			return quantity.Quantity{}, err
		}
		if (slopes[name] > 0) == lower {
			worst[name] = new(big.Rat).Sub(middle.v, u.v)
		} else {
			worst[name] = new(big.Rat).Add(middle.v, u.v)
		}
	}
	a, err := s.at(symbol, worst)
	if err != nil {
		return quantity.Quantity{}, err
	}
	q, err := quantityOf(a, unit)
	if err != nil {
		return quantity.Quantity{}, err
	}
	return asBound(q, bound)
}
