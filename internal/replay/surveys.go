package replay

import (
	"slices"

	"boltback/internal/ledger"
	"boltback/internal/quantity"
	"boltback/internal/record"
)

// Surveys are the hole surveys of a zone that frame the work on it: the last before the first work, the first after the last.
type Surveys struct {
	Zone          string
	Before, After *ledger.Entry[record.Reading]
	// New are holes that only the later lists; Grown those whose size is larger in the later; Gone those that only the earlier
	// lists; Unknown those of which there is no record, or, in a list of sizes, not of both.
	New, Grown, Gone, Unknown []record.Ref
}

// Surveys finds the hole surveys that frame the work on a zone and matches them hole by hole.
func (z *Zones) Surveys(zone string) Surveys {
	s := Surveys{Zone: zone}
	for _, r := range standing[record.Reading](z.work.book.snapshot) {
		if r.Body.What != "hole-survey" || r.Body.Zone != zone {
			continue
		}
		switch {
		case z.Before(r.Body.On, zone):
			if s.Before == nil || r.Body.On >= s.Before.Body.On {
				s.Before = &r
			}
		case z.After(r.Body.On, zone):
			if s.After == nil || r.Body.On < s.After.Body.On {
				s.After = &r
			}
		}
	}
	if s.Before != nil && s.After != nil {
		z.match(&s)
	}
	return s
}

func (z *Zones) match(s *Surveys) {
	before, after := z.holes(s.Before.Body), z.holes(s.After.Body)
	for _, h := range after {
		if !slices.Contains(before, h) {
			s.New = append(s.New, h)
		}
		if e, ok := ledger.Get[record.Existing](z.work.book.snapshot, h); !ok || !counts(z.work.book.snapshot, e.Record) {
			s.Unknown = append(s.Unknown, h)
		}
	}
	for _, h := range before {
		if !slices.Contains(after, h) {
			s.Gone = append(s.Gone, h)
			continue
		}
		if a, b := z.sizeOf(s.Before.Body, h), z.sizeOf(s.After.Body, h); larger(a, b) {
			s.Grown = append(s.Grown, h)
		}
	}
}

// holes lists the features a survey lists, by the names they go by.
func (z *Zones) holes(r *record.Reading) []record.Ref {
	var list []record.Ref
	for _, h := range r.Holes {
		if n := z.work.book.place(h); !slices.Contains(list, n) {
			list = append(list, n)
		}
	}
	return list
}

// sizeOf gives the size that a survey has for a feature, or else the one in the feature's own record.
func (z *Zones) sizeOf(r *record.Reading, hole record.Ref) string {
	for _, v := range r.Values {
		if z.work.book.place(record.Ref(v.Of)) == hole {
			return v.Value
		}
	}
	if e, ok := ledger.Get[record.Existing](z.work.book.snapshot, hole); ok {
		return string(e.Body.Size)
	}
	return ""
}

// larger says that a second size is larger than the first; sizes that cannot be read compare as equal, and so do sizes within
// their own uncertainty of each other.
func larger(first, second string) bool {
	a, err1 := quantity.Parse(first)
	b, err2 := quantity.Parse(second)
	if err1 != nil || err2 != nil {
		return false
	}
	x, err1 := a.Float("mm")
	y, err2 := b.Float("mm")
	if err1 != nil || err2 != nil {
		return false
	}
	return y-x > spread(a)+spread(b)+1e-9
}

func spread(q quantity.Quantity) float64 {
	if u, _, ok := q.Uncertainty(); ok {
		if mm, err := u.Float("mm"); err == nil {
			return mm
		}
	}
	return 0
}
