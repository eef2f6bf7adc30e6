package workings

import (
	"math/big"
	"strings"

	"boltback/internal/quantity"
)

// Show writes a quantity for a page: a recorded one as it is written, a computed
// one in full where five digits hold it, so that sums of what was read add up on
// the page, else to four significant digits or to those that its uncertainty
// allows.
func Show(q quantity.Quantity) string {
	if q.IsZero() {
		return "not recorded"
	}
	if _, written := q.Rat(); !written || !q.IsPoint() {
		return q.Canonical()
	}
	if _, _, ok := q.Uncertainty(); ok || q.Canonical() != q.Text() || isWritten(q) {
		return q.Canonical()
	}
	if exact := q.Round(decimalsFor(q, 5)); exact.Equal(q) {
		return q.Canonical()
	}
	return q.Round(decimalsFor(q, 4)).Canonical()
}

// isWritten reports whether a quantity carries the digits that somebody wrote,
// which do not change when it is rounded as finely as it is written.
func isWritten(q quantity.Quantity) bool {
	low, _, ok := q.Interval(true).Low()
	return ok && !low.Equal(q)
}

// decimalsFor is the number of decimals that leaves a number of significant
// digits, never rounding a whole number away.
func decimalsFor(q quantity.Quantity, digits int) int {
	v, ok := q.Rat()
	if !ok || v.Sign() == 0 {
		return 0
	}
	return max(digits-magnitude(v), 0)
}

// magnitude is the number of digits before the point; negative for the zeros
// after it.
func magnitude(v *big.Rat) int {
	a := new(big.Rat).Abs(v)
	n := 0
	ten, one := big.NewRat(10, 1), big.NewRat(1, 1)
	for a.Cmp(one) >= 0 && n < 400 {
		a.Quo(a, ten)
		n++
	}
	for a.Cmp(big.NewRat(1, 10)) < 0 && n > -400 {
		a.Mul(a, ten)
		n--
	}
	return n
}

// withoutUncertainty is the bare number for a line of figures.
func withoutUncertainty(q quantity.Quantity) quantity.Quantity {
	if _, _, ok := q.Uncertainty(); !ok || !q.IsPoint() {
		return q
	}
	v, _ := q.Rat()
	if bare, _, found := strings.Cut(q.Canonical(), " ±"); found {
		if r, err := quantity.Parse(bare + " " + q.Unit()); err == nil {
			return r
		}
		if r, err := quantity.Parse(bare + q.Unit()); err == nil {
			return r
		}
	}
	if r, err := quantity.New(v, q.Unit()); err == nil {
		return r
	}
	return q
}

// asBound makes a bound of a computed number, rounded to the side that claims
// less.
func asBound(q quantity.Quantity, bound quantity.Bound) (quantity.Quantity, error) {
	v, _ := q.Rat()
	decimals := max(6-magnitude(v), 0)
	scale := new(big.Rat).SetInt(new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(decimals)), nil))
	scaled := new(big.Rat).Mul(v, scale)
	whole := new(big.Int).Div(scaled.Num(), scaled.Denom()) // towards minus infinity for a positive divisor
	if bound == quantity.Below || bound == quantity.AtOrBelow {
		if !scaled.IsInt() {
			whole.Add(whole, big.NewInt(1))
		}
	}
	rounded := new(big.Rat).Quo(new(big.Rat).SetInt(whole), scale)
	text := strings.TrimRight(strings.TrimRight(rounded.FloatString(decimals), "0"), ".")
	if decimals == 0 {
		text = rounded.FloatString(0)
	}
	gaps := []string{" ", ""}
	if q.Unit() == "°" {
		gaps = []string{"", " "}
	}
	for _, gap := range gaps {
		if r, err := quantity.Parse(bound.String() + text + gap + q.Unit()); err == nil {
			return r, nil
		}
	}
	return quantity.Parse(bound.String() + text + " " + q.Unit())
}
