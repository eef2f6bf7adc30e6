package quantity

import (
	"fmt"
	"math/big"
	"strings"
)

// maxDigits bounds a written number; no instrument in a workshop shows more.
const maxDigits = 24

// number is a decimal or a fraction as written.
type number struct {
	text  string
	value *big.Rat
	step  *big.Rat // one unit of the last written digit, or one part of the fraction
}

// scanNumber takes a canonical number from the front of s.
func scanNumber(s string) (n number, rest string, err error) {
	start := s
	negative := strings.HasPrefix(s, "-")
	s = strings.TrimPrefix(s, "-")
	whole, s := cutDigits(s)
	if whole == "" {
		return n, start, fmt.Errorf("a number is wanted where %q stands", clip(start))
	}
	if fraction, ok := strings.CutPrefix(s, "."); ok {
		part, after := cutDigits(fraction)
		if part == "" {
			return n, start, fmt.Errorf("digits are wanted after the decimal point in %q", clip(start))
		}
		n, err = decimalNumber(whole+"."+part, len(part))
		s = after
	} else if over, after, ok := cutFraction(whole, s); ok {
		n, err = fractionNumber(over)
		s = after
	} else {
		n, err = decimalNumber(whole, 0)
	}
	if err != nil {
		return n, start, err
	}
	if negative {
		n.value.Neg(n.value)
	}
	n.text = start[:len(start)-len(s)]
	return n, s, nil
}

func decimalNumber(digits string, decimals int) (number, error) {
	if len(digits) > maxDigits {
		return number{}, fmt.Errorf("%d digits are more than a reading can have (%d at most)", len(digits), maxDigits)
	}
	v, ok := new(big.Rat).SetString(digits)
	if !ok {
		return number{}, fmt.Errorf("%q is not a number", clip(digits))
	}
	return number{value: v, step: decimalStep(decimals)}, nil
}

// mixed is a whole number and a fraction, "1 3/4".
type mixed struct{ whole, numerator, denominator string }

// cutFraction recognises "/4" after "3", and " 3/4" after "1".
func cutFraction(whole, s string) (m mixed, rest string, ok bool) {
	m = mixed{whole: "0", numerator: whole}
	if after, found := strings.CutPrefix(s, " "); found {
		m.whole = whole
		m.numerator, s = cutDigits(after)
	}
	s, found := strings.CutPrefix(s, "/")
	if !found || m.numerator == "" {
		return m, s, false
	}
	m.denominator, s = cutDigits(s)
	return m, s, m.denominator != ""
}

func fractionNumber(m mixed) (number, error) {
	if len(m.whole) > 9 || len(m.numerator) > 4 || len(m.denominator) > 4 {
		return number{}, fmt.Errorf("%s/%s is too long for a fraction; write a decimal", m.numerator, m.denominator)
	}
	over, _ := new(big.Rat).SetString(m.denominator)
	part, _ := new(big.Rat).SetString(m.numerator)
	whole, _ := new(big.Rat).SetString(m.whole)
	if over.Sign() == 0 || part.Cmp(over) >= 0 {
		return number{}, fmt.Errorf("%s/%s is not a part of one", m.numerator, m.denominator)
	}
	value := new(big.Rat).Quo(part, over)
	return number{value: value.Add(value, whole), step: new(big.Rat).Inv(over)}, nil
}

func cutDigits(s string) (digits, rest string) {
	i := 0
	for i < len(s) && s[i] >= '0' && s[i] <= '9' {
		i++
	}
	return s[:i], s[i:]
}

// decimalStep is 10 to the power -decimals.
func decimalStep(decimals int) *big.Rat {
	power := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(max(decimals, -decimals))), nil)
	step := new(big.Rat).SetInt(power)
	if decimals > 0 {
		step.Inv(step)
	}
	return step
}

// direction is how a value is rounded for show: a lower bound may only be
// rounded down, an upper bound and an uncertainty only up.
type direction int

const (
	nearest direction = iota
	down
	up
)

// roundTo rounds v to a multiple of 10^-decimals; halves go away from zero
// (ISO 80000-1:2022, annex B, rule B).
func roundTo(v *big.Rat, decimals int, d direction) *big.Rat {
	step := decimalStep(decimals)
	scaled := new(big.Rat).Quo(v, step)
	switch d {
	case nearest:
		half := big.NewRat(int64(scaled.Sign()), 2)
		scaled.Add(scaled, half)
		scaled.SetInt(new(big.Int).Quo(scaled.Num(), scaled.Denom()))
	case down, up:
		floor := new(big.Int).Div(scaled.Num(), scaled.Denom())
		if d == up && !scaled.IsInt() {
			floor.Add(floor, big.NewInt(1))
		}
		scaled.SetInt(floor)
	}
	return scaled.Mul(scaled, step)
}

// decimalText writes a value that is already rounded.
func decimalText(v *big.Rat, decimals int) string {
	text := v.FloatString(max(decimals, 0))
	if v.Sign() == 0 {
		text = strings.TrimPrefix(text, "-")
	}
	return text
}

// order is the power of ten of the first significant digit of v: 3 for 1020,
// -2 for 0.05.
func order(v *big.Rat) int {
	if v.Sign() == 0 {
		return 0
	}
	a := new(big.Rat).Abs(v)
	n := len(a.Num().String()) - len(a.Denom().String())
	if a.Cmp(decimalStep(-n)) < 0 {
		n--
	}
	return n
}

// decimalsFor is the number of decimals that shows a value known to a step: the
// step itself if it is a power of ten, else the fewest whose last place is no
// coarser than a quarter of it, so that rounding for show adds little to the
// rounding that is there (NIST SP 811, B.7.2).
func decimalsFor(step *big.Rat) int {
	n := order(step)
	if decimalStep(-n).Cmp(step) != 0 {
		n = order(new(big.Rat).Quo(step, big.NewRat(4, 1)))
	}
	return min(max(-n, 0), maxDecimals)
}

const maxDecimals = 15

// squareRoot gives the root of a square exactly and any other root to some 60
// digits, far beyond what a reading can need.
func squareRoot(v *big.Rat) *big.Rat {
	f := new(big.Float).SetPrec(200).SetRat(v)
	root, _ := f.Sqrt(f).Rat(nil)
	return root
}

// clip shortens text from outside for an error message.
func clip(s string) string {
	const most = 40
	runes := []rune(s)
	if len(runes) <= most {
		return s
	}
	return string(runes[:most]) + "…"
}
