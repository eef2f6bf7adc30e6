package quantity

import (
	"fmt"
	"math/big"
)

// Bound says whether a quantity is a point, or only known to lie on one side of
// the number written, or past the end of the instrument's range.
type Bound uint8

// The kinds of bound, with the sign that a record writes.
const (
	Point      Bound = iota
	Above            // ">"
	AtOrAbove        // "≥"
	Below            // "<"
	AtOrBelow        // "≤"
	OverRange        // "over-range": beyond an end of range that nobody wrote down
	UnderRange       // "under-range"
)

var boundSigns = []string{Point: "", Above: ">", AtOrAbove: "≥", Below: "<", AtOrBelow: "≤", OverRange: "over-range", UnderRange: "under-range"}

// String is the sign or the word as a record writes it; "" for a point.
func (b Bound) String() string { return boundSigns[b] }

func (b Bound) lower() bool { return b == Above || b == AtOrAbove }
func (b Bound) upper() bool { return b == Below || b == AtOrBelow }

// Quantity is an immutable measured or computed value with its unit. The zero
// value stands for "nothing recorded". It is opaque on purpose: there is no
// comparison by text, and == does not compile.
type Quantity struct {
	_         [0]func()
	text      string // as written; "" when computed
	canonical string // "" when computed
	unit      *Unit
	bound     Bound
	value     *big.Rat // in unit; nil for over-range, under-range and the zero value
	step      *big.Rat // unit of the last written digit, carried through In; nil when there is none
	u         *uncertainty
}

// uncertainty is an expanded uncertainty U = k·u (JCGM 100:2008, 6.2) in the
// unit of its quantity.
type uncertainty struct {
	expanded *big.Rat
	k        *big.Rat
}

func (u *uncertainty) standard() *big.Rat { return new(big.Rat).Quo(u.expanded, u.k) }

var defaultCoverage = big.NewRat(2, 1)

// IsZero reports whether nothing is recorded.
func (q Quantity) IsZero() bool { return q.value == nil && q.bound == Point }

// Text is what was written, untouched; for a computed quantity its canonical
// spelling.
func (q Quantity) Text() string {
	if q.text != "" {
		return q.text
	}
	return q.Canonical()
}

// String is Canonical, for printing.
func (q Quantity) String() string { return q.Canonical() }

// Dimension is Unknown for over-range, under-range and the zero value.
func (q Quantity) Dimension() Dimension {
	if q.unit == nil {
		return Unknown
	}
	return q.unit.Dimension
}

// Unit is the canonical symbol of the unit written; of several ("5 ft 3 in")
// the last.
func (q Quantity) Unit() string {
	if q.unit == nil {
		return ""
	}
	return q.unit.Symbol
}

// Bound says whether the quantity is a point.
func (q Quantity) Bound() Bound { return q.bound }

// IsPoint reports whether the quantity is a number, not a bound, over-range or
// nothing. Only points may be plotted or averaged.
func (q Quantity) IsPoint() bool { return q.value != nil && q.bound == Point }

// Rat is the exact number written, in Unit; ok is false where there is none.
// For a bound it is the bound.
func (q Quantity) Rat() (v *big.Rat, ok bool) {
	if q.value == nil {
		return nil, false
	}
	return new(big.Rat).Set(q.value), true
}

// Float is the number in the given unit, for drawing; an error where the
// quantity is not a point or has another dimension.
func (q Quantity) Float(unit string) (float64, error) {
	if !q.IsPoint() {
		return 0, &NotAPoint{q}
	}
	r, err := q.In(unit)
	if err != nil {
		return 0, err
	}
	f, _ := r.value.Float64()
	return f, nil
}

// Uncertainty is the expanded uncertainty as a quantity of its own, and its
// coverage factor; ok is false where none is recorded.
func (q Quantity) Uncertainty() (expanded Quantity, k *big.Rat, ok bool) {
	if q.u == nil {
		return Quantity{}, nil, false
	}
	u := Quantity{unit: q.unit.difference(), value: new(big.Rat).Set(q.u.expanded)}
	return u, new(big.Rat).Set(q.u.k), true
}

// difference is the unit in which differences of u are stated: itself, except
// for temperatures on a scale.
func (u *Unit) difference() *Unit {
	switch u.Symbol {
	case "°C":
		return index().bySymbol["K"]
	case "°F":
		return index().bySymbol["Δ°F"]
	}
	return u
}

// WithUncertainty states an expanded uncertainty for a quantity, for example
// from a calibration certificate. U must be a point of the same dimension (for
// temperatures a difference) and not negative, k positive.
func (q Quantity) WithUncertainty(expanded Quantity, k *big.Rat) (Quantity, error) {
	if !q.IsPoint() {
		return Quantity{}, &NotAPoint{q}
	}
	if !expanded.IsPoint() || expanded.value.Sign() < 0 || k == nil || k.Sign() <= 0 {
		return Quantity{}, fmt.Errorf("an uncertainty is a number that is not negative, with a positive coverage factor")
	}
	u, err := expanded.In(q.unit.difference().Symbol)
	if err != nil {
		return Quantity{}, err
	}
	r := q.computed()
	r.u = &uncertainty{expanded: u.value, k: new(big.Rat).Set(k)}
	return r, nil
}

// WithRounding turns the rounding of the last written digit into an
// uncertainty: a half-width a of a rectangular distribution gives u = a/√3, and
// with k=2 U = step/√3 (JCGM 100:2008, F.2.2.1). A quantity with a recorded
// uncertainty, or without written digits, is returned as it is.
func (q Quantity) WithRounding() Quantity {
	if !q.IsPoint() || q.u != nil || q.step == nil {
		return q
	}
	square := new(big.Rat).Mul(q.step, q.step)
	square.Quo(square, big.NewRat(3, 1))
	r := q.computed()
	r.u = &uncertainty{expanded: squareRoot(square), k: defaultCoverage}
	return r
}

// computed drops the written text: the result is no longer what somebody wrote.
func (q Quantity) computed() Quantity {
	q.text, q.canonical = "", ""
	return q
}

// New makes a computed quantity from an exact value; it has no uncertainty and
// no written digits.
func New(value *big.Rat, unit string) (Quantity, error) {
	u, err := unitNamed(unit)
	if err != nil {
		return Quantity{}, err
	}
	if value == nil {
		return Quantity{}, fmt.Errorf("a quantity needs a value")
	}
	return Quantity{unit: u, value: new(big.Rat).Set(value)}, nil
}

// Equal reports whether two quantities state the same: dimension, exact value,
// bound and uncertainty, in whatever units. "1000 g" equals "1 kg"; a different
// number of written digits does not matter.
func (q Quantity) Equal(o Quantity) bool {
	if q.bound != o.bound || q.Dimension() != o.Dimension() || (q.value == nil) != (o.value == nil) {
		return false
	}
	if q.value == nil {
		return true
	}
	if q.reference().Cmp(o.reference()) != 0 || (q.u == nil) != (o.u == nil) {
		return false
	}
	return q.u == nil || q.referenceU().Cmp(o.referenceU()) == 0 && q.u.k.Cmp(o.u.k) == 0
}

// reference is the value in the coherent unit of the dimension.
func (q Quantity) reference() *big.Rat { return q.unit.toReference(q.value) }

// referenceU is the expanded uncertainty in the coherent unit.
func (q Quantity) referenceU() *big.Rat { return new(big.Rat).Mul(q.u.expanded, q.unit.factor) }

// Mismatch is the error of two quantities, or a quantity and a field, that do
// not measure the same kind of thing.
type Mismatch struct {
	Text      string
	Got, Want Dimension
}

// Error says what the unit measures and what was wanted.
func (m *Mismatch) Error() string {
	return fmt.Sprintf("%q is %s, but %s is wanted", clip(m.Text), withArticle(m.Got), withArticle(m.Want))
}

func withArticle(d Dimension) string {
	switch {
	case d == Unknown:
		return "of no known dimension"
	case d[0] == 'a' || d[0] == 'e':
		return "an " + string(d)
	}
	return "a " + string(d)
}

// NotAPoint is the error of a computation that needs a number and got a bound,
// an over-range reading or nothing.
type NotAPoint struct{ Quantity Quantity }

// Error says that a bound is no figure to calculate with.
func (e *NotAPoint) Error() string {
	if e.Quantity.IsZero() {
		return "nothing is recorded"
	}
	return fmt.Sprintf("%q is not a number but a bound", clip(e.Quantity.Text()))
}
