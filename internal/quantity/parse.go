package quantity

import (
	"errors"
	"fmt"
	"math/big"
	"strings"
	"unicode/utf8"
)

// maxText is the longest quantity in bytes.
const maxText = 160

// Parse reads the canonical spelling, the one that records hold. The text is
// kept as it is and is also the canonical text of the result. Errors say what
// would be right; trade spellings are refused here and are for [Read].
func Parse(text string) (Quantity, error) {
	q, err := parse(text)
	if err != nil {
		return Quantity{}, fmt.Errorf("%q is not a quantity: %w", clip(text), err)
	}
	q.text, q.canonical = text, text
	return q, nil
}

// MustParse is Parse for constants in the program; it panics on an error.
func MustParse(text string) Quantity {
	q, err := Parse(text)
	if err != nil {
		panic(err)
	}
	return q
}

func parse(text string) (Quantity, error) {
	switch {
	case text == "":
		return Quantity{}, errors.New("nothing is written")
	case len(text) > maxText:
		return Quantity{}, fmt.Errorf("it is longer than %d bytes", maxText)
	case !utf8.ValidString(text):
		return Quantity{}, errors.New("it is not valid UTF-8")
	case text == OverRange.String():
		return Quantity{bound: OverRange}, nil
	case text == UnderRange.String():
		return Quantity{bound: UnderRange}, nil
	}
	body, k, err := cutCoverage(text)
	if err != nil {
		return Quantity{}, err
	}
	bound, rest := cutBound(body)
	terms, relative, err := scanTerms(rest)
	if err != nil {
		return Quantity{}, err
	}
	q, err := assemble(terms)
	if err != nil {
		return Quantity{}, err
	}
	q.bound = bound
	if err := q.attachUncertainty(terms[len(terms)-1].plusMinus, relative, k); err != nil {
		return Quantity{}, err
	}
	return q, q.possible()
}

// cutBound takes a sign such as ">" from the front.
func cutBound(s string) (Bound, string) {
	for b := Above; b <= AtOrBelow; b++ {
		if rest, ok := strings.CutPrefix(s, b.String()); ok {
			return b, rest
		}
	}
	return Point, s
}

// cutCoverage takes " (k=3)" from the end; k is nil where it is not written.
func cutCoverage(s string) (rest string, k *big.Rat, err error) {
	before, after, found := strings.Cut(s, " (k=")
	if !found {
		return s, nil, nil
	}
	n, tail, err := scanNumber(after)
	if err != nil || tail != ")" || n.value.Sign() <= 0 {
		return s, nil, errors.New(`a coverage factor is written "(k=2)" at the end`)
	}
	return before, n.value, nil
}

// term is one number with its unit: "47 N.m", "412.5 ±1 kg", or a part of
// "5 ft 3 in".
type term struct {
	number    number
	plusMinus *number
	symbol    string
}

// scanTerms reads all terms and the relative uncertainty after them.
func scanTerms(s string) (terms []term, relative *number, err error) {
	for {
		var t term
		if t, s, err = scanTerm(s); err != nil {
			return nil, nil, err
		}
		terms = append(terms, t)
		if s == "" {
			return terms, nil, nil
		}
		if after, ok := strings.CutPrefix(s, " ±"); ok {
			relative, err = scanRelative(after)
			return terms, relative, err
		}
		if t.plusMinus != nil {
			return nil, nil, fmt.Errorf("nothing is expected after the uncertainty but its unit, and %q stands there", clip(s))
		}
		if !isTight(t.symbol) {
			s = strings.TrimPrefix(s, " ")
		}
	}
}

func scanRelative(s string) (*number, error) {
	n, rest, err := scanNumber(s)
	if err != nil {
		return nil, err
	}
	if rest != " %" {
		return nil, errors.New(`an uncertainty stands before the unit ("412.5 ±1 kg"), or after it in percent ("47 N.m ±4 %")`)
	}
	return &n, nil
}

func scanTerm(s string) (t term, rest string, err error) {
	if t.number, s, err = scanNumber(s); err != nil {
		return t, s, err
	}
	if after, ok := strings.CutPrefix(s, " ±"); ok {
		var n number
		if n, s, err = scanNumber(after); err != nil {
			return t, s, err
		}
		t.plusMinus = &n
	}
	t.symbol, rest, err = scanSymbol(s)
	return t, rest, err
}

// scanSymbol takes a unit: one that stands tight, or after a space everything up
// to " ±" or a space with a digit.
func scanSymbol(s string) (symbol, rest string, err error) {
	for _, t := range tightSymbols {
		if after, ok := strings.CutPrefix(s, t); ok {
			return t, after, nil
		}
	}
	if s == "" || strings.HasPrefix(s, " ±") {
		return "", s, nil
	}
	body, ok := strings.CutPrefix(s, " ")
	if !ok {
		return "", s, fmt.Errorf("one space is wanted before the unit %q", clip(s))
	}
	end := len(body)
	for i := 0; i+1 < len(body); i++ {
		if body[i] == ' ' && (isDigit(body[i+1]) || strings.HasPrefix(body[i+1:], "±")) {
			end = i
			break
		}
	}
	if end == 0 || body[0] == ' ' {
		return "", s, errors.New("one space, not more, is wanted before the unit")
	}
	return body[:end], body[end:], nil
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

// assemble turns the terms into one value in the last unit.
func assemble(terms []term) (Quantity, error) {
	last := terms[len(terms)-1]
	country := ""
	if len(terms) > 1 {
		_, country, _ = cutCountry(last.symbol)
	}
	units := make([]*Unit, len(terms))
	usesCountry := false
	for i, t := range terms {
		u, err := compoundUnit(t.symbol, country, i == len(terms)-1)
		if err != nil {
			return Quantity{}, err
		}
		units[i] = u
		usesCountry = usesCountry || u.country() != ""
	}
	if country != "" && !usesCountry {
		return Quantity{}, fmt.Errorf("(%s) says nothing here: no unit in it differs by country", country)
	}
	total := new(big.Rat)
	for i, t := range terms {
		if err := checkTerm(terms, units, i); err != nil {
			return Quantity{}, err
		}
		part := new(big.Rat).Mul(t.number.value, units[i].factor)
		total.Add(total, part)
	}
	unit := units[len(units)-1]
	total.Quo(total, unit.factor)
	if len(terms) == 1 {
		total = last.number.value
	} else if strings.HasPrefix(terms[0].number.text, "-") {
		return Quantity{}, errors.New("several terms cannot be negative; write one number")
	}
	return Quantity{unit: unit, value: total, step: last.number.step}, nil
}

// compoundUnit finds the unit of one term; in "17 cwt 2 qr 14 lb (UK)" the
// country at the end holds for all of them.
func compoundUnit(symbol, country string, last bool) (*Unit, error) {
	if country == "" {
		return unitNamed(symbol)
	}
	if last {
		symbol, _, _ = cutCountry(symbol)
	}
	if u, ok := index().bySymbol[symbol+" ("+country+")"]; ok {
		return u, nil
	}
	return unitNamed(symbol)
}

// checkTerm refuses "5.5 ft 3 in", "3 in 5 ft", "5 ft 14 in" and "1 m 3 in".
func checkTerm(terms []term, units []*Unit, i int) error {
	if i == len(terms)-1 {
		return nil
	}
	t, next := terms[i], terms[i+1]
	if t.plusMinus != nil || t.number.step.Cmp(big.NewRat(1, 1)) != 0 || strings.Contains(t.number.text, "/") {
		return fmt.Errorf("only the last of several terms may have a fraction or an uncertainty")
	}
	if units[i].Dimension != units[i+1].Dimension || units[i].offset != nil {
		return fmt.Errorf("%q and %q do not add up to one quantity", t.symbol, next.symbol)
	}
	ratio := new(big.Rat).Quo(units[i].factor, units[i+1].factor)
	if !ratio.IsInt() || ratio.Num().IsInt64() && ratio.Num().Int64() == 1 {
		return fmt.Errorf("%s is not a whole multiple of %s; write one number", t.symbol, next.symbol)
	}
	if next.number.value.Sign() < 0 || next.number.value.Cmp(ratio) >= 0 {
		return fmt.Errorf("%s %s is not a part of one %s", next.number.text, next.symbol, t.symbol)
	}
	return nil
}

// attachUncertainty takes the absolute or relative uncertainty into q.
func (q *Quantity) attachUncertainty(absolute, relative *number, k *big.Rat) error {
	var expanded *big.Rat
	switch {
	case absolute == nil && relative == nil:
		if k != nil {
			return errors.New("a coverage factor is written without an uncertainty")
		}
		return nil
	case absolute != nil && relative != nil:
		return errors.New("two uncertainties are written")
	case q.bound != Point:
		return errors.New("a bound carries no uncertainty")
	case relative != nil && (q.unit.Dimension == Ratio || q.unit.offset != nil):
		return fmt.Errorf("a percentage of a %s can be meant in two ways; write the uncertainty before the unit", q.unit.Dimension)
	case relative != nil:
		expanded = new(big.Rat).Abs(q.value)
		expanded.Mul(expanded, relative.value).Quo(expanded, big.NewRat(100, 1))
	default:
		expanded = absolute.value
	}
	if absolute != nil && absolute.value.Sign() < 0 || relative != nil && relative.value.Sign() < 0 {
		return errors.New("an uncertainty is not negative")
	}
	if k == nil {
		k = defaultCoverage
	}
	q.u = &uncertainty{expanded: expanded, k: k}
	return nil
}

// possible refuses temperatures below absolute zero.
func (q Quantity) possible() error {
	if q.unit.Dimension == Temperature && q.reference().Sign() < 0 {
		return errors.New("no temperature is below absolute zero (-273.15 °C)")
	}
	return nil
}
