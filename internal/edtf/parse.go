package edtf

import (
	"errors"
	"fmt"
	"strings"
)

// maxText is the longest date in bytes; a set of candidates fits well.
const maxText = 400

// Parse reads a date in EDTF. Errors say what would be right; for a day that
// does not exist, the nearest one.
func Parse(text string) (Date, error) {
	d, err := parse(text)
	if err != nil {
		return Date{}, fmt.Errorf("%q is not a date: %w", clip(text), err)
	}
	return d, nil
}

// MustParse is Parse for constants in the program; it panics on an error.
func MustParse(text string) Date {
	d, err := Parse(text)
	if err != nil {
		panic(err)
	}
	return d
}

func parse(text string) (d Date, err error) {
	switch {
	case text == "":
		return Date{}, errors.New("nothing is written")
	case len(text) > maxText:
		return Date{}, fmt.Errorf("it is longer than %d bytes", maxText)
	case strings.HasPrefix(text, "["):
		d, err = parseSet(text)
	case strings.Contains(text, "/"):
		d, err = parseInterval(text)
	default:
		d, err = parseSingle(text)
	}
	d.text = text
	return d, err
}

// parseSet reads "[2019-03-04,2019-04-03]" (ISO 8601-2:2019, level 2, one of a
// set), without ranges inside.
func parseSet(text string) (Date, error) {
	body, ok := strings.CutSuffix(text[1:], "]")
	if !ok {
		return Date{}, errors.New(`a set of candidates ends with "]"`)
	}
	set := Date{precision: OneOf, zoned: true}
	for item := range strings.SplitSeq(body, ",") {
		c, err := parseSingle(item)
		if err != nil {
			return Date{}, err
		}
		c.text = item
		set.parts = append(set.parts, c)
	}
	if len(set.parts) < 2 {
		return Date{}, errors.New("a set of candidates has two or more")
	}
	set.civil, set.absolute, set.shown = set.parts[0].civil, set.parts[0].absolute, set.parts[0].shown
	for _, c := range set.parts {
		set.takeMarks(c)
		set.civil = set.civil.hull(c.civil)
		set.absolute = set.absolute.hull(c.absolute)
		set.shown = set.shown.hull(c.shown)
	}
	return set, nil
}

func (s span) hull(o span) span {
	return span{edge{at: min(s.low.at, o.low.at)}, edge{at: max(s.high.at, o.high.at)}}
}

// takeMarks carries the marks of a part over to the whole.
func (d *Date) takeMarks(part Date) {
	if part.IsZero() {
		return
	}
	d.uncertain = d.uncertain || part.uncertain
	d.approximate = d.approximate || part.approximate
	d.timed = d.timed || part.timed
	d.zoned = d.zoned && part.zoned
}

// parseInterval reads "2019-03-04/2019-04-03", "2019/..", "/2019-04".
func parseInterval(text string) (Date, error) {
	before, after, _ := strings.Cut(text, "/")
	if strings.Contains(after, "/") {
		return Date{}, errors.New(`an interval has one "/"; days are written 2019-03-04`)
	}
	start, startKind, err := parseEnd(before)
	if err != nil {
		return Date{}, err
	}
	end, endKind, err := parseEnd(after)
	if err != nil {
		return Date{}, err
	}
	if startKind != Known && endKind != Known {
		return Date{}, errors.New("an interval without any date says nothing")
	}
	if startKind == Known && endKind == Known && endsBeforeItStarts(start, end) {
		return Date{}, fmt.Errorf("the interval ends before it starts; the other way round it is %s/%s", after, before)
	}
	d := Date{precision: Span, zoned: true, parts: []Date{start, end}}
	d.takeMarks(start)
	d.takeMarks(end)
	d.civil = span{start.civil.low.or(startKind), end.civil.high.or(endKind)}
	d.absolute = span{start.absolute.low.or(startKind), end.absolute.high.or(endKind)}
	d.shown = span{start.shown.low.or(startKind), end.shown.high.or(endKind)}
	if startKind == Known && endKind == Known {
		d.civil.high.at = max(d.civil.high.at, d.civil.low.at)
		d.shown.low.at = min(d.shown.low.at, d.absolute.high.at)
		d.shown.high.at = max(d.shown.high.at, d.shown.low.at)
	}
	return d, nil
}

// endsBeforeItStarts also takes clock readings without a zone at their word: both
// ends of one interval were written at one place.
func endsBeforeItStarts(start, end Date) bool {
	if start.zoned && end.zoned {
		return Compare(start, end) == After
	}
	return end.civil.before(start.civil) || Compare(start, end) == After
}

func (e edge) or(kind End) edge {
	if kind != Known {
		return edge{kind: kind}
	}
	return e
}

func parseEnd(text string) (Date, End, error) {
	switch text {
	case "..":
		return Date{}, Open, nil
	case "":
		return Date{}, UnknownEnd, nil
	}
	d, err := parseSingle(text)
	d.text = text
	return d, Known, err
}

// parseSingle reads one date with its mark.
func parseSingle(text string) (Date, error) {
	body := strings.TrimRight(text, "?~%")
	mark := text[len(body):]
	if len(mark) > 1 {
		return Date{}, errors.New(`one mark is enough: "?" uncertain, "~" approximate, "%" both`)
	}
	if strings.ContainsAny(body, "?~%") {
		return Date{}, errors.New("a mark stands at the end and holds for the whole date")
	}
	d, err := parseUnmarked(body)
	if err != nil {
		return Date{}, err
	}
	d.text = text
	d.uncertain = mark == "?" || mark == "%"
	d.approximate = mark == "~" || mark == "%"
	return d, nil
}

func parseUnmarked(text string) (Date, error) {
	date, clock, timed := strings.Cut(text, "T")
	if timed {
		day, err := ParseDay(date)
		if err != nil {
			return Date{}, err
		}
		return parseClock(day, clock)
	}
	year, rest, more := strings.Cut(text, "-")
	if len(year) != 4 {
		return Date{}, wrongForm(text)
	}
	if !more {
		return parseYear(year)
	}
	y, ok := digits(year)
	if !ok {
		return Date{}, wrongForm(text)
	}
	month, day, more := strings.Cut(rest, "-")
	if !more {
		return parseMonth(y, month)
	}
	return parseDayOfMonth(y, month, day)
}

// wrongForm guesses what was meant.
func wrongForm(text string) error {
	switch {
	case strings.ContainsAny(text, ".") || strings.Count(text, "-") == 2 && len(text) >= 5 && text[4] != '-':
		return errors.New("a day is written year first: 2018-09-12")
	case strings.HasPrefix(text, "Y") || strings.HasPrefix(text, "-"):
		return errors.New("years have four digits, 0000 to 9999")
	case strings.ContainsAny(text, "x"):
		return errors.New("an unknown digit is a capital X: 196X")
	case strings.ContainsAny(text, "X"):
		return errors.New("unknown digits stand at the end: 196X, 19XX, 1967-XX, 1967-03-XX")
	}
	return errors.New("a date is written 1967, 1967-03, 1967-03-14, 196X, 1967-03/1967-05 or 2026-03-02T08:10:00+01:00")
}

// parseYear reads "1967", "196X" and "19XX".
func parseYear(text string) (Date, error) {
	known := strings.TrimRight(text, "X")
	if len(known) < 2 {
		return Date{}, errors.New("at least the century must be known: 19XX")
	}
	n, ok := digits(known)
	if !ok {
		return Date{}, wrongForm(text)
	}
	switch len(known) {
	case 4:
		return years(ToYear, n, n), nil
	case 3:
		return years(ToDecade, n*10, n*10+9), nil
	}
	return years(ToCentury, n*100, n*100+99), nil
}

func years(p Precision, first, last int) Date {
	return days(p, NewDay(first, 1, 1), NewDay(last, 12, 31))
}

func days(p Precision, first, last Day) Date {
	return simple(p, first.seconds(), last.seconds()+secondsPerDay-1)
}

func months(year, first, last int) Date {
	p := ToMonth
	if first != last {
		p = ToYear
	}
	return days(p, NewDay(year, first, 1), NewDay(year, last, daysIn(year, last)))
}

func parseMonth(year int, text string) (Date, error) {
	if text == "XX" {
		return months(year, 1, 12), nil
	}
	m, ok := digits(text)
	switch {
	case !ok || len(text) != 2:
		return Date{}, fmt.Errorf("a month has two digits: %04d-03", year)
	case m >= 21 && m <= 41:
		return Date{}, fmt.Errorf("%02d is a season, which falls differently north and south; write the months: %04d-06/%04d-08", m, year, year)
	}
	if err := exists(year, m, 1); err != nil {
		return Date{}, err
	}
	return months(year, m, m), nil
}

func parseDayOfMonth(year int, month, day string) (Date, error) {
	switch {
	case month == "XX" && day == "XX":
		return months(year, 1, 12), nil
	case month == "XX":
		return Date{}, fmt.Errorf("a day without its month can't be placed; write %04d-XX", year)
	case day == "XX":
		return parseMonth(year, month)
	}
	m, okM := digits(month)
	d, okD := digits(day)
	if !okM || !okD || len(month) != 2 || len(day) != 2 {
		return Date{}, fmt.Errorf("month and day have two digits each: %04d-03-04", year)
	}
	if err := exists(year, m, d); err != nil {
		return Date{}, err
	}
	return Of(NewDay(year, m, d)), nil
}
