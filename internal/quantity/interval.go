package quantity

import (
	"math/big"
)

// Ordering is the result of a comparison.
type Ordering string

// The results of Compare. Unsettled: the bounds written do not decide it.
const (
	Less      Ordering = "less"
	Same      Ordering = "same"
	More      Ordering = "more"
	Unsettled Ordering = "unsettled"
)

// Compare orders two quantities as written, without regard to uncertainty or
// rounding: bounds count as everything on their side, so ">550 MΩ" is more than
// "500 MΩ" and unsettled against "600 MΩ". Over-range compares as unsettled.
// Different dimensions are a [*Mismatch], an absent quantity a [*NotAPoint].
func Compare(a, b Quantity) (Ordering, error) {
	if err := sameKind(a, b); err != nil {
		return Unsettled, err
	}
	return a.asWritten().compare(b.asWritten()), nil
}

// sameKind refuses absent quantities and different dimensions; over-range has
// no dimension and is let through.
func sameKind(a, b Quantity) error {
	for _, q := range []Quantity{a, b} {
		if q.IsZero() {
			return &NotAPoint{q}
		}
	}
	if a.unit != nil && b.unit != nil && a.unit.Dimension != b.unit.Dimension {
		return &Mismatch{Text: b.Text(), Got: b.unit.Dimension, Want: a.unit.Dimension}
	}
	return nil
}

// Interval is a range of possible values, each end open, closed, or unlimited.
type Interval struct {
	unit              *Unit
	low, high         *big.Rat // in the coherent unit; nil is unlimited
	lowOpen, highOpen bool
}

// asWritten is the interval of the bound alone; a point is one value.
func (q Quantity) asWritten() Interval {
	i := Interval{unit: q.unit}
	if q.value == nil {
		return i
	}
	v := q.reference()
	if !q.bound.upper() {
		i.low, i.lowOpen = v, q.bound == Above
	}
	if !q.bound.lower() {
		i.high, i.highOpen = v, q.bound == Below
	}
	return i
}

// Interval gives the values that the quantity may stand for. A recorded
// uncertainty widens a point by U on both sides. Where none is recorded and
// implied is set, half a unit of the last written digit does. Bounds are
// unlimited on their open side; over-range is unlimited on both.
func (q Quantity) Interval(implied bool) Interval {
	i := q.asWritten()
	if !q.IsPoint() {
		return i
	}
	half := new(big.Rat)
	switch {
	case q.u != nil:
		half = q.referenceU()
	case implied && q.step != nil:
		half.Mul(q.step, q.unit.factor).Quo(half, big.NewRat(2, 1))
	}
	i.low = new(big.Rat).Sub(i.low, half)
	i.high = new(big.Rat).Add(i.high, half)
	return i
}

// Low is the lower end in the quantity's unit; ok is false where it is unlimited.
func (i Interval) Low() (q Quantity, open, ok bool) { return i.end(i.low), i.lowOpen, i.low != nil }

// High is the upper end in the quantity's unit; ok is false where it is unlimited.
func (i Interval) High() (q Quantity, open, ok bool) { return i.end(i.high), i.highOpen, i.high != nil }

func (i Interval) end(v *big.Rat) Quantity {
	if v == nil {
		return Quantity{}
	}
	return Quantity{unit: i.unit, value: i.unit.fromReference(v)}
}

// Overlaps reports whether some value lies in both intervals; different
// dimensions are a [*Mismatch].
func (i Interval) Overlaps(o Interval) (bool, error) {
	if i.unit != nil && o.unit != nil && i.unit.Dimension != o.unit.Dimension {
		return false, &Mismatch{Text: o.unit.Symbol, Got: o.unit.Dimension, Want: i.unit.Dimension}
	}
	return !i.before(o) && !o.before(i), nil
}

// before reports whether all of i lies below all of o.
func (i Interval) before(o Interval) bool {
	if i.high == nil || o.low == nil {
		return false
	}
	c := i.high.Cmp(o.low)
	return c < 0 || c == 0 && (i.highOpen || o.lowOpen)
}

func (i Interval) isPoint() bool {
	return i.low != nil && i.high != nil && i.low.Cmp(i.high) == 0
}

func (i Interval) compare(o Interval) Ordering {
	switch {
	case i.before(o):
		return Less
	case o.before(i):
		return More
	case i.isPoint() && o.isPoint():
		return Same
	}
	return Unsettled
}

// SameWithinRounding reports whether two written quantities can be one value,
// each rounded to its last written digit: "35 lbf.ft" and "47.5 N.m" can. A
// recorded uncertainty is left aside. Different dimensions are an error.
func SameWithinRounding(a, b Quantity) (bool, error) {
	if err := sameKind(a, b); err != nil {
		return false, err
	}
	a.u, b.u = nil, nil
	return a.Interval(true).Overlaps(b.Interval(true))
}
