package workings

import (
	"slices"

	"boltback/internal/quantity"
)

// Step is one line of the sum. It keeps what the line was computed from and is put into words when it is printed, for most sums
// are made for their result alone.
type Step struct {
	Sentence string // why it is done
	// Symbol and Value are what the line computed, unrounded; empty where it computed nothing.
	Symbol string
	Value  quantity.Quantity

	said    string // the result of a step in which nothing is computed
	formula *Formula
	printed string // how the formula is printed in symbols, where that is another way than its own
	symbols []string
	values  []quantity.Quantity // of the symbols, as they were when the line was computed
	numbers string              // the formula with numbers, where they are not those of the symbols
}

// Formula is the line in symbols, such as m = m_F + m_R; empty where nothing is computed.
func (s Step) Formula() string {
	switch {
	case s.formula == nil:
		return ""
	case s.printed != "":
		return s.Symbol + " = " + s.printed
	}
	return s.Symbol + " = " + s.formula.String()
}

// Numbers is the right-hand side with the numbers put in, without their uncertainty and in brackets where they are negative.
func (s Step) Numbers() string {
	if s.formula == nil || s.numbers != "" {
		return s.numbers
	}
	return s.formula.With(func(symbol string) string {
		return bracketed(withoutUncertainty(s.values[slices.Index(s.symbols, symbol)]))
	})
}

// Result is what came of it: m = 900 kg, or R >550 MΩ for a bound.
func (s Step) Result() string {
	if s.formula == nil {
		return s.said
	}
	return equation(s.Symbol, s.Value)
}

// equation is "m = 900 kg", or "R >550 MΩ" for a bound.
func equation(symbol string, q quantity.Quantity) string {
	if q.IsPoint() {
		return symbol + " = " + Show(q)
	}
	return symbol + " " + Show(q)
}
