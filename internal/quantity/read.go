package quantity

import (
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"
)

// Hints is what the sheet or the yard knows about a field at entry.
type Hints struct {
	// Dimension expected; Unknown takes any.
	Dimension Dimension
	// DecimalComma is the yard's habit of writing 0,5 for a half.
	DecimalComma bool
	// Country of the paper or maker, ISO 3166-1 alpha-2 ("GB", "US", "DE"), for
	// units that differ between countries; "" is not known.
	Country string
	// Usual is the canonical unit that this sheet normally carries ("MΩ" for
	// insulation, "mΩ" for bonding). It is never filled in; it makes a reading
	// that differs from it only by capitals a question.
	Usual string
}

// NoteKind says what a note is about.
type NoteKind string

// The kinds of note.
const (
	NoteSign     NoteKind = "sign"     // a character was normalised
	NoteSpelling NoteKind = "spelling" // a unit or a word was respelled
	NoteOldUnit  NoteKind = "old unit" // the unit has an old name
	NoteNumber   NoteKind = "number"   // separators in a number were resolved
	NoteRange    NoteKind = "range"    // the end of the range is missing
)

// Note is something that Read changed or noticed, in a sentence.
type Note struct {
	Kind NoteKind
	Text string
}

// Reading is what Read made of a text. The quantity's Text is the text as it was
// typed, its Canonical is what a record should hold.
type Reading struct {
	Quantity Quantity
	Notes    []Note
}

// Candidate is one possible reading of an ambiguous text.
type Candidate struct {
	Quantity Quantity
	Words    string // "17 cwt 2 qr 14 lb (UK), the British hundredweight of 112 lb: 895.4 kg"
}

// Ambiguous is the error of a text that can be read in more than one way. The
// person decides; a chosen candidate's quantity may be used as it is.
type Ambiguous struct {
	Text       string
	Candidates []Candidate
}

// Error shows every reading.
func (a *Ambiguous) Error() string {
	words := make([]string, len(a.Candidates))
	for i, c := range a.Candidates {
		words[i] = c.Words
	}
	return fmt.Sprintf("%q can be read in %d ways: %s; write one of them", clip(a.Text), len(words), strings.Join(words, "; or "))
}

// Read takes what a person types or an old paper says. Trade spellings, old unit
// names and damaged signs are respelled and noted. Where two readings are
// possible the error is an [*Ambiguous] with both; where the unit measures
// something else it is a [*Mismatch].
func Read(text string, hints Hints) (Reading, error) {
	switch {
	case len(text) > maxText:
		return Reading{}, fmt.Errorf("%q is longer than a quantity can be", clip(text))
	case !utf8.ValidString(text):
		return Reading{}, errors.New("the text is not valid UTF-8; was it saved in another encoding?")
	}
	drafts, err := draftsOf(text, hints)
	if err != nil {
		return Reading{}, err
	}
	candidates, notes, err := settle(text, drafts, hints)
	if err != nil {
		return Reading{}, err
	}
	if len(candidates) > 1 {
		return Reading{}, &Ambiguous{Text: text, Candidates: candidates}
	}
	return Reading{Quantity: candidates[0].Quantity, Notes: notes}, nil
}

// draftsOf respells a text, unless it is canonical and of the right dimension.
func draftsOf(text string, hints Hints) ([]draft, error) {
	q, err := parse(text)
	if err == nil && (hints.Dimension == Unknown || q.unit == nil || q.unit.Dimension == hints.Dimension) {
		d := draft{text: text}
		if hints.DecimalComma && pointMayGroup(text) {
			d.note(NoteNumber, "the point is read as a decimal point")
		}
		if q.bound == OverRange || q.bound == UnderRange {
			d.note(NoteRange, endOfRange)
		}
		return []draft{d}, nil
	}
	r := respeller{hints: hints}
	return r.respell(text)
}

// settle parses the drafts, drops the impossible ones, and adds the reading that
// differs from the sheet's usual unit by capitals only.
func settle(text string, drafts []draft, hints Hints) ([]Candidate, []Note, error) {
	var candidates []Candidate
	var notes []Note
	var firstErr error
	for _, d := range drafts {
		q, err := parse(d.text)
		if err != nil {
			if firstErr == nil {
				firstErr = fmt.Errorf("%q can't be read: %w", clip(text), err)
			}
			continue
		}
		q.text, q.canonical = text, d.text
		candidates = append(candidates, Candidate{Quantity: q, Words: d.inWords(q)})
		if len(candidates) == 1 {
			notes = d.notes
		}
	}
	if len(candidates) == 0 {
		return nil, nil, firstErr
	}
	if len(candidates) == 1 {
		candidates = append(candidates, lookAlike(candidates[0].Quantity, hints.Usual)...)
		if len(candidates) == 2 {
			candidates[0].Words = capitalsMatter(candidates[0].Quantity)
		}
	}
	return candidates, notes, nil
}

// lookAlike gives the same number in the usual unit where the unit written
// differs from it only in capitals: mΩ on a sheet of MΩ.
func lookAlike(q Quantity, usual string) []Candidate {
	other, ok := index().bySymbol[usual]
	if !ok || q.unit == nil || q.unit == other || !strings.EqualFold(q.unit.Symbol, usual) {
		return nil
	}
	alike := q
	alike.unit = other
	alike.canonical = strings.Replace(q.canonical, q.unit.Symbol, usual, 1)
	return []Candidate{{
		Quantity: alike,
		Words:    fmt.Sprintf("%s, and the two differ by a factor of %s", capitalsMatter(alike), powerOfTen(q.unit, other)),
	}}
}

func capitalsMatter(q Quantity) string {
	return fmt.Sprintf("%s, %s", q.canonical, q.unit.Name)
}

func powerOfTen(a, b *Unit) string {
	n := order(a.factor) - order(b.factor)
	return fmt.Sprintf("10^%d", max(n, -n))
}

// pointMayGroup recognises "1.234", which a yard with decimal commas might mean
// as 1234.
func pointMayGroup(text string) bool {
	_, rest := cutBound(text)
	whole, rest := cutDigits(rest)
	rest, ok := strings.CutPrefix(rest, ".")
	decimals, _ := cutDigits(rest)
	return ok && len(decimals) == 3 && len(whole) <= 3 && !strings.HasPrefix(whole, "0")
}

const endOfRange = `the end of the instrument's range is not written; ">550 MΩ" says more than "over-range"`
