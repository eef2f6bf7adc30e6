package replay

import (
	"slices"
	"sort"
)

// factIndex answers, for one fact, questions of time in logarithmic time: who spoke of it last before a moment, and which
// sessions that overlap a span give it.
type factIndex struct {
	ends []int64   // ends of the sessions that speak of it, sorted
	best []holding // the latest session among the first i+1 of them
	yes  *overlaps
	no   *overlaps
}

// overlaps counts sessions that overlap a span, and sums their numbers: where the count is one, the sum is its number.
type overlaps struct {
	from, to       []int64 // sorted
	fromSum, toSum []int64
}

func (l *ledgerOfFacts) index(f fact) *factIndex {
	if x := l.sorted[f]; x != nil {
		return x
	}
	x := &factIndex{yes: &overlaps{}, no: &overlaps{}}
	l.sorted[f] = x
	list := slices.Clone(l.facts[f])
	for _, h := range list {
		span := l.b.sessions[h.session].span
		for want, o := range map[bool]*overlaps{true: x.yes, false: x.no} {
			if _, gives := h.gives(want); gives {
				o.from, o.fromSum = append(o.from, span.from), append(o.fromSum, int64(h.session))
			}
		}
	}
	slices.SortStableFunc(list, func(a, b holding) int {
		return compareInt(l.b.sessions[a.session].span.to, l.b.sessions[b.session].span.to)
	})
	for _, h := range list {
		end := l.b.sessions[h.session].span.to
		latest := h
		if n := len(x.best); n > 0 && l.rank[x.best[n-1].session] > l.rank[h.session] {
			latest = x.best[n-1]
		}
		x.ends, x.best = append(x.ends, end), append(x.best, latest)
		for want, o := range map[bool]*overlaps{true: x.yes, false: x.no} {
			if _, gives := h.gives(want); gives {
				o.to, o.toSum = append(o.to, end), append(o.toSum, int64(h.session))
			}
		}
	}
	x.yes.accumulate()
	x.no.accumulate()
	return x
}

func (o *overlaps) accumulate() {
	for i := 1; i < len(o.fromSum); i++ {
		o.fromSum[i] += o.fromSum[i-1]
		o.toSum[i] += o.toSum[i-1]
	}
}

// latestBefore gives the last session, by its rank, of those over by a moment.
func (x *factIndex) latestBefore(moment int64) (holding, bool) {
	n := sort.Search(len(x.ends), func(i int) bool { return x.ends[i] > moment })
	if n == 0 {
		return holding{}, false
	}
	return x.best[n-1], true
}

// overlapping counts the sessions that give the fact and overlap a span, and sums their numbers.
func (x *factIndex) overlapping(want bool, s span) (count int, sum int64) {
	o := x.no
	if want {
		o = x.yes
	}
	begun := sort.Search(len(o.from), func(i int) bool { return o.from[i] >= s.to })
	over := sort.Search(len(o.to), func(i int) bool { return o.to[i] > s.from })
	if begun > 0 {
		sum += o.fromSum[begun-1]
	}
	if over > 0 {
		sum -= o.toSum[over-1]
	}
	return begun - over, sum
}
