package workings

import (
	"errors"
	"fmt"
	"math/big"
)

// formulaParser reads a formula by precedence: sums of products of powers.
type formulaParser struct {
	tokens []token
	at     int
}

const deepest = 50 // brackets inside one another

func (p *formulaParser) next(kinds ...byte) (token, bool) {
	if p.at < len(p.tokens) {
		for _, k := range kinds {
			if p.tokens[p.at].kind == k {
				p.at++
				return p.tokens[p.at-1], true
			}
		}
	}
	return token{}, false
}

func (p *formulaParser) sum(depth int) (node, error) {
	if depth > deepest {
		return nil, errors.New("too many brackets inside one another")
	}
	left, err := p.product(depth)
	for err == nil {
		sign, ok := p.next('+', '-')
		if !ok {
			break
		}
		var right node
		right, err = p.product(depth)
		left = operation{sign.kind, left, right}
	}
	return left, err
}

func (p *formulaParser) product(depth int) (node, error) {
	left, err := p.power(depth)
	for err == nil {
		sign, ok := p.next('*', '/')
		if !ok {
			break
		}
		var right node
		right, err = p.power(depth)
		left = operation{sign.kind, left, right}
	}
	return left, err
}

func (p *formulaParser) power(depth int) (node, error) {
	if _, negative := p.next('-'); negative {
		if depth > deepest {
			return nil, errors.New("too many signs in a row")
		}
		of, err := p.power(depth + 1)
		return operation{'-', operation{'*', number{new(big.Rat)}, of}, of}, err
	}
	base, err := p.atom(depth)
	if err != nil {
		return nil, err
	}
	if _, ok := p.next('^'); ok {
		n, err := p.atom(depth)
		return operation{'^', base, n}, err
	}
	return base, nil
}

func (p *formulaParser) atom(depth int) (node, error) {
	if t, ok := p.next('n'); ok {
		v, ok := new(big.Rat).SetString(t.text)
		if !ok {
			return nil, fmt.Errorf("%q is no number", t.text)
		}
		return number{v}, nil
	}
	if t, ok := p.next('s'); ok {
		return symbol(t.text), nil
	}
	if t, ok := p.next('f'); ok {
		return p.call(t.text, depth)
	}
	if _, ok := p.next('('); ok {
		inside, err := p.sum(depth + 1)
		if _, closed := p.next(')'); err == nil && !closed {
			err = errors.New("a bracket is not closed")
		}
		return inside, err
	}
	return nil, errors.New("a number, a symbol or a bracket is expected")
}

// functions with the fewest arguments and whether they take more.
var functions = map[string]struct {
	least int
	more  bool
}{"sqrt": {1, false}, "exp": {1, false}, "ln": {1, false}, "abs": {1, false}, "min": {2, true}, "max": {2, true}}

func (p *formulaParser) call(name string, depth int) (node, error) {
	takes, known := functions[name]
	if !known {
		return nil, fmt.Errorf("there is no function %q", name)
	}
	p.next('(')
	c := call{name: name}
	for {
		arg, err := p.sum(depth + 1)
		if err != nil {
			return nil, err
		}
		c.args = append(c.args, arg)
		if _, more := p.next(','); !more {
			break
		}
	}
	if _, closed := p.next(')'); !closed {
		return nil, errors.New("a bracket is not closed")
	}
	if len(c.args) < takes.least || len(c.args) > takes.least && !takes.more {
		return nil, fmt.Errorf("%s does not take %d values", name, len(c.args))
	}
	return c, nil
}
