package workings

import (
	"errors"
	"fmt"
	"math/big"
	"slices"

	"boltback/internal/quantity"
)

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

// leastClaimed puts inputs with an uncertainty at the end of it at which the
// bound of a symbol claims least.
func (s *sheet) leastClaimed(symbol string, bound quantity.Bound, leaves []string) (map[string]*big.Rat, error) {
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
			return nil, err
		}
		middle, err := s.amount(name)
		if err != nil {
			return nil, err
		}
		if (slopes[name] > 0) == lower {
			worst[name] = new(big.Rat).Sub(middle.v, u.v)
		} else {
			worst[name] = new(big.Rat).Add(middle.v, u.v)
		}
	}
	return worst, nil
}

// bounded gives the bound of the result.
func (s *sheet) bounded(symbol, unit string, bound quantity.Bound, leaves []string) (quantity.Quantity, error) {
	worst, err := s.leastClaimed(symbol, bound, leaves)
	if err != nil {
		return quantity.Quantity{}, err
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

// besideABound is said where a figure with an uncertainty entered a bound.
const besideABound = "beside a bound, a figure with an uncertainty stands at the end of it that claims least, and so it is put in"

// numerals gives the numbers for the line of a symbol that is a bound: uncertain
// figures as they entered it, so that the line can be redone.
func (s *sheet) numerals(symbol string) func(string) string {
	worst, err := s.leastClaimed(symbol, s.get(symbol).Bound(), s.leaves(symbol, map[string]bool{}, nil))
	if err != nil || len(worst) == 0 {
		return s.numeral
	}
	return func(name string) string {
		q := s.get(name)
		if _, _, uncertain := q.Uncertainty(); !uncertain || !q.IsPoint() {
			return s.numeral(name)
		}
		a, err := s.at(name, worst)
		if err != nil {
			return s.numeral(name)
		}
		end, err := quantityOf(a, q.Unit())
		if err != nil {
			return s.numeral(name)
		}
		if !slices.Contains(s.w.Assumptions, besideABound) {
			s.assume(besideABound)
		}
		return bracketed(end)
	}
}
