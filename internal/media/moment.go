package media

import (
	"strings"
	"time"
)

// Moment is a time as a camera wrote it: what its clock showed and, where the
// file says so, how far that clock was east of Greenwich. Without that no zone
// is assumed. The zero value is no moment.
type Moment struct {
	// Clock is what the clock showed, written as if in UTC.
	Clock time.Time
	// Zoned says that East is known.
	Zoned bool
	// East is the offset from UTC, from -12 h to +14 h.
	East time.Duration
}

// IsZero reports whether it is no moment.
func (m Moment) IsZero() bool { return m.Clock.IsZero() }

// String writes the moment as records do: 2026-03-02T08:04:11, with Z or an
// offset where one is known; "" for none.
func (m Moment) String() string {
	if m.IsZero() {
		return ""
	}
	if !m.Zoned {
		return m.Clock.Format("2006-01-02T15:04:05")
	}
	zone := time.FixedZone("", int(m.East/time.Second))
	return m.Clock.Add(-m.East).In(zone).Format("2006-01-02T15:04:05Z07:00")
}

// exifMoment reads "2026:03:02 08:04:11" and "+01:00"; what cannot be read is no
// moment, or no offset.
func exifMoment(date, offset string) Moment {
	clock, err := time.Parse("2006:01:02 15:04:05", strings.TrimSpace(date))
	if err != nil || clock.Year() < 1 {
		return Moment{}
	}
	m := Moment{Clock: clock}
	m.East, m.Zoned = eastOf(strings.TrimSpace(offset))
	return m
}

// eastOf reads "+01:00" or "Z".
func eastOf(offset string) (time.Duration, bool) {
	const ahead, behind = 14 * time.Hour, 12 * time.Hour
	t, err := time.Parse("Z07:00", offset)
	if err != nil {
		return 0, false
	}
	_, seconds := t.Zone()
	east := time.Duration(seconds) * time.Second
	if east > ahead || east < -behind {
		return 0, false
	}
	return east, true
}
