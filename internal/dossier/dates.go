package dossier

import (
	"cmp"
	"fmt"
	"strings"

	"boltback/internal/doc"
	"boltback/internal/edtf"
	"boltback/internal/record"
)

// period is from when to when something took place, as far as its record says.
// Where it states no day, start is the day in its path, good for its place in a
// list and for nothing else, and known is false.
type period struct {
	start, end edtf.Date
	known      bool
}

// date reads a date of a record; what cannot be read is no date, and the check
// reports it.
func date(d record.Date) edtf.Date {
	parsed, err := edtf.Parse(string(d))
	if err != nil {
		return edtf.Date{}
	}
	return parsed
}

func periodOf(started, ended record.Date, place *record.Record) period {
	p := period{start: date(started), end: date(ended)}
	if p.start.IsZero() {
		p.start = p.end
	}
	if p.end.IsZero() {
		p.end = p.start
	}
	p.known = !p.start.IsZero()
	if !p.known {
		p.start = date(record.Date(record.PathDate(place.Path)))
		p.end = p.start
	}
	return p
}

func workPeriod(body *record.Session, place *record.Record) period {
	return periodOf(body.Started, body.Ended, place)
}

func readingPeriod(body *record.Reading, place *record.Record) period {
	return periodOf(body.On, "", place)
}

// before tells whether a period ended before another began, for certain: by the
// calendar of the place, since a car is in one place at a time; on one day, and
// where both state a zone, by the clock.
func (p period) before(o period) bool {
	if !p.known || !o.known {
		return false
	}
	last, ok1 := p.end.Last()
	first, ok2 := o.start.First()
	if ok1 && ok2 && last != first && !(p.end.HasZone() && o.start.HasZone()) {
		return last.Compare(first) < 0
	}
	return edtf.Compare(p.end, o.start) == edtf.Before
}

// compare orders periods for a list: by their start, those without a day first.
func (p period) compare(o period) int {
	if p.start.IsZero() != o.start.IsZero() {
		return cmp.Compare(boolRank(p.start.IsZero()), boolRank(o.start.IsZero())) * -1
	}
	return edtf.ByTime(p.start, o.start)
}

func boolRank(b bool) int {
	if b {
		return 1
	}
	return 0
}

// delay is the number of calendar days from the end of something to its entry.
func delay(happened period, entered record.Date) (fewest, most int, ok bool) {
	if !happened.known {
		return 0, 0, false
	}
	return edtf.DaysBetween(happened.end, date(entered))
}

func delayWords(happened period, entered record.Date) doc.Text {
	fewest, most, ok := delay(happened, entered)
	switch {
	case !ok:
		return doc.Text{doc.Missing("days since: not stated")}
	case most < 0:
		return doc.Say("{} before the day stated", count(-most, "day"))
	case fewest == 0 && most == 0:
		return doc.Say("on the same day")
	case fewest == most:
		return doc.Say("{} later", count(most, "day"))
	}
	return doc.Say("between {} and {} days later, as the dates allow", fewest, most)
}

// late tells whether something was written down on a later day than it happened.
func late(happened period, entered record.Date) bool {
	fewest, _, ok := delay(happened, entered)
	return ok && fewest > 0
}

// dayOr is a date for a list: without its time of day, and with the marks and
// gaps it was written with.
func dayOr(d record.Date) doc.Span {
	if d == "" {
		return doc.Missing("day not stated")
	}
	if day, ok := date(d).Day(); ok && date(d).HasTime() {
		return doc.Plain(day.String())
	}
	return stated(d)
}

// pathDay is the day in a record's path, in words where it has none.
func pathDay(r *record.Record) string {
	switch day := record.PathDate(r.Path); day {
	case "", "0000-00-00":
		return "day not stated"
	default:
		return day
	}
}

// byPlace orders records by the place they stand in, then by path.
func (b *book) byPlace(x, y *record.Record) int {
	return cmp.Or(strings.Compare(b.s.Place(x).Path, b.s.Place(y).Path), strings.Compare(x.Path, y.Path))
}

// today is the day of the dossier as a sentence gives it.
func (b *book) today() string {
	if b.in.Day.IsZero() {
		return "not stated"
	}
	return fmt.Sprint(b.in.Day)
}
