package workings

import (
	"math/big"
	"regexp"
	"strings"

	"boltback/internal/quantity"
)

// Accuracy is what an instrument's maker states: a share of the reading, digits
// of its last place, a fixed amount, or a share of full scale.
type Accuracy struct {
	Text                     string
	PercentOfReading, Digits *big.Rat
	PercentOfFullScale       *big.Rat
	Fixed                    quantity.Quantity
	EachPad                  bool
	understood               bool
}

// accuracyTerm is one "±..." of a statement.
var accuracyTerm = regexp.MustCompile(`±\s*([0-9.]+)\s*([^±]*)`)

// ReadAccuracy reads "±3 % of reading ±2 digits", "±0.5 kg each pad", "±2 % of
// full scale". What it does not understand makes the whole unknown.
func ReadAccuracy(text string) Accuracy {
	a := Accuracy{Text: text}
	for _, m := range accuracyTerm.FindAllStringSubmatch(text, -1) {
		n, ok := new(big.Rat).SetString(m[1])
		if !ok {
			return Accuracy{Text: text}
		}
		rest := strings.TrimSpace(m[2])
		switch {
		case strings.HasPrefix(rest, "% of full scale"):
			a.PercentOfFullScale = n
		case strings.HasPrefix(rest, "% of reading"), rest == "%":
			a.PercentOfReading = n
		case strings.HasPrefix(rest, "digit"):
			a.Digits = n
		default:
			unit, _, _ := strings.Cut(rest, " ")
			q, err := quantity.Parse(m[1] + " " + strings.TrimRight(unit, ",;"))
			if err != nil || strings.Contains(rest, " to ") || strings.Contains(rest, " of ") {
				return Accuracy{Text: text}
			}
			a.Fixed, a.EachPad = q, strings.Contains(rest, "each pad")
		}
		a.understood = true
	}
	return a
}

// Understood reports whether the statement gives a number.
func (a Accuracy) Understood() bool { return a.understood }

// On gives the largest error of a reading; top is the end of the range, for
// statements on full scale. ok is false where it cannot be said.
func (a Accuracy) On(reading, top quantity.Quantity) (limit quantity.Quantity, ok bool) {
	if !a.understood || !reading.IsPoint() {
		return quantity.Quantity{}, false
	}
	total := new(big.Rat)
	v, _ := reading.Rat()
	percent := func(share, of *big.Rat) {
		total.Add(total, new(big.Rat).Mul(share, new(big.Rat).Abs(new(big.Rat).Quo(of, big.NewRat(100, 1)))))
	}
	if a.PercentOfReading != nil {
		percent(a.PercentOfReading, v)
	}
	if a.PercentOfFullScale != nil {
		t, err := top.In(reading.Unit())
		if err != nil || !t.IsPoint() {
			return quantity.Quantity{}, false
		}
		full, _ := t.Rat()
		percent(a.PercentOfFullScale, full)
	}
	if a.Digits != nil {
		total.Add(total, new(big.Rat).Mul(a.Digits, lastPlace(reading)))
	}
	if !a.Fixed.IsZero() {
		f, err := a.Fixed.In(reading.Unit())
		if err != nil {
			return quantity.Quantity{}, false
		}
		fixed, _ := f.Rat()
		total.Add(total, fixed)
	}
	limit, err := quantity.New(total, reading.Unit())
	return limit, err == nil
}

// lastPlace is one unit of the last digit written.
func lastPlace(q quantity.Quantity) *big.Rat {
	low, _, ok1 := q.Interval(true).Low()
	high, _, ok2 := q.Interval(true).High()
	if _, _, stated := q.Uncertainty(); stated || !ok1 || !ok2 {
		return new(big.Rat)
	}
	l, _ := low.Rat()
	h, _ := high.Rat()
	return new(big.Rat).Sub(h, l)
}

// Measured gives a reading its uncertainty from the maker's statement, taken as
// a rectangular half-width: U = 2a/√3 (JCGM 100:2008, 4.3.7). A recorded
// uncertainty is kept; without a statement the reading stays as it is.
func Measured(in Input, a Accuracy, top quantity.Quantity) Input {
	if _, _, stated := in.Value.Uncertainty(); stated || in.Value.IsZero() {
		return in
	}
	limit, ok := a.On(in.Value, top)
	if !ok {
		return in
	}
	half, _ := limit.Rat()
	if half.Sign() == 0 {
		return in
	}
	u, err := quantity.New(new(big.Rat).Mul(half, squareRoot(big.NewRat(4, 3))), in.Value.Unit())
	if err != nil {
		return in
	}
	if q, err := in.Value.WithUncertainty(u, big.NewRat(2, 1)); err == nil {
		return in.with(q)
	}
	return in
}
