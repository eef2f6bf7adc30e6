package workings

import (
	"boltback/internal/quantity"
	"boltback/internal/record"
)

// Recorded is the value that a record holds at a JSON pointer. Text that is no
// quantity, such as "not recorded" or "none published", is kept and gives no
// value.
func Recorded(r *record.Record, pointer string, text string) Input {
	in := Input{Text: text}
	if r != nil {
		in.Record, in.Path, in.Pointer = r.ID, r.Path, pointer
		if r.Doc != nil {
			in.Line = r.Doc.Locate(pointer).Line
		}
	}
	return in.read()
}

// Given is a value that somebody asks about, or that stands in no record.
func Given(text string) Input { return Input{Text: text}.read() }

// From is a computed value that another working hands on.
func From(q quantity.Quantity, from Source) Input {
	if q.IsZero() {
		return Input{Source: from}
	}
	return Input{Text: Show(q), Value: q, Source: from}
}

// constant is an exact value that follows from a definition.
func constant(text, source string) Input {
	in := Given(text)
	in.Source = Source{source, Physics}
	return in.exactly()
}

// published is a value from a table or a rule.
func published(text string, from Source) Input {
	in := Given(text)
	in.Source = from
	return in
}

// notAValue are the words that records hold in place of a figure.
var notAValue = map[string]string{
	"not recorded":   "not recorded",
	"not stated":     "not stated",
	"none published": "none published",
	"not looked for": "not looked for",
}

func (in Input) read() Input {
	if in.Text == "" {
		return in
	}
	if words, ok := notAValue[in.Text]; ok {
		in.Err = words
		return in
	}
	q, err := quantity.Parse(in.Text)
	if err != nil {
		in.Err = err.Error()
		return in
	}
	in.Value = q
	return in
}

// with replaces the value by one that has more to it, such as a rounding, and
// keeps where it came from.
func (in Input) with(q quantity.Quantity) Input {
	in.Value = q
	return in
}

// rounded takes the rounding of the last written digit as the uncertainty, where
// none is recorded.
func (in Input) rounded() Input { return in.with(in.Value.WithRounding()) }

// exactly marks a value as exact: by definition, or because a rule sets it.
func (in Input) exactly() Input {
	in.Exact = true
	return in
}
