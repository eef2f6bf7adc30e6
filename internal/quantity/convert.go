package quantity

import (
	"math/big"
	"strings"
)

// In converts exactly into another unit of the same dimension, given by its
// canonical symbol. Bound, uncertainty and the size of the last written digit
// are converted along, so that rounding stays known. Over-range has no unit and
// is returned as it is. A different dimension is a [Mismatch].
func (q Quantity) In(unit string) (Quantity, error) {
	to, err := unitNamed(unit)
	if err != nil {
		return Quantity{}, err
	}
	if q.value == nil {
		if q.IsZero() {
			return Quantity{}, &NotAPoint{q}
		}
		return q, nil
	}
	if q.unit.Dimension != to.Dimension {
		return Quantity{}, &Mismatch{Text: q.Text(), Got: q.unit.Dimension, Want: to.Dimension}
	}
	if q.unit == to {
		return q, nil
	}
	scale := new(big.Rat).Quo(q.unit.factor, to.factor)
	r := q.computed()
	r.unit = to
	r.value = to.fromReference(q.reference())
	if q.step != nil {
		r.step = new(big.Rat).Mul(q.step, scale)
	}
	if q.u != nil {
		r.u = &uncertainty{expanded: new(big.Rat).Mul(q.u.expanded, scale), k: q.u.k}
	}
	return r, nil
}

// Round gives the quantity rounded to a number of decimals (negative: tens,
// hundreds). A lower bound is rounded down and an upper bound up, an uncertainty
// always up, so that nothing is claimed that the value does not carry. There are
// never more digits than Parse takes.
func (q Quantity) Round(decimals int) Quantity {
	if q.value == nil {
		return q
	}
	decimals = min(decimals, maxDecimals, maxDigits-2-order(q.value))
	decimals = max(decimals, -maxDecimals)
	r := q.computed()
	r.value = roundTo(q.value, decimals, q.bound.rounding())
	r.step = decimalStep(decimals)
	if q.u != nil {
		r.u = &uncertainty{expanded: roundTo(q.u.expanded, decimals, up), k: q.u.k}
	}
	r.canonical = r.spell(decimals)
	return r
}

func (b Bound) rounding() direction {
	switch {
	case b.lower():
		return down
	case b.upper():
		return up
	}
	return nearest
}

// Canonical is the spelling that a record would hold. A written quantity keeps
// its digits. A computed one is rounded for show: to two digits of its
// uncertainty (JCGM 100:2008, 7.2.6); else to the size of the last digit it came
// from or a little finer; else to six significant digits unless it ends sooner.
func (q Quantity) Canonical() string {
	switch {
	case q.canonical != "":
		return q.canonical
	case q.value == nil:
		return q.bound.String()
	}
	return q.Round(q.shownDecimals()).canonical
}

func (q Quantity) shownDecimals() int {
	switch {
	case q.u != nil && q.u.expanded.Sign() > 0:
		return 1 - order(q.u.expanded)
	case q.step != nil:
		return decimalsFor(q.step)
	}
	for d := 0; d <= 6; d++ {
		if new(big.Rat).Mul(q.value, decimalStep(-d)).IsInt() {
			return d
		}
	}
	return max(5-order(q.value), 0)
}

// spell writes a value already rounded to the given decimals.
func (q Quantity) spell(decimals int) string {
	var b strings.Builder
	b.WriteString(q.bound.String())
	b.WriteString(decimalText(q.value, decimals))
	if q.u != nil {
		b.WriteString(" ±" + decimalText(q.u.expanded, decimals))
	}
	if q.unit.Symbol != "" && !q.unit.tight() {
		b.WriteString(" ")
	}
	b.WriteString(q.unit.Symbol)
	if q.u != nil && q.u.k.Cmp(defaultCoverage) != 0 {
		b.WriteString(" (k=" + coverageText(q.u.k) + ")")
	}
	return b.String()
}

// coverageText writes a coverage factor exactly; it came from a decimal or from
// a caller's rational, which is then cut to four decimals.
func coverageText(k *big.Rat) string {
	for d := 0; d < 4; d++ {
		if new(big.Rat).Mul(k, decimalStep(-d)).IsInt() {
			return decimalText(k, d)
		}
	}
	return k.FloatString(4)
}
