package edtf

import (
	"slices"
	"strings"
	"time"
)

// Precision is how finely a date is written.
type Precision uint8

// The precisions, from the finest. Span is an interval, OneOf a set.
const (
	NoPrecision Precision = iota
	ToSecond
	ToMinute
	ToDay
	ToMonth
	ToYear
	ToDecade
	ToCentury
	Span
	OneOf
)

var precisionNames = []string{"none", "second", "minute", "day", "month", "year", "decade", "century", "span", "one of"}

// String names the precision.
func (p Precision) String() string { return precisionNames[p] }

// End says what an end of an interval is.
type End uint8

// The kinds of end: written, open (".."), or unknown (left empty).
const (
	Known End = iota
	Open
	UnknownEnd
)

// edge is one end of a range in seconds; the number counts only if it is Known.
type edge struct {
	at   int64
	kind End
}

// span is a range of seconds, both ends included.
type span struct{ low, high edge }

// Date is an immutable date of EDTF. The zero value is no date. Dates are
// compared with [Compare], never with == or by their text.
type Date struct {
	_           [0]func()
	text        string
	precision   Precision
	uncertain   bool
	approximate bool
	timed       bool // a time of day is written somewhere in it
	zoned       bool // and an offset with it
	civil       span // by the clock and calendar of the place
	absolute    span // by UTC, widened by every zone there is where none is written
	shown       span // for its place in a list; lies within absolute
	parts       []Date
}

// Zones in use reach from UTC-12:00 to UTC+14:00, so a clock reading without a
// zone happened at most 14 h before and 12 h after the same reading in UTC.
const (
	mostAhead  = 14 * 3600
	mostBehind = 12 * 3600
)

// simple makes a date from its civil bounds.
func simple(p Precision, first, last int64) Date {
	return Date{
		precision: p,
		civil:     span{edge{at: first}, edge{at: last}},
		absolute:  span{edge{at: first - mostAhead}, edge{at: last + mostBehind}},
		shown:     span{edge{at: first}, edge{at: last}},
	}
}

// Of is the date that is exactly one day; no date for no day.
func Of(day Day) Date {
	if day.IsZero() {
		return Date{}
	}
	d := simple(ToDay, day.seconds(), day.seconds()+secondsPerDay-1)
	d.text = day.String()
	return d
}

// Text is the date as it was written.
func (d Date) Text() string { return d.text }

// String is Text, for printing.
func (d Date) String() string { return d.text }

// IsZero reports whether there is no date.
func (d Date) IsZero() bool { return d.precision == NoPrecision }

// Precision says how finely the date is written.
func (d Date) Precision() Precision { return d.precision }

// Uncertain reports a "?" or "%" anywhere: the writer doubts the date.
func (d Date) Uncertain() bool { return d.uncertain }

// Approximate reports a "~" or "%" anywhere: the date is about right.
func (d Date) Approximate() bool { return d.approximate }

// IsFirm reports that nothing in the date is marked uncertain or approximate.
// Compare takes dates as they are written; whoever relies on an order says so
// where a date is not firm.
func (d Date) IsFirm() bool { return !d.IsZero() && !d.uncertain && !d.approximate }

// HasTime reports whether a time of day is written.
func (d Date) HasTime() bool { return d.timed }

// HasZone reports whether it is written with times of day and offsets throughout.
func (d Date) HasZone() bool { return d.zoned }

// First is the first calendar day it may be, as written at its place; ok is
// false where there is none.
func (d Date) First() (day Day, ok bool) { return d.civil.low.day(d) }

// Last is the last calendar day it may be.
func (d Date) Last() (day Day, ok bool) { return d.civil.high.day(d) }

func (e edge) day(d Date) (Day, bool) {
	if d.IsZero() || e.kind != Known {
		return Day{}, false
	}
	return dayOfSeconds(e.at), true
}

// Earliest is the earliest instant it may be, in UTC, whatever the zone.
func (d Date) Earliest() (t time.Time, ok bool) { return d.absolute.low.instant(d) }

// Latest is the start of the latest second it may be, in UTC, whatever the zone.
func (d Date) Latest() (t time.Time, ok bool) { return d.absolute.high.instant(d) }

func (e edge) instant(d Date) (time.Time, bool) {
	if d.IsZero() || e.kind != Known {
		return time.Time{}, false
	}
	return time.Unix(e.at, 0).UTC(), true
}

// Day gives the one calendar day that the date is, if it is written as one, with
// or without a time of day.
func (d Date) Day() (day Day, ok bool) {
	if d.precision < ToSecond || d.precision > ToDay {
		return Day{}, false
	}
	return d.First()
}

// Calendar gives the date without its time of day, as the calendar at its place
// showed it. A licence that runs to a day covers a signature by the calendar of
// the place, whatever the zone.
func (d Date) Calendar() Date {
	if !d.timed {
		return d
	}
	var days []string
	for _, p := range d.parts {
		days = append(days, p.Calendar().text)
	}
	text, _, _ := strings.Cut(d.text, "T")
	switch d.precision {
	case Span:
		text = orOpen(days[0], d.civil.low.kind) + "/" + orOpen(days[1], d.civil.high.kind)
	case OneOf:
		text = "[" + strings.Join(days, ",") + "]"
	default:
		text += d.text[len(strings.TrimRight(d.text, "?~%")):]
	}
	c, err := parse(text)
	if err != nil {
		return Date{} // two instants in order whose calendars are not
	}
	return c
}

func orOpen(text string, kind End) string {
	if kind == Open {
		return ".."
	}
	return text
}

// Ends gives the two ends of an interval and what they are; an end that is not
// Known is no date. For other dates both ends are the date itself.
func (d Date) Ends() (start, end Date, startKind, endKind End) {
	if d.precision != Span {
		return d, d, Known, Known
	}
	return d.parts[0], d.parts[1], d.civil.low.kind, d.civil.high.kind
}

// Candidates lists the dates of a set, one of which is meant; for any other date
// itself alone, and for no date nothing.
func (d Date) Candidates() []Date {
	switch d.precision {
	case NoPrecision:
		return nil
	case OneOf:
		return slices.Clone(d.parts)
	}
	return []Date{d}
}
