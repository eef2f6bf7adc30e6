package edtf

import (
	"errors"
	"fmt"
	"slices"
	"strings"
)

// DocumentDate is a date as a paper writes it, with every reading it allows.
type DocumentDate struct {
	// Text is the date as it stands on the paper.
	Text string
	// Date is the one reading, or the set of all: "[2019-03-04,2019-04-03]". It
	// sorts by its earliest candidate and is compared as all of them.
	Date Date
	// Readings are the candidates in order of time, with how each was read.
	Readings []DocumentReading
	// Reason says why there is one reading, or why there are several.
	Reason string
}

// DocumentReading is one candidate.
type DocumentReading struct {
	Date  Date
	Words string // "3 April 2019, day first (British, European)"
}

// Settled reports whether there is one reading only.
func (d DocumentDate) Settled() bool { return len(d.Readings) == 1 }

// NotAfter drops the readings that begin after a day, such as the day on which
// the paper was received. If none is left the date is returned as it is: then
// something else is wrong.
func (d DocumentDate) NotAfter(day Day) DocumentDate {
	left := slices.DeleteFunc(slices.Clone(d.Readings), func(r DocumentReading) bool {
		first, ok := r.Date.First()
		return ok && !day.IsZero() && first.Compare(day) > 0
	})
	if len(left) == 0 || len(left) == len(d.Readings) {
		return d
	}
	return settled(d.Text, left, fmt.Sprintf("it is not later than %s", day))
}

// partOrder is the order in which a country writes the parts of a date.
type partOrder uint8

const (
	noOrder partOrder = iota
	dayFirst
	monthFirst
)

func (o partOrder) String() string {
	switch o {
	case dayFirst:
		return "day first (British, European)"
	case monthFirst:
		return "month first (American)"
	}
	return "in no known order"
}

// orderIn is how papers of a country write dates in figures; countries where both
// orders are common are left out.
func orderIn(country string) partOrder {
	switch country {
	case "US":
		return monthFirst
	case "GB", "UK", "IE", "AU", "NZ", "IN", "AT", "BE", "CH", "CZ", "DE", "DK", "ES", "FI", "FR", "GR", "IT", "LU", "NL", "NO", "PL", "PT", "BR", "AR", "MX":
		return dayFirst
	}
	return noOrder
}

// ReadDocument reads a date as trade papers write it: "03/04/2019", "3.4.67",
// "3 April 2019", "Apr 3, 2019", "April 1967", "04/1967", and EDTF itself.
// Country is ISO 3166-1 alpha-2, or "" if the paper does not say; others are
// other dates from the same paper, which may settle the order of day and month.
// A day above 12 settles it too. What is not settled keeps all its readings, and
// a year of two digits keeps both centuries. A date that can't exist in any
// reading is an error that names the nearest possible day.
func ReadDocument(text, country string, others ...string) (DocumentDate, error) {
	trimmed := strings.TrimSpace(text)
	if len(trimmed) > maxText {
		return DocumentDate{}, fmt.Errorf("%q is longer than a date can be", clip(text))
	}
	if d, err := parse(trimmed); err == nil {
		return settled(text, []DocumentReading{{d, "as written, year first"}}, "it is written year first"), nil
	}
	parts, err := splitParts(trimmed)
	if err != nil {
		return DocumentDate{}, fmt.Errorf("%q can't be read as a date: %w", clip(text), err)
	}
	order, why := documentOrder(country, others)
	readings, reason, err := parts.readings(order, why)
	if err != nil {
		return DocumentDate{}, fmt.Errorf("%q can't be read as a date: %w", clip(text), err)
	}
	return settled(text, readings, reason), nil
}

// documentOrder is the order that the country or the other dates of the paper
// settle, and why. If they contradict each other nothing is settled.
func documentOrder(country string, others []string) (partOrder, string) {
	order, why := orderIn(country), ""
	if order != noOrder {
		why = "papers from " + country + " write " + order.String()
	}
	for _, text := range others {
		shown := shownOrder(text)
		switch {
		case shown == noOrder || shown == order:
		case order == noOrder:
			order, why = shown, fmt.Sprintf("%q on the same paper is written %s", clip(text), shown)
		default:
			return noOrder, fmt.Sprintf("%q on the same paper is written %s, which contradicts the rest", clip(text), shown)
		}
	}
	return order, why
}

// OrderEvidence gives those of many dates of one paper that decide the order of day and month for [ReadDocument]: the first that
// can only be day first, and the first that can only be month first. The others change nothing.
func OrderEvidence(texts []string) []string {
	var evidence []string
	seen := map[partOrder]bool{noOrder: true}
	for _, text := range texts {
		if shown := shownOrder(text); !seen[shown] {
			seen[shown], evidence = true, append(evidence, text)
		}
	}
	return evidence
}

// shownOrder is the order that a date shows by itself: 13/04 can only be day
// first.
func shownOrder(text string) partOrder {
	p, err := splitParts(strings.TrimSpace(text))
	if err != nil || len(p.numbers) != 3 || p.yearFirst() {
		return noOrder
	}
	a, b := p.numbers[0].value, p.numbers[1].value
	switch {
	case a > 12 && a <= 31 && b >= 1 && b <= 12:
		return dayFirst
	case b > 12 && b <= 31 && a >= 1 && a <= 12:
		return monthFirst
	}
	return noOrder
}

// settled builds the result from its readings.
func settled(text string, readings []DocumentReading, reason string) DocumentDate {
	slices.SortStableFunc(readings, func(a, b DocumentReading) int { return ByTime(a.Date, b.Date) })
	d := DocumentDate{Text: text, Readings: readings, Reason: reason, Date: readings[0].Date}
	if len(readings) > 1 {
		var texts []string
		for _, r := range readings {
			texts = append(texts, r.Date.Text())
		}
		if set, err := parse("[" + strings.Join(texts, ",") + "]"); err == nil {
			d.Date = set
		}
	}
	return d
}

// readings lists what the parts allow under an order that may be settled.
func (p parts) readings(order partOrder, why string) ([]DocumentReading, string, error) {
	switch {
	case p.month != 0:
		return p.namedMonth()
	case len(p.numbers) == 2:
		return p.monthAndYear()
	case len(p.numbers) != 3:
		return nil, "", errors.New("day, month and year are wanted, such as 3 April 2019")
	case p.yearFirst():
		n := p.numbers
		r, err := readDay(n[0], n[1].value, n[2].value, "year first")
		return r, "it is written year first", err
	}
	return p.threeNumbers(order, why)
}

// threeNumbers reads "03/04/2019" in both orders and keeps what can be.
func (p parts) threeNumbers(order partOrder, why string) ([]DocumentReading, string, error) {
	a, b, year := p.numbers[0].value, p.numbers[1].value, p.numbers[2]
	first, errDay := readDay(year, b, a, dayFirst.String())
	second, errMonth := readDay(year, a, b, monthFirst.String())
	switch {
	case errDay != nil && errMonth != nil:
		return nil, "", likelier(errDay, errMonth, a, b, order)
	case errDay == nil && errMonth == nil && a == b:
		return first, "day and month are the same number", nil
	case errDay == nil && errMonth == nil && order == dayFirst:
		return first, why, nil
	case errDay == nil && errMonth == nil && order == monthFirst:
		return second, why, nil
	case errDay == nil && errMonth == nil:
		reason := "the paper does not say whether day or month comes first"
		if why != "" {
			reason = why
		}
		return append(first, second...), reason, nil
	case errDay == nil:
		return onlyPossible(first, dayFirst, order)
	}
	return onlyPossible(second, monthFirst, order)
}

// onlyPossible explains a date that exists in one order alone.
func onlyPossible(readings []DocumentReading, shown, expected partOrder) ([]DocumentReading, string, error) {
	reason := "only one order of day and month gives a day that exists: " + shown.String()
	if expected != noOrder && expected != shown {
		reason += fmt.Sprintf("; papers from there are usually written %s, so have the paper looked at again", expected)
	}
	return readings, reason, nil
}

// likelier picks the error of the order that makes more sense.
func likelier(errDay, errMonth error, a, b int, order partOrder) error {
	if order == monthFirst || order == noOrder && b > 12 && a <= 12 {
		return errMonth
	}
	return errDay
}

// monthAndYear reads "04/1967".
func (p parts) monthAndYear() ([]DocumentReading, string, error) {
	m, y := p.numbers[0], p.numbers[1]
	if m.width == 4 {
		m, y = y, m
	}
	if m.width > 2 || y.width != 4 {
		return nil, "", errors.New("a month is written with a year of four digits, such as 04/1967")
	}
	if err := exists(y.value, m.value, 1); err != nil {
		return nil, "", err
	}
	return []DocumentReading{monthOf(y.value, m.value)}, "month and year are written", nil
}

func monthOf(year, month int) DocumentReading {
	d := MustParse(fmt.Sprintf("%04d-%02d", year, month))
	return DocumentReading{d, fmt.Sprintf("%s %04d", monthNames[month-1], year)}
}

// namedMonth reads "3 April 2019", "April 3, 2019" and "April 1967".
func (p parts) namedMonth() ([]DocumentReading, string, error) {
	const reason = "the month is written as a word"
	switch len(p.numbers) {
	case 1:
		if p.numbers[0].width != 4 {
			return nil, "", errors.New("a year of four digits is wanted with a month")
		}
		return []DocumentReading{monthOf(p.numbers[0].value, p.month)}, reason, nil
	case 2:
		d, y := p.numbers[0], p.numbers[1]
		if d.width > 2 {
			d, y = y, d
		}
		r, err := readDay(y, p.month, d.value, "month as a word")
		return r, reason, err
	}
	return nil, "", errors.New("day, month and year are wanted, such as 3 April 2019")
}

// readDay gives the readings of one order: one, or two where the century is not
// written.
func readDay(year figure, month, dom int, how string) ([]DocumentReading, error) {
	var candidates []int
	switch year.width {
	case 4:
		candidates = []int{year.value}
	case 2:
		candidates = []int{1900 + year.value, 2000 + year.value}
	default:
		return nil, errors.New("a year has four digits, or two")
	}
	var readings []DocumentReading
	var firstErr error
	for _, y := range candidates {
		if err := exists(y, month, dom); err != nil {
			if firstErr == nil {
				firstErr = err
			}
			continue
		}
		words := fmt.Sprintf("%d %s %04d, %s", dom, monthNames[month-1], y, how)
		readings = append(readings, DocumentReading{Of(NewDay(y, month, dom)), words})
	}
	if len(readings) == 0 {
		return nil, firstErr
	}
	return readings, nil
}
