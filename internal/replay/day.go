package replay

import (
	"boltback/internal/edtf"
	"boltback/internal/record"
)

// Day is a calendar day, so that packages above need not read dates themselves.
type Day = edtf.Day

// LastDay is the last day that a written date may mean.
func LastDay(date record.Date) (Day, bool) {
	d, err := edtf.Parse(string(date))
	if err != nil {
		return Day{}, false
	}
	return d.Last()
}

// FirstDay is the first day that a written date may mean.
func FirstDay(date record.Date) (Day, bool) {
	d, err := edtf.Parse(string(date))
	if err != nil {
		return Day{}, false
	}
	return d.First()
}

// Minutes is how long a session took by its own clock; false where it does not write the times of both ends.
func Minutes(s *record.Session) (int, bool) {
	from, err1 := edtf.Parse(string(s.Started))
	to, err2 := edtf.Parse(string(s.Ended))
	if err1 != nil || err2 != nil || !from.HasTime() || !to.HasTime() || from.HasZone() != to.HasZone() {
		return 0, false
	}
	a, okA := from.Earliest()
	b, okB := to.Earliest()
	if !okA || !okB || b.Before(a) {
		return 0, false
	}
	return int(b.Sub(a).Minutes()), true
}

// ParseDay reads a day as 2018-09-12.
func ParseDay(text string) (Day, bool) {
	d, err := edtf.ParseDay(text)
	return d, err == nil
}
