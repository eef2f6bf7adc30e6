package quantity

import (
	"errors"
	"fmt"
	"math/big"
)

// Limit is what a reading must keep: a lower limit, an upper one, or both.
type Limit struct {
	low, high       Quantity
	lowOpen, upOpen bool
}

// AtLeast is a lower limit that belongs to the allowed values.
func AtLeast(q Quantity) Limit { return Limit{low: q} }

// MoreThan is a lower limit that does not.
func MoreThan(q Quantity) Limit { return Limit{low: q, lowOpen: true} }

// AtMost is an upper limit that belongs to the allowed values.
func AtMost(q Quantity) Limit { return Limit{high: q} }

// LessThan is an upper limit that does not.
func LessThan(q Quantity) Limit { return Limit{high: q, upOpen: true} }

// Between allows both ends and what lies between them.
func Between(low, high Quantity) Limit { return Limit{low: low, high: high} }

// Within is a specification with a tolerance in percent on both sides: 47 N.m
// ±4 %. The specification must be a point, the tolerance a ratio that is not
// negative.
func Within(spec, tolerance Quantity) (Limit, error) {
	if !spec.IsPoint() {
		return Limit{}, &NotAPoint{spec}
	}
	if !tolerance.IsPoint() || tolerance.unit.Dimension != Ratio || tolerance.value.Sign() < 0 {
		return Limit{}, errors.New(`a tolerance is a percentage such as "4 %"`)
	}
	if spec.unit.offset != nil {
		return Limit{}, errors.New("a percentage of a temperature has no meaning")
	}
	band := new(big.Rat).Abs(spec.value)
	band.Mul(band, tolerance.reference())
	low := Quantity{unit: spec.unit, value: new(big.Rat).Sub(spec.value, band)}
	high := Quantity{unit: spec.unit, value: new(big.Rat).Add(spec.value, band)}
	return Between(low, high), nil
}

// String says the limit in words: "at least 100 kΩ".
func (l Limit) String() string {
	switch {
	case !l.low.IsZero() && !l.high.IsZero():
		return fmt.Sprintf("between %s and %s", l.low, l.high)
	case !l.low.IsZero() && l.lowOpen:
		return "more than " + l.low.String()
	case !l.low.IsZero():
		return "at least " + l.low.String()
	case !l.high.IsZero() && l.upOpen:
		return "less than " + l.high.String()
	case !l.high.IsZero():
		return "at most " + l.high.String()
	}
	return "no limit"
}

// allowed is the limit as an interval.
func (l Limit) allowed() Interval {
	var i Interval
	if !l.low.IsZero() {
		i.unit, i.low, i.lowOpen = l.low.unit, l.low.reference(), l.lowOpen
	}
	if !l.high.IsZero() {
		i.unit, i.high, i.highOpen = l.high.unit, l.high.reference(), l.upOpen
	}
	return i
}
