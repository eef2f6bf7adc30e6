package edtf

import (
	"errors"
	"fmt"
	"strings"
)

// parseClock reads the time of day behind "T": "08:10", "08:10:00",
// "08:10:00Z", "08:10:00+01:00", "08:10:00+01".
func parseClock(day Day, text string) (Date, error) {
	clock, zone := text, ""
	if i := strings.IndexAny(text, "Z+-"); i >= 0 {
		clock, zone = text[:i], text[i:]
	}
	seconds, precision, err := clockSeconds(clock)
	if err != nil {
		return Date{}, err
	}
	first := day.seconds() + seconds
	last := first
	if precision == ToMinute {
		last += 59
	}
	d := simple(precision, first, last)
	d.timed = true
	if zone == "" {
		return d, nil
	}
	offset, err := zoneOffset(zone)
	if err != nil {
		return Date{}, err
	}
	d.zoned = true
	d.absolute = span{edge{at: first - offset}, edge{at: last - offset}}
	d.shown = d.absolute
	return d, nil
}

// clockSeconds reads "08:10" or "08:10:00".
func clockSeconds(text string) (int64, Precision, error) {
	fields := strings.Split(text, ":")
	if len(fields) != 2 && len(fields) != 3 {
		return 0, NoPrecision, errors.New("a time of day is written 08:10 or 08:10:00")
	}
	limits := []int{23, 59, 59}
	total := 0
	for i, f := range fields {
		n, ok := digits(f)
		if !ok || len(f) != 2 {
			return 0, NoPrecision, errors.New("a time of day is written 08:10 or 08:10:00")
		}
		if n > limits[i] {
			return 0, NoPrecision, fmt.Errorf("there is no time of day %s; the last is 23:59:59", text)
		}
		total = total*60 + n
	}
	if len(fields) == 2 {
		return int64(total) * 60, ToMinute, nil
	}
	return int64(total), ToSecond, nil
}

// zoneOffset reads "Z", "+01:00" or "+01" in seconds east of Greenwich.
func zoneOffset(text string) (int64, error) {
	if text == "Z" {
		return 0, nil
	}
	hours, minutes, more := strings.Cut(text[1:], ":")
	h, okH := digits(hours)
	m, okM := 0, true
	if more {
		m, okM = digits(minutes)
	}
	if !okH || !okM || len(hours) != 2 || more && len(minutes) != 2 || m > 59 || text[0] == 'Z' {
		return 0, errors.New("an offset is written Z or +01:00")
	}
	offset := int64(h*3600 + m*60)
	if text[0] == '-' {
		if offset == 0 {
			return 0, errors.New("an unknown zone is left out, not written -00:00")
		}
		offset = -offset
	}
	if offset > mostAhead || offset < -mostBehind {
		return 0, fmt.Errorf("no clock is set to %s; offsets lie between -12:00 and +14:00", text)
	}
	return offset, nil
}
