package edtf

import (
	"fmt"
	"time"
)

// Day is a day of the Gregorian calendar, from 0000-01-01 to 9999-12-31. It is
// comparable with ==. The zero value is no day.
type Day struct{ number int32 } // days since 0000-01-01, counted from 1

const secondsPerDay = 86400

// epochNumber is the number of 1970-01-01.
const epochNumber = 719529

// lastNumber is the number of 9999-12-31.
const lastNumber = 3652425

// NewDay gives the day of a valid date. An impossible one gives the zero Day;
// [ParseDay] says why.
func NewDay(year, month, day int) Day {
	if year < 0 || year > 9999 || month < 1 || month > 12 || day < 1 || day > daysIn(year, month) {
		return Day{}
	}
	return dayOfSeconds(time.Date(year, time.Month(month), day, 0, 0, 0, 0, time.UTC).Unix())
}

// DayOf is the calendar day of an instant in its own location.
func DayOf(t time.Time) Day { return NewDay(t.Year(), int(t.Month()), t.Day()) }

// ParseDay reads "2018-09-12". For a day that does not exist the error names the
// nearest one that does.
func ParseDay(text string) (Day, error) {
	if len(text) != 10 || text[4] != '-' || text[7] != '-' {
		return Day{}, fmt.Errorf("%q is not a day; a day is written 2018-09-12", clip(text))
	}
	y, okY := digits(text[:4])
	m, okM := digits(text[5:7])
	d, okD := digits(text[8:])
	if !okY || !okM || !okD {
		return Day{}, fmt.Errorf("%q is not a day; a day is written 2018-09-12", clip(text))
	}
	if err := exists(y, m, d); err != nil {
		return Day{}, fmt.Errorf("%q: %w", text, err)
	}
	return NewDay(y, m, d), nil
}

// exists says why there is no such day, and the nearest that there is.
func exists(year, month, day int) error {
	switch {
	case month < 1 || month > 12:
		return fmt.Errorf("there is no month %02d; months are 01 to 12", month)
	case day < 1:
		return fmt.Errorf("there is no day 00; an unknown day is written %04d-%02d-XX", year, month)
	case day > daysIn(year, month):
		return fmt.Errorf("there is no such day; the nearest is %04d-%02d-%02d", year, month, daysIn(year, month))
	}
	return nil
}

// daysIn is the length of a month of the Gregorian calendar.
func daysIn(year, month int) int {
	switch month {
	case 2:
		if year%4 == 0 && (year%100 != 0 || year%400 == 0) {
			return 29
		}
		return 28
	case 4, 6, 9, 11:
		return 30
	}
	return 31
}

// IsZero reports whether it is no day.
func (d Day) IsZero() bool { return d.number == 0 }

// Date gives year, month and day of the month; zeros for no day.
func (d Day) Date() (year, month, day int) {
	if d.IsZero() {
		return 0, 0, 0
	}
	y, m, dd := time.Unix(d.seconds(), 0).UTC().Date()
	return y, int(m), dd
}

// seconds is the start of the day on a clock that reads 0 at 1970-01-01T00:00:00,
// wherever that clock hangs.
func (d Day) seconds() int64 { return int64(d.number-epochNumber) * secondsPerDay }

func dayOfSeconds(s int64) Day {
	n := s / secondsPerDay
	if s%secondsPerDay < 0 {
		n--
	}
	return Day{int32(n) + epochNumber}
}

// String writes the day as 2018-09-12, and no day as "".
func (d Day) String() string {
	if d.IsZero() {
		return ""
	}
	y, m, dd := d.Date()
	return fmt.Sprintf("%04d-%02d-%02d", y, m, dd)
}

// Compare is -1, 0 or 1 as d is before, the same as or after o; no day is before
// every day.
func (d Day) Compare(o Day) int {
	switch {
	case d.number < o.number:
		return -1
	case d.number > o.number:
		return 1
	}
	return 0
}

// Sub is the number of days from o to d; 0 if either is no day.
func (d Day) Sub(o Day) int {
	if d.IsZero() || o.IsZero() {
		return 0
	}
	return int(d.number - o.number)
}

// AddDays gives the day n days later, or the zero Day outside the years 0000 to
// 9999.
func (d Day) AddDays(n int) Day {
	sum := int64(d.number) + int64(n)
	if d.IsZero() || sum < 1 || sum > lastNumber {
		return Day{}
	}
	return Day{int32(sum)}
}

// AddMonths gives the same day of the month n months later, or the last day of
// that month where it is shorter: a year's calibration from 2024-02-29 ends with
// 2025-02-28. The zero Day outside the years 0000 to 9999.
func (d Day) AddMonths(n int) Day {
	y, m, day := d.Date()
	if d.IsZero() || n > 12*10000 || n < -12*10000 {
		return Day{}
	}
	months := y*12 + m - 1 + n
	if months < 0 {
		return Day{}
	}
	y, m = months/12, months%12+1
	return NewDay(y, m, min(day, daysIn(y, m)))
}

// digits reads a fixed number of decimal digits.
func digits(s string) (int, bool) {
	n := 0
	for i := 0; i < len(s); i++ {
		if s[i] < '0' || s[i] > '9' {
			return 0, false
		}
		n = n*10 + int(s[i]-'0')
	}
	return n, s != ""
}

// clip shortens text from outside for an error message.
func clip(s string) string {
	const most = 40
	runes := []rune(s)
	if len(runes) <= most {
		return s
	}
	return string(runes[:most]) + "…"
}
