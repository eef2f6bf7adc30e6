package replay

import (
	"cmp"
	"slices"
	"sort"
)

// stated answers what comes before what by what sessions state, however far it reaches. The sessions are divided into chains, in
// which each names the one before it, so that of a chain what comes before a session is its beginning, and what comes after it its
// end. Whether one comes before another is read from intervals over a forest of them, which takes room in proportion to the
// sessions, whatever shape their order has: one row, the teeth of a comb, benches that wait for each other. Where it would take more,
// and where sessions wait for each other in a ring, the question is answered by a walk.
type stated struct {
	names        [][]int32 // by session: those it states to come after
	followers    [][]int32
	chain, place []int32 // by session: its chain, and its place in it
	number       []int32 // in the forest: those below a session have the numbers that follow its own
	reach        [][]interval
	back, ahead  walked
}

// interval is a stretch of numbers, both ends included.
type interval struct{ first, last int32 }

// intervalsEach bounds the intervals by the number of sessions; a test sets it.
var intervalsEach = 32

// statedOf reads what the sessions of a book state. Rank is their place in the order of edges 1 to 3: what that order could not keep
// makes no chain.
func statedOf(b *book, followers [][]int32, rank []int32) *stated {
	n := len(b.sessions)
	s := &stated{names: make([][]int32, n), followers: followers, chain: make([]int32, n), place: make([]int32, n),
		back: walked{from: none, mark: make([]bool, n)}, ahead: walked{from: none, mark: make([]bool, n)}}
	for i := range n {
		s.names[i], s.chain[i] = b.sessions[i].after, int32(i)
	}
	if order, ok := s.layers(); ok {
		s.index(order, s.chains(order, rank))
	}
	return s
}

// layers puts those named before those that name them; false where a ring stands in the way.
func (s *stated) layers() (order []int32, ok bool) {
	left := make([]int, len(s.names))
	for x, names := range s.names {
		if left[x] = len(names); left[x] == 0 {
			order = append(order, int32(x))
		}
	}
	for i := 0; i < len(order); i++ {
		for _, f := range s.followers[order[i]] {
			if left[f]--; left[f] == 0 {
				order = append(order, f)
			}
		}
	}
	return order, len(order) == len(s.names)
}

// chains lays each session behind the one it names from which the longest way leads to it, if that has no longer way on. It gives
// for each the session above it in the forest: the one before it in its chain, else one that it names.
func (s *stated) chains(order, rank []int32) (above []int32) {
	n := len(order)
	up, down, next := make([]int32, n), make([]int32, n), make([]int32, n)
	above = make([]int32, n)
	for i := range n {
		x := order[n-1-i]
		next[x] = longest(s.followers[x], down)
		down[x] = 1 + lengthOf(next[x], down)
	}
	for i, x := range order {
		s.chain[x], s.place[x] = int32(i), 0
		above[x] = longest(s.names[x], up)
		up[x] = 1 + lengthOf(above[x], up)
		var leading []int32
		for _, a := range s.names[x] {
			if next[a] == x && rank[a] < rank[x] {
				leading = append(leading, a)
			}
		}
		if a := longest(leading, up); a != none {
			above[x], s.chain[x], s.place[x] = a, s.chain[a], s.place[a]+1
		}
	}
	return above
}

func longest(of, length []int32) int32 {
	best := none
	for _, x := range of {
		if best == none || length[x] > length[best] {
			best = x
		}
	}
	return best
}

func lengthOf(x int32, length []int32) int32 {
	if x == none {
		return 0
	}
	return length[x]
}

// index numbers the forest from above and notes for each session which numbers come after it.
func (s *stated) index(order, above []int32) {
	n := len(order)
	size, cursor := make([]int32, n), make([]int32, n)
	for i := range n {
		x := order[n-1-i]
		if size[x]++; above[x] != none {
			size[above[x]] += size[x]
		}
	}
	s.number = make([]int32, n)
	free := int32(0)
	for _, x := range order {
		slot := &free
		if above[x] != none {
			slot = &cursor[above[x]]
		}
		s.number[x] = *slot
		*slot += size[x]
		cursor[x] = s.number[x] + 1
	}
	reach, all := make([][]interval, n), 0
	for i := range n {
		x := order[n-1-i]
		list := []interval{{s.number[x], s.number[x] + size[x] - 1}}
		for _, f := range s.followers[x] {
			if all += 1 + len(reach[f]); all > intervalsEach*(n+intervalsEach) {
				return
			}
			list = append(list, reach[f]...)
		}
		reach[x] = merged(list)
	}
	s.reach = reach
}

// merged joins intervals that overlap or adjoin.
func merged(list []interval) []interval {
	slices.SortFunc(list, func(a, b interval) int { return cmp.Compare(a.first, b.first) })
	kept := list[:1]
	for _, one := range list[1:] {
		if last := &kept[len(kept)-1]; one.first <= last.last+1 {
			last.last = max(last.last, one.last)
		} else {
			kept = append(kept, one)
		}
	}
	return slices.Clip(kept)
}

// begins gives the earliest that each session may have begun: not before one that comes before it. In a ring its own beginning counts.
func (s *stated) begins(b *book) []int64 {
	list := make([]int64, len(s.names))
	for i := range list {
		list[i] = b.sessions[i].span.from
	}
	if order, ok := s.layers(); ok {
		for _, x := range order {
			for _, f := range s.followers[x] {
				list[f] = max(list[f], list[x])
			}
		}
	}
	return list
}

// alone says that nothing is stated of a session: it names none and is named by none.
func (s *stated) alone(session int32) bool {
	return len(s.names[session]) == 0 && len(s.followers[session]) == 0
}

// precedes says that x comes before y by what is stated.
func (s *stated) precedes(x, y int32) bool {
	if s.reach == nil {
		return x != y && s.back.reaches(x, y, s.names)
	}
	return x != y && s.holds(x, y)
}

// follows says the same of y and x; where it must be walked, many may be asked of one y.
func (s *stated) follows(x, y int32) bool {
	if s.reach == nil {
		return x != y && s.ahead.reaches(x, y, s.followers)
	}
	return x != y && s.holds(y, x)
}

func (s *stated) holds(x, y int32) bool {
	list, at := s.reach[x], s.number[y]
	i := sort.Search(len(list), func(i int) bool { return list[i].last >= at })
	return i < len(list) && list[i].first <= at
}

// walked are the sessions to which a walk from one leads. It is kept until another is asked about.
type walked struct {
	from int32
	mark []bool
	list []int32
}

func (w *walked) reaches(x, from int32, next [][]int32) bool {
	if w.from == from {
		return w.mark[x]
	}
	for _, y := range w.list {
		w.mark[y] = false
	}
	w.from, w.list = from, append(w.list[:0], from)
	for i := 0; i < len(w.list); i++ {
		for _, y := range next[w.list[i]] {
			if !w.mark[y] {
				w.mark[y] = true
				w.list = append(w.list, y)
			}
		}
	}
	return w.mark[x]
}
