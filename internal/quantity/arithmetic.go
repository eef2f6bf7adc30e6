package quantity

import (
	"errors"
	"fmt"
	"math/big"
)

// Add gives a + b in the unit of a. Uncertainties combine as the root of the sum
// of the squares of standard uncertainties, for inputs that do not depend on
// each other (JCGM 100:2008, 5.1.2), and are stated with k=2. Where one of them
// is not recorded the sum has none: absence is carried, not filled in. A bound
// makes the sum a bound; two that point in different directions are an error, as
// is over-range. A temperature and a temperature difference give a temperature.
func Add(a, b Quantity) (Quantity, error) { return sum(a, b, 1) }

// Sub gives a - b in the unit of a, by the rules of Add. Two temperatures give a
// temperature difference.
func Sub(a, b Quantity) (Quantity, error) { return sum(a, b, -1) }

// Sum adds one or more quantities from the first to the last.
func Sum(first Quantity, rest ...Quantity) (Quantity, error) {
	total := first
	for _, q := range rest {
		var err error
		if total, err = Add(total, q); err != nil {
			return Quantity{}, err
		}
	}
	return total, nil
}

func sum(a, b Quantity, sign int64) (Quantity, error) {
	if err := computable(a, b); err != nil {
		return Quantity{}, err
	}
	unit, err := sumUnit(a, b, sign)
	if err != nil {
		return Quantity{}, err
	}
	factor := big.NewRat(sign, 1)
	f := func(x, y *big.Rat) *big.Rat { return new(big.Rat).Add(x, new(big.Rat).Mul(factor, y)) }
	directionB := b.bound
	if sign < 0 {
		directionB = opposite(b.bound)
	}
	bound, err := jointBound(a.bound, directionB)
	if err != nil {
		return Quantity{}, err
	}
	r := Quantity{unit: unit, bound: bound}
	r.value = unit.fromReference(f(a.extreme(bound), b.extreme(turned(bound, sign < 0))))
	if bound == Point {
		r.u = combine(unit, a.contribution(big.NewRat(1, 1)), b.contribution(factor))
	}
	r.step = coarser(unit, a, b)
	return r, nil
}

// sumUnit is the unit of a sum, with the special case of temperatures.
func sumUnit(a, b Quantity, sign int64) (*Unit, error) {
	da, db := a.unit.Dimension, b.unit.Dimension
	switch {
	case da == Temperature && db == Temperature && sign < 0:
		return a.unit.difference(), nil
	case da == Temperature && db == TemperatureDifference:
		return a.unit, nil
	case da == Temperature && db == Temperature:
		return nil, errors.New("two temperatures do not add up; a temperature and a difference in K do")
	case da != db:
		return nil, &Mismatch{Text: b.Text(), Got: db, Want: da}
	}
	return a.unit, nil
}

// computable refuses what has no number.
func computable(list ...Quantity) error {
	for _, q := range list {
		if q.value == nil {
			return &NotAPoint{q}
		}
	}
	return nil
}

func opposite(b Bound) Bound {
	switch b {
	case Above:
		return Below
	case AtOrAbove:
		return AtOrBelow
	case Below:
		return Above
	case AtOrBelow:
		return AtOrAbove
	}
	return b
}

func turned(b Bound, turn bool) Bound {
	if turn {
		return opposite(b)
	}
	return b
}

// jointBound is the bound of a sum or product of two quantities that both act in
// the same direction.
func jointBound(a, b Bound) (Bound, error) {
	switch {
	case a == Point:
		return b, nil
	case b == Point || a == b:
		return a, nil
	case a.lower() && b.lower():
		return Above, nil
	case a.upper() && b.upper():
		return Below, nil
	}
	return Point, errors.New("a lower and an upper bound do not combine into either")
}

// extreme is the value that counts under a bound: of a point with uncertainty the
// low end for a lower bound, the high end for an upper one.
func (q Quantity) extreme(b Bound) *big.Rat {
	v := q.reference()
	if q.u == nil {
		return v
	}
	switch {
	case b.lower():
		return v.Sub(v, q.referenceU())
	case b.upper():
		return v.Add(v, q.referenceU())
	}
	return v
}

// contribution is one input's standard uncertainty times its sensitivity, nil
// where it is not recorded. Counts and ratios without one are exact.
func (q Quantity) contribution(sensitivity *big.Rat) *big.Rat {
	if q.u == nil {
		if d := q.unit.Dimension; d == Count || d == Ratio {
			return new(big.Rat)
		}
		return nil
	}
	u := new(big.Rat).Mul(q.u.standard(), q.unit.factor)
	return u.Mul(u, sensitivity)
}

// combine gives the expanded uncertainty (k=2) of independent contributions in
// the coherent unit, nil if one is not recorded or none has any.
func combine(unit *Unit, contributions ...*big.Rat) *uncertainty {
	total := new(big.Rat)
	for _, c := range contributions {
		if c == nil {
			return nil
		}
		total.Add(total, new(big.Rat).Mul(c, c))
	}
	if total.Sign() == 0 {
		return nil
	}
	u := squareRoot(total)
	u.Quo(u, unit.factor)
	return &uncertainty{expanded: u.Mul(u, defaultCoverage), k: defaultCoverage}
}

// coarser is the larger last digit of two inputs in the unit of their sum.
func coarser(unit *Unit, a, b Quantity) *big.Rat {
	if a.step == nil || b.step == nil {
		return nil
	}
	sa := new(big.Rat).Mul(a.step, a.unit.factor)
	sb := new(big.Rat).Mul(b.step, b.unit.factor)
	if sa.Cmp(sb) < 0 {
		sa = sb
	}
	return sa.Quo(sa, unit.factor)
}

// Mul gives a · b in the coherent SI unit of the product's dimension (kg, N.m,
// J, W ...), or in the unit of the other where one is a count or a ratio. A pair
// that the table of dimensions does not know is an error. Relative standard
// uncertainties combine as root of sum of squares (JCGM 100:2008, 5.1.6).
func Mul(a, b Quantity) (Quantity, error) {
	if err := computable(a, b); err != nil {
		return Quantity{}, err
	}
	d, ok := timesDimension(a.unit.Dimension, b.unit.Dimension)
	if !ok {
		return Quantity{}, fmt.Errorf("%s times %s is not a quantity that can be computed here", a.unit.Dimension, b.unit.Dimension)
	}
	if err := boundsArePositive(a, b); err != nil {
		return Quantity{}, err
	}
	bound, err := jointBound(a.bound, b.bound)
	if err != nil {
		return Quantity{}, err
	}
	r := Quantity{unit: scaledUnit(d, a, b), bound: bound}
	r.value = r.unit.fromReference(new(big.Rat).Mul(a.extreme(bound), b.extreme(bound)))
	if bound == Point {
		r.u = combine(r.unit, a.contribution(b.reference()), b.contribution(a.reference()))
	}
	return r, nil
}

// Div gives a / b by the rules of Mul; like over like gives a ratio in percent.
// Division by zero is an error.
func Div(a, b Quantity) (Quantity, error) {
	if err := computable(a, b); err != nil {
		return Quantity{}, err
	}
	d, ok := overDimension(a.unit.Dimension, b.unit.Dimension)
	if !ok {
		return Quantity{}, fmt.Errorf("%s over %s is not a quantity that can be computed here", a.unit.Dimension, b.unit.Dimension)
	}
	if err := boundsArePositive(a, b); err != nil {
		return Quantity{}, err
	}
	bound, err := jointBound(a.bound, opposite(b.bound))
	if err != nil {
		return Quantity{}, err
	}
	divisor := b.extreme(opposite(bound))
	if divisor.Sign() == 0 {
		return Quantity{}, fmt.Errorf("%q is zero and cannot divide", b.Text())
	}
	r := Quantity{unit: quotientUnit(d, a, b), bound: bound}
	r.value = r.unit.fromReference(new(big.Rat).Quo(a.extreme(bound), divisor))
	if bound == Point {
		r.u = quotientUncertainty(r, a, b)
	}
	return r, nil
}

// quotientUncertainty uses the sensitivities 1/b and a/b².
func quotientUncertainty(r, a, b Quantity) *uncertainty {
	inverse := new(big.Rat).Inv(b.reference())
	slope := new(big.Rat).Mul(r.reference(), inverse)
	return combine(r.unit, a.contribution(inverse), b.contribution(slope))
}

// boundsArePositive keeps bounds out of products in which a sign could turn
// their direction.
func boundsArePositive(a, b Quantity) error {
	if a.bound == Point && b.bound == Point {
		return nil
	}
	for _, q := range []Quantity{a, b} {
		if q.extreme(Above).Sign() < 0 || q.bound.upper() && q.unit.Dimension == Angle {
			return fmt.Errorf("%q may be negative, so a bound on the result can't be given", q.Text())
		}
	}
	return nil
}

// scaledUnit keeps the unit of the quantity that a count or ratio multiplies.
func scaledUnit(d Dimension, a, b Quantity) *Unit {
	switch d {
	case a.unit.Dimension:
		return a.unit
	case b.unit.Dimension:
		return b.unit
	}
	return index().reference[d]
}

func quotientUnit(d Dimension, a, b Quantity) *Unit {
	if a.unit.Dimension == b.unit.Dimension {
		return index().bySymbol["%"]
	}
	if d == a.unit.Dimension {
		return a.unit
	}
	return index().reference[d]
}
