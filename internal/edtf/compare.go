package edtf

import (
	"cmp"
	"math"
	"strings"
)

// Order is how two dates lie to each other.
type Order string

// The orders. Overlap: their possible times overlap, so neither order can be
// said. Unknown: a date is missing, or an end that would decide it is unknown.
const (
	Before  Order = "before"
	After   Order = "after"
	Equal   Order = "equal"
	Overlap Order = "overlap"
	Unknown Order = "unknown"
)

// Compare orders two dates as they are written. Before and After are said only
// where every possible time of one lies before every possible time of the other;
// both are strict partial orders. Equal is the same day, written as a day, or the
// same instant, written with its offset. Two dates without a time of day are
// compared by the calendar; as soon as one has a time, as instants, and what has
// no zone may lie in any.
func Compare(a, b Date) Order {
	if a.IsZero() || b.IsZero() {
		return Unknown
	}
	sa, sb := a.spanBeside(b), b.spanBeside(a)
	switch {
	case sa.before(sb):
		return Before
	case sb.before(sa):
		return After
	case sa == sb && a.isOnePoint(b) && b.isOnePoint(a):
		return Equal
	case sa.hasUnknown() || sb.hasUnknown():
		return Unknown
	}
	return Overlap
}

// spanBeside picks calendar or instants for a comparison with o.
func (d Date) spanBeside(o Date) span {
	if d.timed || o.timed {
		return d.absolute
	}
	return d.civil
}

// isOnePoint reports whether d is one day or one instant when held beside o.
func (d Date) isOnePoint(o Date) bool {
	if d.timed || o.timed {
		return d.zoned && d.precision == ToSecond
	}
	return d.precision == ToDay
}

func (s span) before(o span) bool {
	return s.high.kind == Known && o.low.kind == Known && s.high.at < o.low.at
}

func (s span) hasUnknown() bool { return s.low.kind == UnknownEnd || s.high.kind == UnknownEnd }

// Answer is the answer to a question about dates.
type Answer string

// The answers.
const (
	Yes     Answer = "yes"
	No      Answer = "no"
	Perhaps Answer = "perhaps"
)

// Contains answers whether inner lies wholly within outer: whether a day lies in
// the term of a licence. Perhaps, where only a part of what inner may be lies in
// it, or where an end is unknown. In a set every candidate is asked.
func Contains(outer, inner Date) Answer {
	if outer.IsZero() || inner.IsZero() {
		return Perhaps
	}
	answers := map[Answer]bool{}
	for _, o := range outer.Candidates() {
		for _, i := range inner.Candidates() {
			answers[containsOne(o, i)] = true
		}
	}
	switch {
	case len(answers) > 1 || answers[Perhaps]:
		return Perhaps
	case answers[Yes]:
		return Yes
	}
	return No
}

func containsOne(outer, inner Date) Answer {
	so, si := outer.spanBeside(inner), inner.spanBeside(outer)
	// When instants are compared, an outer date without a zone is certain to
	// hold only what it holds in every zone.
	certain := so
	if (outer.timed || inner.timed) && !outer.zoned {
		certain.low.at += mostAhead + mostBehind
		certain.high.at -= mostAhead + mostBehind
	}
	switch {
	case so.before(si) || si.before(so):
		return No
	case certain.covers(si):
		return Yes
	}
	return Perhaps
}

// covers reports whether all of o certainly lies in s.
func (s span) covers(o span) bool {
	low := s.low.kind == Open || s.low.kind == Known && o.low.kind == Known && s.low.at <= o.low.at
	high := s.high.kind == Open || s.high.kind == Known && o.high.kind == Known && s.high.at >= o.high.at
	return low && high
}

// DaysBetween gives the fewest and the most calendar days from a to b as they are
// written; negative where b may lie before a. ok is false where an end is open
// or unknown. Whoever counts across zones adds a day to either side.
func DaysBetween(a, b Date) (fewest, most int, ok bool) {
	aFirst, ok1 := a.First()
	aLast, ok2 := a.Last()
	bFirst, ok3 := b.First()
	bLast, ok4 := b.Last()
	if !ok1 || !ok2 || !ok3 || !ok4 {
		return 0, 0, false
	}
	return bFirst.Sub(aLast), bLast.Sub(aFirst), true
}

// ByTime is a total order for showing dates in a list: by the earliest time, then
// the latest, then the text; open and unknown starts come first, no date last. A
// date that is Before another never comes after it. A reading without zone is
// placed as if in UTC, for its place in the list and nothing else.
func ByTime(a, b Date) int {
	if a.IsZero() || b.IsZero() {
		return cmp.Compare(boolRank(a.IsZero()), boolRank(b.IsZero()))
	}
	sa, sb := a.shown, b.shown
	return cmp.Or(
		cmp.Compare(sa.low.place(math.MinInt64), sb.low.place(math.MinInt64)),
		cmp.Compare(sa.high.place(math.MaxInt64), sb.high.place(math.MaxInt64)),
		strings.Compare(a.text, b.text),
	)
}

func boolRank(b bool) int {
	if b {
		return 1
	}
	return 0
}

func (e edge) place(otherwise int64) int64 {
	if e.kind != Known {
		return otherwise
	}
	return e.at
}
