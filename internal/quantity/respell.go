package quantity

import (
	"errors"
	"fmt"
	"slices"
	"strings"
)

// respeller turns what was typed into canonical spellings, one for each possible
// reading.
type respeller struct {
	hints          Hints
	notes          []Note // that hold for every reading
	countryWritten bool   // behind several terms
}

// rawTerm is a number and a unit as typed.
type rawTerm struct {
	number    string
	plusMinus string // absolute uncertainty
	percent   string // relative uncertainty
	unit      string
}

func (r *respeller) respell(text string) ([]draft, error) {
	s := strings.TrimSpace(r.normaliseSigns(text))
	if s == "" {
		return nil, errors.New("nothing is written")
	}
	if word, ok := rangeWords[strings.ToLower(s)]; ok {
		d := draft{text: word, notes: r.notes}
		d.note(NoteSpelling, fmt.Sprintf("%q is written %q", s, word))
		d.note(NoteRange, endOfRange)
		return []draft{d}, nil
	}
	bound, s := r.bound(s)
	s, coverage := r.coverage(s)
	terms, err := r.terms(s)
	if err != nil {
		return nil, fmt.Errorf("%q can't be read: %w", clip(text), err)
	}
	drafts, err := r.combine(text, bound, terms)
	if err != nil {
		return nil, err
	}
	for i := range drafts {
		drafts[i].text += coverage
	}
	return drafts, nil
}

// terms splits "17 cwt 2 qr 14 lb" and takes uncertainties along.
func (r *respeller) terms(s string) ([]rawTerm, error) {
	var terms []rawTerm
	for s != "" {
		if after, ok := strings.CutPrefix(s, "±"); ok && len(terms) > 0 {
			return terms, trailingUncertainty(&terms[len(terms)-1], after)
		}
		var t rawTerm
		t.number, s = cutRawNumber(s)
		if t.number == "" {
			return nil, fmt.Errorf("a number is wanted where %q stands", clip(s))
		}
		s = strings.TrimLeft(s, " ")
		if strings.HasPrefix(s, "-") && len(s) > 1 && isDigit(s[1]) {
			return nil, errors.New("a range is not one quantity; write each end by itself, or a value with ±")
		}
		if after, ok := strings.CutPrefix(s, "±"); ok {
			var amount string
			if amount, s = cutRawNumber(after); amount == "" {
				return nil, errNoAmount
			}
			s = strings.TrimLeft(s, " ")
			t.plusMinus = amount
			if after, ok := strings.CutPrefix(s, "%"); ok && strings.TrimSpace(after) != "" {
				t.plusMinus, t.percent, s = "", amount, strings.TrimLeft(after, " ")
			}
		}
		t.unit, s = cutRawUnit(s)
		terms = append(terms, t)
	}
	if len(terms) == 0 {
		return nil, errors.New("no number is written")
	}
	return terms, nil
}

var errNoAmount = errors.New("a number is wanted after ±")

// trailingUncertainty reads what follows "±" after the unit: "4 %", "1 kg", "1".
func trailingUncertainty(t *rawTerm, s string) error {
	amount, rest := cutRawNumber(s)
	unit := strings.TrimSpace(rest)
	switch {
	case amount == "":
		return errNoAmount
	case t.plusMinus != "" || t.percent != "":
		return errors.New("two uncertainties are written")
	case unit == "%" && t.unit != "%":
		t.percent = amount
	case unit == "" || unit == t.unit:
		t.plusMinus = amount
	default:
		return fmt.Errorf("the uncertainty is in %q but the value in %q", clip(unit), clip(t.unit))
	}
	return nil
}

// cutRawUnit takes a unit as typed: a single sign such as ' or °, or everything
// up to ± or a space with a digit.
func cutRawUnit(s string) (unit, rest string) {
	for _, sign := range []string{":1", "''", "'", "\"", "′", "″"} {
		if after, ok := strings.CutPrefix(s, sign); ok {
			return sign, strings.TrimLeft(after, " ")
		}
	}
	if after, ok := strings.CutPrefix(s, "°"); ok {
		after = strings.TrimLeft(after, " ")
		if after == "" || !strings.ContainsAny(after[:1], "CcFf") {
			return "°", after
		}
		s = "°" + after
	}
	end := len(s)
	for i := range s {
		if strings.HasPrefix(s[i:], "±") || s[i] == ' ' && i+1 < len(s) && isDigit(s[i+1]) {
			end = i
			break
		}
	}
	return strings.TrimRight(s[:end], " ,;"), strings.TrimLeft(s[end:], " ")
}

// combine multiplies the readings of every number and unit.
func (r *respeller) combine(text string, bound Bound, terms []rawTerm) ([]draft, error) {
	country := ""
	if last := &terms[len(terms)-1]; len(terms) > 1 {
		if base, c, ok := cutCountry(unitKey(last.unit)); ok {
			last.unit, country, r.countryWritten = base, c, true
		}
	}
	var all []draft
	var firstErr error
	for _, c := range r.countriesToTry(terms, country) {
		drafts, err := r.combineFor(text, bound, terms, c)
		if err != nil && firstErr == nil {
			firstErr = err
		}
		all = append(all, drafts...)
	}
	if len(all) == 0 {
		return nil, firstErr
	}
	return all, r.few(text, all)
}

// few refuses a question with more answers than anybody reads; it also keeps
// the readings of many terms from multiplying without end.
func (r *respeller) few(text string, drafts []draft) error {
	const mostReadings = 8
	if len(drafts) > mostReadings {
		return fmt.Errorf("%q can be read in too many ways; write the number without commas and the unit with its country", clip(text))
	}
	return nil
}

// countriesToTry says in which countries' units several terms must be read: the
// one written, the one hinted, or both. A single term asks by itself.
func (r *respeller) countriesToTry(terms []rawTerm, written string) []string {
	if len(terms) == 1 {
		return []string{""}
	}
	differs := slices.ContainsFunc(terms, func(t rawTerm) bool {
		return slices.ContainsFunc(spellings(t.unit, r.hints.Dimension), func(o option) bool { return o.unit.country() != "" })
	})
	custom := countries[r.hints.Country]
	switch {
	case !differs:
		return []string{""}
	case written != "":
		return []string{written}
	case custom != "":
		return []string{custom}
	}
	return []string{"UK", "US"}
}

// combineFor builds the drafts with every term read in one country's units.
func (r *respeller) combineFor(text string, bound Bound, terms []rawTerm, country string) ([]draft, error) {
	drafts := []draft{{text: bound.String(), notes: r.notes}}
	for i, t := range terms {
		var err error
		if drafts, err = r.addNumber(drafts, t.number, ""); err != nil {
			return nil, err
		}
		if t.plusMinus != "" {
			if drafts, err = r.addNumber(drafts, t.plusMinus, " ±"); err != nil {
				return nil, err
			}
		}
		options, err := r.options(text, t, country, len(terms) > 1)
		if err != nil {
			return nil, err
		}
		last := i == len(terms)-1
		drafts = addUnit(drafts, t.unit, options, !last)
		if last && country != "" {
			r.addCountry(drafts, country)
		}
		if t.percent != "" {
			if drafts, err = r.addNumber(drafts, t.percent, " ±"); err != nil {
				return nil, err
			}
			for j := range drafts {
				drafts[j].text += " %"
			}
		}
		if err := r.few(text, drafts); err != nil {
			return nil, err
		}
	}
	return drafts, nil
}

// addCountry puts the country behind the last of several terms.
func (r *respeller) addCountry(drafts []draft, country string) {
	hundredweight, ok := index().bySymbol["cwt ("+country+")"]
	for j := range drafts {
		if _, c, _ := cutCountry(drafts[j].text); c == "" {
			drafts[j].text += " (" + country + ")"
		}
		drafts[j].unitOpen = true
		if !r.countryWritten {
			drafts[j].note(NoteSpelling, "the units are read as those of the "+country)
		}
		if ok && strings.Contains(drafts[j].text, "cwt") {
			drafts[j].words = append(drafts[j].words, hundredweight.Name)
		}
	}
}

// options gives the readings of one written unit under the hints.
func (r *respeller) options(text string, t rawTerm, country string, several bool) ([]option, error) {
	d := r.hints.Dimension
	if t.unit == "" && d != Unknown && d != Count {
		return nil, fmt.Errorf("%q has no unit; %s needs %s", clip(text), d, d.usual())
	}
	options := spellings(t.unit, d)
	if len(options) == 0 {
		if other := spellings(t.unit, Unknown); len(other) > 0 {
			return nil, &Mismatch{Text: text, Got: other[0].unit.Dimension, Want: d}
		}
		return nil, r.noSuchUnit(t.unit)
	}
	if !several {
		return forCountry(options, r.hints.Country), nil
	}
	fits := slices.DeleteFunc(slices.Clone(options), func(o option) bool {
		c := o.unit.country()
		return c != "" && c != country
	})
	if len(fits) == 0 {
		return nil, fmt.Errorf("%q has no unit %q of %s", clip(text), clip(t.unit), country)
	}
	return fits, nil
}

func (r *respeller) noSuchUnit(unit string) error {
	if r.hints.Dimension == Unknown {
		return fmt.Errorf("no unit is written %q", clip(unit))
	}
	return fmt.Errorf("no unit of %s is written %q; usual are %s", r.hints.Dimension, clip(unit), r.hints.Dimension.usual())
}
