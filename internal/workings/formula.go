package workings

import (
	"fmt"
	"math"
	"math/big"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Formula is a formula as text that is printed and computed from: sums,
// differences, products, quotients and whole powers of symbols and numbers,
// brackets, and the functions sqrt, exp, ln, abs, min and max.
type Formula struct {
	text   string
	tokens []token
	root   node
}

type token struct {
	kind byte // 'n' number, 's' symbol, 'f' function, or the sign itself
	text string
}

// ParseFormula reads a formula. It is for constants of the program; the error
// says where it cannot be read.
func ParseFormula(text string) (*Formula, error) {
	tokens, err := tokenise(text)
	if err != nil {
		return nil, err
	}
	p := &formulaParser{tokens: tokens}
	root, err := p.sum(0)
	if err == nil && p.at < len(tokens) {
		err = fmt.Errorf("%q is not expected there", tokens[p.at].text)
	}
	if err != nil {
		return nil, fmt.Errorf("the formula %q cannot be read: %w", text, err)
	}
	return &Formula{text: text, tokens: tokens, root: root}, nil
}

func tokenise(text string) ([]token, error) {
	var tokens []token
	for i := 0; i < len(text); {
		r, size := utf8.DecodeRuneInString(text[i:])
		switch {
		case r == ' ':
			i += size
		case unicode.IsDigit(r):
			n := span(text[i:], func(r rune) bool { return unicode.IsDigit(r) || r == '.' })
			tokens = append(tokens, token{'n', text[i : i+n]})
			i += n
		case unicode.IsLetter(r):
			n := span(text[i:], func(r rune) bool {
				return unicode.IsLetter(r) || unicode.IsDigit(r) || r == '_' || r == '′' || r == '″'
			})
			kind := byte('s')
			if strings.HasPrefix(text[i+n:], "(") {
				kind = 'f'
			}
			tokens = append(tokens, token{kind, text[i : i+n]})
			i += n
		case strings.ContainsRune("+-*/^(),", r):
			tokens = append(tokens, token{byte(r), text[i : i+size]})
			i += size
		default:
			return nil, fmt.Errorf("the formula %q holds %q", text, r)
		}
	}
	return tokens, nil
}

func span(text string, in func(rune) bool) int {
	for i, r := range text {
		if !in(r) {
			return i
		}
	}
	return len(text)
}

// Symbols lists the symbols of the formula in the order of their first use.
func (f *Formula) Symbols() []string {
	var list []string
	seen := map[string]bool{}
	for _, t := range f.tokens {
		if t.kind == 's' && !seen[t.text] {
			seen[t.text] = true
			list = append(list, t.text)
		}
	}
	return list
}

// String is the formula in symbols as it is printed.
func (f *Formula) String() string { return f.With(func(s string) string { return s }) }

// With is the formula with each symbol written in another way: with its number
// put in.
func (f *Formula) With(write func(symbol string) string) string {
	var out strings.Builder
	for i, t := range f.tokens {
		switch t.kind {
		case 's':
			text := write(t.text)
			if i+1 < len(f.tokens) && f.tokens[i+1].kind == '^' && strings.Contains(text, " ") {
				text = "(" + text + ")" // the unit is raised as well
			}
			out.WriteString(text)
		case '*':
			out.WriteString(" · ")
		case '/':
			out.WriteString(" / ")
		case '+':
			out.WriteString(" + ")
		case '-':
			if i == 0 || strings.IndexByte("(,*/+-", f.tokens[i-1].kind) >= 0 {
				out.WriteString("-")
			} else {
				out.WriteString(" - ")
			}
		case ',':
			out.WriteString(", ")
		default:
			out.WriteString(t.text)
		}
	}
	return out.String()
}

// eval computes the formula; value gives the amount of a symbol.
func (f *Formula) eval(value func(symbol string) (amount, error)) (amount, error) {
	return f.root.eval(value)
}

// node is one operation of a formula.
type node interface {
	eval(value func(string) (amount, error)) (amount, error)
	float(value func(string) float64) float64
	slope(by float64, value func(string) float64, add func(name string, by float64))
}

type number struct{ v *big.Rat }

func (n number) eval(func(string) (amount, error)) (amount, error) {
	return amount{new(big.Rat).Set(n.v), dims{}}, nil
}

type symbol string

func (s symbol) eval(value func(string) (amount, error)) (amount, error) { return value(string(s)) }

type operation struct {
	sign byte
	a, b node
}

func (o operation) eval(value func(string) (amount, error)) (amount, error) {
	a, err := o.a.eval(value)
	if err != nil {
		return amount{}, err
	}
	b, err := o.b.eval(value)
	if err != nil {
		return amount{}, err
	}
	switch o.sign {
	case '+', '-':
		return addAmounts(a, b, o.sign)
	case '*':
		return amount{new(big.Rat).Mul(a.v, b.v), a.dims.plus(b.dims, 1)}, nil
	case '/':
		if b.v.Sign() == 0 {
			return amount{}, fmt.Errorf("it would divide by zero")
		}
		return amount{new(big.Rat).Quo(a.v, b.v), a.dims.plus(b.dims, -1)}, nil
	}
	return power(a, b)
}

func addAmounts(a, b amount, sign byte) (amount, error) {
	if a.dims != b.dims {
		return amount{}, fmt.Errorf("%s and %s do not add up", a.dims, b.dims)
	}
	if sign == '-' {
		return amount{new(big.Rat).Sub(a.v, b.v), a.dims}, nil
	}
	return amount{new(big.Rat).Add(a.v, b.v), a.dims}, nil
}

func power(a, b amount) (amount, error) {
	if b.dims != (dims{}) || !b.v.IsInt() || !b.v.Num().IsInt64() || b.v.Num().Int64() < 1 || b.v.Num().Int64() > 9 {
		return amount{}, fmt.Errorf("a power is a whole number from 1 to 9")
	}
	r := amount{big.NewRat(1, 1), dims{}}
	for range b.v.Num().Int64() {
		r = amount{r.v.Mul(r.v, a.v), r.dims.plus(a.dims, 1)}
	}
	return r, nil
}

func (d dims) plus(o dims, sign int8) dims {
	for i := range d {
		d[i] += sign * o[i]
	}
	return d
}

type call struct {
	name string
	args []node
}

func (c call) eval(value func(string) (amount, error)) (amount, error) {
	args := make([]amount, len(c.args))
	for i, a := range c.args {
		var err error
		if args[i], err = a.eval(value); err != nil {
			return amount{}, err
		}
	}
	switch c.name {
	case "min", "max":
		return extreme(c.name, args)
	case "abs":
		return amount{new(big.Rat).Abs(args[0].v), args[0].dims}, nil
	case "sqrt":
		return root(args[0])
	}
	return transcendental(c.name, args[0])
}

func extreme(name string, args []amount) (amount, error) {
	best := args[0]
	for _, a := range args[1:] {
		if a.dims != best.dims {
			return amount{}, fmt.Errorf("%s and %s are not compared", best.dims, a.dims)
		}
		if c := a.v.Cmp(best.v); name == "max" && c > 0 || name == "min" && c < 0 {
			best = a
		}
	}
	return best, nil
}

func root(a amount) (amount, error) {
	if a.v.Sign() < 0 {
		return amount{}, fmt.Errorf("a negative number has no square root")
	}
	d := a.dims
	for i := range d {
		if d[i]%2 != 0 {
			return amount{}, fmt.Errorf("%s has no square root among the units", a.dims)
		}
		d[i] /= 2
	}
	return amount{squareRoot(a.v), d}, nil
}

// squareRoot is good to some 30 digits.
func squareRoot(v *big.Rat) *big.Rat {
	f := new(big.Float).SetPrec(128).SetRat(v)
	r, _ := f.Sqrt(f).Rat(nil)
	return r
}

func transcendental(name string, a amount) (amount, error) {
	if a.dims != (dims{}) {
		return amount{}, fmt.Errorf("%s takes a plain number, not %s", name, a.dims)
	}
	x, _ := a.v.Float64()
	y := math.Exp(x)
	if name == "ln" {
		y = math.Log(x)
	}
	r := new(big.Rat).SetFloat64(y)
	if r == nil {
		return amount{}, fmt.Errorf("%s of %g is no number", name, x)
	}
	return amount{r, dims{}}, nil
}
