package edtf

import (
	"strings"
	"time"
)

// SetRight gives the moment that a clock meant when it showed d, known that it
// showed shown at the moment was. The clock's error is the difference between
// the two; was decides about zone and precision of the answer. ok is false where
// one of them is no single moment with a time of day, or where d and shown do
// not both tell their offset or both leave it out: then nobody knows how far
// they lie apart.
func (d Date) SetRight(shown, was Date) (right Date, ok bool) {
	for _, m := range []Date{d, shown, was} {
		if m.precision != ToSecond && m.precision != ToMinute || !m.IsFirm() {
			return Date{}, false
		}
	}
	if d.zoned != shown.zoned {
		return Date{}, false
	}
	since := d.civil.low.at - shown.civil.low.at
	if d.zoned {
		since = d.absolute.low.at - shown.absolute.low.at
	}
	form, zone := "2006-01-02T15:04:05", ""
	if was.precision == ToMinute {
		form = "2006-01-02T15:04"
	}
	if was.zoned {
		_, clock, _ := strings.Cut(was.text, "T")
		zone = clock[strings.IndexAny(clock, "Z+-"):]
	}
	text := time.Unix(was.civil.low.at+since, 0).UTC().Format(form) + zone
	right, err := Parse(text)
	return right, err == nil
}

// Apart is how far one clock reading lies after another, by their offsets where
// both tell them and by the clock where neither does; ok is false otherwise.
func Apart(a, b Date) (after time.Duration, ok bool) {
	if !a.timed || !b.timed || a.precision > ToMinute || b.precision > ToMinute || a.zoned != b.zoned {
		return 0, false
	}
	seconds := b.civil.low.at - a.civil.low.at
	if a.zoned {
		seconds = b.absolute.low.at - a.absolute.low.at
	}
	return time.Duration(seconds) * time.Second, true
}
