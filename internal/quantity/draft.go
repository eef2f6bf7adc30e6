package quantity

import (
	"fmt"
	"slices"
	"strings"
)

// draft is one canonical spelling in the making.
type draft struct {
	text     string
	words    []string
	notes    []Note
	unitOpen bool // the unit itself is in question
}

func (d *draft) note(kind NoteKind, text string) {
	d.notes = append(d.notes, Note{kind, text})
}

// inWords describes a reading: its spelling, what was assumed, and where the unit
// is in question what it amounts to.
func (d *draft) inWords(q Quantity) string {
	words := d.text
	if len(d.words) > 0 {
		words += " (" + strings.Join(d.words, "; ") + ")"
	}
	if q.unit == nil || !d.unitOpen {
		return words
	}
	usual := index().byDim[q.unit.Dimension][0]
	if usual == q.unit {
		return words
	}
	if r, err := q.In(usual.Symbol); err == nil {
		words += " = " + r.Canonical()
	}
	return words
}

// addUnit appends every reading of a unit to every draft. Between terms the
// country is left out; it follows the last one.
func addUnit(drafts []draft, written string, options []option, more bool) []draft {
	var out []draft
	for _, d := range drafts {
		for _, o := range options {
			n := d.copy()
			symbol := o.unit.Symbol
			if more {
				symbol, _, _ = cutCountry(symbol)
			}
			if symbol != "" && !isTight(symbol) {
				n.text += " "
			}
			n.text += symbol
			if more && !isTight(symbol) {
				n.text += " "
			}
			if len(options) > 1 {
				n.words = append(n.words, o.unit.Name)
				n.unitOpen = true
			}
			n.noteUnit(written, o, symbol)
			out = append(out, n)
		}
	}
	return out
}

func (d *draft) noteUnit(written string, o option, symbol string) {
	if o.why == "" && (written == symbol || written == o.unit.Symbol) {
		return
	}
	kind, text := NoteSpelling, fmt.Sprintf("%q is written %q", written, o.unit.Symbol)
	if o.unit.Symbol == "" {
		text = fmt.Sprintf("a count is written without %q", written)
	}
	if o.why != "" {
		text += ": " + o.why
	}
	if strings.HasPrefix(o.why, "an old name") {
		kind = NoteOldUnit
	}
	d.note(kind, text)
}

func (d *draft) copy() draft {
	n := *d
	n.words, n.notes = slices.Clone(d.words), slices.Clone(d.notes)
	return n
}

// addNumber appends every reading of a number to every draft.
func (r *respeller) addNumber(drafts []draft, raw, before string) ([]draft, error) {
	readings, err := readNumber(raw, r.hints.DecimalComma)
	if err != nil {
		return nil, err
	}
	var out []draft
	for _, d := range drafts {
		for _, n := range readings {
			next := d.copy()
			next.text += before + n.text
			if n.why != "" && len(readings) > 1 {
				next.words = append(next.words, n.why)
			} else if n.why != "" {
				next.note(NoteNumber, n.why)
			}
			out = append(out, next)
		}
	}
	return out, nil
}
