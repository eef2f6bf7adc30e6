package replay

import (
	"math"

	"boltback/internal/edtf"
	"boltback/internal/record"
)

// span is the time a session may have taken: from its earliest beginning to just before its latest end, in seconds of the
// workshop's clock. A bound nobody wrote down is open.
type span struct{ from, to int64 }

const (
	openPast   = math.MinInt64 / 4
	openFuture = math.MaxInt64 / 4
	daySeconds = 24 * 60 * 60
)

// before says that everything in a was over when b began: their times cannot overlap.
func (a span) before(b span) bool { return a.to <= b.from }

// overlaps says that neither was over when the other began.
func (a span) overlaps(b span) bool { return !a.before(b) && !b.before(a) }

// clock turns written dates into seconds of the workshop's clock. Moments written with an offset are moved to the offset
// that the workshop uses most; those without one are read as they stand.
type clock struct{ offset int64 }

// dayStart is the first second of a day.
func dayStart(d edtf.Day) int64 { return int64(d.Sub(edtf.NewDay(1970, 1, 1))) * daySeconds }

// bounds gives the first second a date may mean and the second after the last; false where nothing can be read.
func (c clock) bounds(text record.Date) (from, to int64, ok bool) {
	if text == "" {
		return 0, 0, false
	}
	d, err := edtf.Parse(string(text))
	if err != nil {
		return 0, 0, false
	}
	from, to = openPast, openFuture
	if !d.HasTime() {
		if first, known := d.First(); known {
			from = dayStart(first)
		}
		if last, known := d.Last(); known {
			to = dayStart(last) + daySeconds
		}
		return from, to, true
	}
	early, late := c.offset, c.offset
	if !d.HasZone() {
		early, late = 14*60*60, -12*60*60 // package edtf lets a time without offset lie in any zone: as it was written again
	}
	if t, known := d.Earliest(); known {
		from = t.Unix() + early
	}
	if t, known := d.Latest(); known {
		to = t.Unix() + late + 1
	}
	return from, to, true
}

// spanOf reads the time of a session from the record in whose place it stands. Without a beginning the day in its path
// counts; without an end, the end of the last day on which it may have begun; with neither, the day it was written down
// bounds it.
func (c clock) spanOf(place *record.Record) span {
	body := place.Body.(*record.Session)
	from, to, begun := c.bounds(body.Started)
	if !begun {
		from, to, begun = c.bounds(record.Date(pathDay(place.Path)))
	}
	if !begun {
		from, to = openPast, openFuture
	}
	if begun && to < openFuture {
		to = ceilDay(to)
	}
	if _, end, ended := c.bounds(body.Ended); ended {
		to = end
	} else if _, end, entered := c.bounds(body.Entered); entered && !begun {
		to = end
	}
	return span{from, max(to, from+1)}
}

// ceilDay is the end of the day that second t-1 lies in.
func ceilDay(t int64) int64 {
	day := (t - 1) / daySeconds
	if t-1 < 0 && (t-1)%daySeconds != 0 {
		day--
	}
	return (day + 1) * daySeconds
}

func pathDay(path string) string {
	if day := record.PathDate(path); day != "0000-00-00" {
		return day
	}
	return ""
}

// offsetOf finds the offset, in seconds, that most sessions use for their beginnings; of several the smallest.
func offsetOf(places []*record.Record) int64 {
	count := map[int64]int{}
	for _, p := range places {
		if offset, ok := writtenOffset(p.Body.(*record.Session).Started); ok {
			count[offset]++
		}
	}
	best, most := int64(0), 0
	for offset, n := range count {
		if n > most || n == most && offset < best {
			best, most = offset, n
		}
	}
	return best
}

// writtenOffset compares an instant with the clock time it was written as.
func writtenOffset(text record.Date) (int64, bool) {
	if len(text) < len("2026-03-02T08:10Z") {
		return 0, false
	}
	d, err := edtf.Parse(string(text))
	if err != nil || !d.HasTime() || !d.HasZone() {
		return 0, false
	}
	bare := string(text)
	if bare[len(bare)-1] == 'Z' {
		return 0, true
	}
	cut := len(bare) - len("+00:00")
	if bare[cut] != '+' && bare[cut] != '-' {
		return 0, false
	}
	written, err := edtf.Parse(bare[:cut] + "Z")
	if err != nil {
		return 0, false
	}
	a, okA := d.Earliest()
	b, okB := written.Earliest()
	return b.Unix() - a.Unix(), okA && okB
}
