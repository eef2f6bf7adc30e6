package replay

import (
	"fmt"
	"slices"
	"strconv"

	"boltback/internal/ledger"
	"boltback/internal/quantity"
	"boltback/internal/record"
)

// Surveys are the hole surveys of a zone that frame the work on it: the last before the first work, the first after the last.
type Surveys struct {
	Zone          string
	Before, After *ledger.Entry[record.Reading]
	// New are holes that only the later lists; Grown those whose size is larger in the later; Gone those that only the earlier
	// lists; Unknown those of which there is no record; Unsized those that both list and of which the later states no size, or
	// nothing from before does: whether they were opened is not known.
	New, Grown, Gone, Unknown, Unsized []record.Ref
	// More are totals that both state, under one name, and of which the later is the greater: "holes in all: 11, then 12".
	More []string
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
		first, measured := z.sizeIn(s.Before.Body, h)
		if !measured {
			first = z.sizeOf(h)
		}
		switch second, _ := z.sizeIn(s.After.Body, h); larger(first, second) {
		case grew:
			s.Grown = append(s.Grown, h)
		case notComparable:
			s.Unsized = append(s.Unsized, h)
		}
	}
	s.More = moreOf(s.Before.Body, s.After.Body)
}

// moreOf compares the whole numbers that two surveys state under one name.
func moreOf(before, after *record.Reading) []string {
	var list []string
	for _, b := range before.Values {
		first, err := strconv.Atoi(b.Value)
		if err != nil {
			continue
		}
		for _, a := range after.Values {
			if second, err := strconv.Atoi(a.Value); err == nil && a.Of == b.Of && second > first {
				list = append(list, fmt.Sprintf("%s: %d, then %d", b.Of, first, second))
			}
		}
	}
	return list
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

// sizeIn gives the size that a survey itself states for a feature.
func (z *Zones) sizeIn(r *record.Reading, hole record.Ref) (string, bool) {
	for _, v := range r.Values {
		if z.work.book.place(record.Ref(v.Of)) == hole {
			return v.Value, true
		}
	}
	return "", false
}

// sizeOf gives the size in the feature's own record, which is of before the work.
func (z *Zones) sizeOf(hole record.Ref) string {
	if e, ok := ledger.Get[record.Existing](z.work.book.snapshot, hole); ok {
		return string(e.Body.Size)
	}
	return ""
}

// growth is what two sizes of a hole say of each other.
type growth uint8

const (
	notComparable growth = iota
	same
	grew
)

// larger compares two sizes; within their own uncertainty of each other they are the same.
func larger(first, second string) growth {
	a, err1 := quantity.Parse(first)
	b, err2 := quantity.Parse(second)
	if err1 != nil || err2 != nil {
		return notComparable
	}
	x, err1 := a.Float("mm")
	y, err2 := b.Float("mm")
	switch {
	case err1 != nil || err2 != nil:
		return notComparable
	case y-x > spread(a)+spread(b)+1e-9:
		return grew
	}
	return same
}

func spread(q quantity.Quantity) float64 {
	if u, _, ok := q.Uncertainty(); ok {
		if mm, err := u.Float("mm"); err == nil {
			return mm
		}
	}
	return 0
}
