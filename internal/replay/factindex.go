package replay

import (
	"cmp"
	"slices"
	"sort"
)

// factIndex answers, for one fact, questions of time in logarithmic time: who spoke of it last before a moment, and which
// sessions that overlap a span give it.
type factIndex struct {
	all    *speakers
	ends   []int64             // ends of the sessions that speak of it, sorted
	best   []holding           // the latest session among the first i+1 of them
	chains map[int32]*speakers // by chain, the sessions of it that speak of the fact, in its order; nil until somebody asks
}

// speakers are some of the sessions that speak of one fact.
type speakers struct {
	holdings []holding
	yes, no  overlaps
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
	x := &factIndex{all: l.speakersOf(l.facts[f])}
	l.sorted[f] = x
	for _, h := range l.byEnd(l.facts[f]) {
		latest := h
		if n := len(x.best); n > 0 && l.rank[x.best[n-1].session] > l.rank[h.session] {
			latest = x.best[n-1]
		}
		x.ends, x.best = append(x.ends, l.b.sessions[h.session].span.to), append(x.best, latest)
	}
	return x
}

// chainsOf gives those who speak of a fact chain by chain, in the order of each.
func (l *ledgerOfFacts) chainsOf(f fact) map[int32]*speakers {
	x := l.index(f)
	if x.chains != nil {
		return x.chains
	}
	groups := map[int32][]holding{}
	for _, h := range l.facts[f] {
		groups[l.stated.chain[h.session]] = append(groups[l.stated.chain[h.session]], h)
	}
	x.chains = make(map[int32]*speakers, len(groups))
	for chain, list := range groups {
		slices.SortFunc(list, func(a, b holding) int { return cmp.Compare(l.stated.place[a.session], l.stated.place[b.session]) })
		x.chains[chain] = l.speakersOf(list)
	}
	return x.chains
}

func (l *ledgerOfFacts) byEnd(list []holding) []holding {
	list = slices.Clone(list)
	slices.SortStableFunc(list, func(a, b holding) int {
		return cmp.Compare(l.b.sessions[a.session].span.to, l.b.sessions[b.session].span.to)
	})
	return list
}

func (l *ledgerOfFacts) speakersOf(list []holding) *speakers {
	s := &speakers{holdings: list}
	byBeginning := slices.Clone(list)
	slices.SortFunc(byBeginning, func(a, b holding) int { return cmp.Compare(a.session, b.session) }) // sessions are numbered by their beginning
	for _, h := range byBeginning {
		for _, want := range []bool{true, false} {
			if _, gives := h.gives(want); gives {
				o := s.of(want)
				o.from, o.fromSum = append(o.from, l.b.sessions[h.session].span.from), append(o.fromSum, int64(h.session))
			}
		}
	}
	for _, h := range l.byEnd(list) {
		for _, want := range []bool{true, false} {
			if _, gives := h.gives(want); gives {
				o := s.of(want)
				o.to, o.toSum = append(o.to, l.b.sessions[h.session].span.to), append(o.toSum, int64(h.session))
			}
		}
	}
	s.yes.accumulate()
	s.no.accumulate()
	return s
}

func (s *speakers) of(want bool) *overlaps {
	if want {
		return &s.yes
	}
	return &s.no
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
func (s *speakers) overlapping(want bool, span span) (count int, sum int64) {
	o := s.of(want)
	begun := sort.Search(len(o.from), func(i int) bool { return o.from[i] >= span.to })
	over := sort.Search(len(o.to), func(i int) bool { return o.to[i] > span.from })
	if begun > 0 {
		sum += o.fromSum[begun-1]
	}
	if over > 0 {
		sum -= o.toSum[over-1]
	}
	return begun - over, sum
}
