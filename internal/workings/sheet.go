package workings

import (
	"fmt"
	"slices"
	"strings"

	"boltback/internal/quantity"
	"boltback/internal/record"
)

// sheet is a working while it is being written: inputs are taken, lines are
// computed from them, and what is missing spreads to all that needs it.
type sheet struct {
	w      Working
	inputs map[string]quantity.Quantity
	lines  map[string]line
	lacks  map[string]bool // symbols that have no value
	memo   map[string]amount
	floats map[string]float64
	about  map[record.Ref]bool
}

// line is a symbol that is computed.
type line struct {
	formula *Formula
	unit    string
	value   quantity.Quantity
}

func begin(subject Subject, id, title string) *sheet {
	return &sheet{
		w:      Working{Subject: subject, ID: id, Title: title},
		inputs: map[string]quantity.Quantity{},
		lines:  map[string]line{},
		lacks:  map[string]bool{},
		memo:   map[string]amount{},
		floats: map[string]float64{},
		about:  map[record.Ref]bool{},
	}
}

// take enters a value under a symbol. A value that is not recorded, cannot be
// read or is another kind of thing is missing.
func (s *sheet) take(symbol, name string, in Input, want quantity.Dimension) bool {
	in.Symbol, in.Name = symbol, name
	switch {
	case in.Err != "":
		s.lack(symbol, name+" ("+in.Err+")")
	case in.Value.IsZero():
		s.lack(symbol, name)
	case in.Value.Dimension() == quantity.Unknown:
		s.lack(symbol, fmt.Sprintf("the end of the range at which %s read %s", name, in.Text))
	case want != quantity.Unknown && in.Value.Dimension() != want:
		s.lack(symbol, fmt.Sprintf("%s as %s: %q is %s", name, want, in.Text, in.Value.Dimension()))
	default:
		s.inputs[symbol] = in.Value
	}
	if in.Text != "" {
		s.w.Inputs = append(s.w.Inputs, in)
		if in.Record != "" && !s.about[in.Record] {
			s.about[in.Record] = true
			s.w.About = append(s.w.About, in.Record)
		}
	}
	return !s.lacks[symbol]
}

// lack notes that a symbol has no value.
func (s *sheet) lack(symbol, what string) {
	s.lacks[symbol] = true
	s.missing(what)
}

func (s *sheet) missing(what string) {
	if what != "" && !slices.Contains(s.w.Missing, what) {
		s.w.Missing = append(s.w.Missing, what)
	}
}

// calc computes a line and reports whether it could. Without one of its symbols
// nothing is written, as the missing input is named already.
func (s *sheet) calc(symbol, unit, formula, sentence string) bool {
	return s.calcAs(symbol, unit, formula, "", sentence)
}

// calcAs is calc with another way to print a long sum in symbols, such as Σ m.
func (s *sheet) calcAs(symbol, unit, formula, printed, sentence string) bool {
	f, err := ParseFormula(formula)
	if err != nil {
		s.lack(symbol, err.Error())
		return false
	}
	for _, name := range f.Symbols() {
		if !s.has(name) {
			s.lacks[symbol] = true
			return false
		}
	}
	l := line{formula: f, unit: unit}
	s.lines[symbol] = l
	if l.value, err = s.evaluate(symbol, unit); err != nil {
		delete(s.lines, symbol)
		s.lack(symbol, fmt.Sprintf("values that fit: %s = %s cannot be computed, %v", symbol, f, err))
		return false
	}
	s.lines[symbol] = l
	step := Step{Sentence: sentence, Symbol: symbol, Value: l.value, formula: f, printed: printed, symbols: f.Symbols()}
	if !l.value.IsPoint() {
		step.numbers = f.With(s.numerals(symbol))
	}
	for _, name := range step.symbols {
		step.values = append(step.values, s.get(name))
	}
	s.w.Steps = append(s.w.Steps, step)
	return true
}

// has reports whether a symbol has a value.
func (s *sheet) has(symbol string) bool {
	_, in := s.inputs[symbol]
	_, computed := s.lines[symbol]
	return in || computed
}

// get gives the value of a symbol, or nothing.
func (s *sheet) get(symbol string) quantity.Quantity {
	if l, ok := s.lines[symbol]; ok {
		return l.value
	}
	return s.inputs[symbol]
}

// show gives the value of a symbol as it is printed.
func (s *sheet) show(symbol string) string { return Show(s.get(symbol)) }

// numeral is a symbol's value for the line with numbers put in: without its
// uncertainty, in brackets where it is negative.
func (s *sheet) numeral(symbol string) string {
	return bracketed(withoutUncertainty(s.get(symbol)))
}

// bracketed writes a number for a line, in brackets where it is negative.
func bracketed(q quantity.Quantity) string {
	text := Show(q)
	if v, ok := q.Rat(); ok && v.Sign() < 0 {
		return "(" + text + ")"
	}
	return text
}

// say adds a step in which nothing is computed.
func (s *sheet) say(sentence, result string) {
	s.w.Steps = append(s.w.Steps, Step{Sentence: sentence, said: result})
}

func (s *sheet) assume(list ...string) { s.w.Assumptions = append(s.w.Assumptions, list...) }
func (s *sheet) note(format string, args ...any) {
	s.w.Notes = append(s.w.Notes, fmt.Sprintf(format, args...))
}
func (s *sheet) source(text string, basis Basis) {
	s.w.Sources = append(s.w.Sources, Source{text, basis})
}

// answer makes a symbol the answer, with a sentence in which {} stands for it.
func (s *sheet) answer(symbol, sentence string) {
	if s.lacks[symbol] || !s.has(symbol) {
		return
	}
	s.w.Value = s.get(symbol)
	s.w.Answer = strings.ReplaceAll(sentence, "{}", Show(s.w.Value))
}

// conclude gives an answer in words, for what is no quantity.
func (s *sheet) conclude(format string, args ...any) { s.w.Answer = fmt.Sprintf(format, args...) }

// judge holds a symbol against a limit under a rule and adds the verdict.
func (s *sheet) judge(of, symbol string, limit quantity.Limit, rule quantity.Rule, why string, source Source) Verdict {
	v := decide(of, s.get(symbol), limit, rule)
	v.Why, v.Source = why, source
	s.verdict(v)
	return v
}

func (s *sheet) verdict(v Verdict) { s.w.Verdicts = append(s.w.Verdicts, v) }

// decide holds a quantity against a limit. Where the rule needs an uncertainty
// that is not recorded, the outcome is evidence missing.
func decide(of string, q quantity.Quantity, limit quantity.Limit, rule quantity.Rule) Verdict {
	d := quantity.Decide(q, limit, rule)
	v := Verdict{Of: of, Against: limit.String(), Rule: rule, Outcome: Outcome(d.Outcome), Reason: d.Reason}
	if d.Outcome == quantity.Undecidable {
		v.Outcome = EvidenceMissing
	}
	return v
}

// done closes the sheet. Without an answer it says what is needed.
func (s *sheet) done() Working {
	if s.w.Answer == "" {
		s.w.Answer = notComputed
		if len(s.w.Missing) > 0 {
			s.w.Answer += ": needs " + strings.Join(s.w.Missing, "; ")
		}
	}
	s.w.values = map[string]quantity.Quantity{}
	for symbol, l := range s.lines {
		s.w.values[symbol] = l.value
	}
	return s.w
}
