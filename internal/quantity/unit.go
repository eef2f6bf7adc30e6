package quantity

import (
	"fmt"
	"math/big"
	"slices"
	"strings"
	"sync"
)

// Unit is one row of the unit table: a symbol as records write it, what it is in
// words, and where its factor comes from.
type Unit struct {
	Symbol    string // "lbf.ft", "cwt (UK)"; "" for a count
	Dimension Dimension
	Name      string // "pound-force foot"
	Factor    string // to the coherent SI unit of the dimension, as a product of exact numbers
	Source    string // of the factor

	factor *big.Rat // the product worked out
	offset *big.Rat // added before the factor; only for temperatures on a scale
}

// tight reports whether the symbol stands against its number without a space
// (SI Brochure 5.4.3 for degree, minute and second of angle).
func (u *Unit) tight() bool { return isTight(u.Symbol) }

func isTight(symbol string) bool {
	return slices.Contains(tightSymbols, symbol)
}

var tightSymbols = []string{"°", "′", "″", ":1"}

// country is "UK" or "US" for a unit that differs between the two, else "".
func (u *Unit) country() string {
	if _, c, ok := cutCountry(u.Symbol); ok {
		return c
	}
	return ""
}

// cutCountry splits "cwt (UK)" into "cwt" and "UK".
func cutCountry(symbol string) (base, country string, ok bool) {
	for _, c := range []string{"UK", "US"} {
		if base, ok := strings.CutSuffix(symbol, " ("+c+")"); ok {
			return base, c, true
		}
	}
	return symbol, "", false
}

// toReference turns a value in u into the coherent unit of the dimension.
func (u *Unit) toReference(v *big.Rat) *big.Rat {
	r := new(big.Rat).Set(v)
	if u.offset != nil {
		r.Add(r, u.offset)
	}
	return r.Mul(r, u.factor)
}

// fromReference is the inverse of toReference.
func (u *Unit) fromReference(v *big.Rat) *big.Rat {
	r := new(big.Rat).Quo(v, u.factor)
	if u.offset != nil {
		r.Sub(r, u.offset)
	}
	return r
}

// unitIndex is the table made ready for use; it is built on first need so that
// starting the program costs nothing.
type unitIndex struct {
	bySymbol  map[string]*Unit
	byDim     map[Dimension][]*Unit
	reference map[Dimension]*Unit
}

var index = sync.OnceValue(func() *unitIndex {
	ix := &unitIndex{
		bySymbol:  make(map[string]*Unit, len(unitTable)),
		byDim:     make(map[Dimension][]*Unit),
		reference: make(map[Dimension]*Unit),
	}
	one := big.NewRat(1, 1)
	for i := range unitTable {
		u := unitTable[i]
		u.factor = evaluate(u.Factor)
		u.offset = scaleOffset(u.Symbol)
		ix.bySymbol[u.Symbol] = &u
		ix.byDim[u.Dimension] = append(ix.byDim[u.Dimension], &u)
		if _, ok := ix.reference[u.Dimension]; !ok && u.factor.Cmp(one) == 0 {
			ix.reference[u.Dimension] = &u
		}
	}
	return ix
})

// scaleOffset is what must be added to a temperature before the factor gives
// kelvin: t/°C + 273.15, t/°F + 459.67 (NIST SP 811, appendix B.8).
func scaleOffset(symbol string) *big.Rat {
	switch symbol {
	case "°C":
		return evaluate("273.15")
	case "°F":
		return evaluate("459.67")
	}
	return nil
}

// evaluate works out "0.45359237*9.80665/3": factors from left to right.
func evaluate(expression string) *big.Rat {
	result := big.NewRat(1, 1)
	divide := false
	for rest := expression; rest != ""; {
		end := strings.IndexAny(rest, "*/")
		if end < 0 {
			end = len(rest)
		}
		f, ok := new(big.Rat).SetString(rest[:end])
		if !ok {
			panic("quantity: bad factor in the unit table: " + expression)
		}
		if divide {
			result.Quo(result, f)
		} else {
			result.Mul(result, f)
		}
		if end == len(rest) {
			break
		}
		divide, rest = rest[end] == '/', rest[end+1:]
	}
	return result
}

// Units lists the units of a dimension, the usual ones first.
func (d Dimension) Units() []Unit {
	var list []Unit
	for _, u := range index().byDim[d] {
		list = append(list, *u)
	}
	return list
}

// usual names the first few units of a dimension for messages: "N.m, lbf.ft,
// lbf.in or kgf.m".
func (d Dimension) usual() string {
	if d == Count {
		return "a plain number"
	}
	var names []string
	for _, u := range index().byDim[d] {
		if len(names) < 4 {
			names = append(names, u.Symbol)
		}
	}
	return orList(names)
}

// orList joins words the way a sentence does: "a, b or c".
func orList(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " or " + words[last]
}

// unitNamed finds a unit by its canonical symbol; the error says what would be
// right when the spelling is a known one.
func unitNamed(symbol string) (*Unit, error) {
	if u, ok := index().bySymbol[symbol]; ok {
		return u, nil
	}
	if options := spellings(symbol, Unknown); len(options) > 0 {
		var names []string
		for _, o := range options {
			names = append(names, fmt.Sprintf("%q", o.unit.Symbol))
		}
		return nil, fmt.Errorf("unit %q is written %s", symbol, orList(names))
	}
	return nil, fmt.Errorf("no unit is written %q", symbol)
}
