package replay

import (
	"container/heap"
	"slices"
	"sort"
)

// sequence is the outcome of ordering: the lines of all sessions in one order, and what their order leaves open.
type sequence struct {
	steps   []step
	carries map[int32][]carry // by number of the step after which the worse outcome is carried
	doubts  []Doubt
	rings   map[int32][]int // by number of the session taken first out of a ring: the doubts of its rings
	begins  []int64         // by session, the earliest it may have begun, what it states to come after considered
}

// edge says that one line of a session needs what a line of an overlapping session gives.
type edge struct{ session, line, other, otherLine int32 }

// sorter lays the lines in order: a topological order in which the session that began earliest goes first, ties by path.
// That sessions which cannot overlap follow each other is not written down as edges: sessions sorted by their ends, and a
// mark of how far that list is done, tell the same in linear space.
type sorter struct {
	b         *book
	in, out   [][]edge // needs by session, sorted by its own line
	followers [][]int32
	ends      []int32 // sessions by the end of their time
	waitsFor  []int32 // how many of them must be done before a session may begin
	next      []int32 // next line of each session
	afterLeft []int32
	needLeft  []map[int32]int32
	done      int // how many of ends are done
	cursor    int // sessions below it wait no more for time
	ready     readyHeap
	queued    []bool
	order     []step
	doubts    []Doubt
	rings     map[int32][]int
	stated    *stated   // set once the needs are asked for
	latest    []int64   // by number in the order, the latest beginning of a session up to it; set with numbers
	numbers   [][]int32 // by session and line, its number in the order found; set once the order is found
}

// readyHeap holds the sessions whose next line waits for nothing, the first in order on top.
type readyHeap []int32

// Len, Less and Swap are what package heap sorts by: sessions are numbered by their beginning, ties by path, so that the lower
// number goes first.
func (h readyHeap) Len() int           { return len(h) }
func (h readyHeap) Less(i, j int) bool { return h[i] < h[j] }
func (h readyHeap) Swap(i, j int)      { h[i], h[j] = h[j], h[i] }

// Push and Pop add and take at the end; package heap has moved the first there. Whoever wants a session calls heap.Push and heap.Pop.
func (h *readyHeap) Push(x any) { *h = append(*h, x.(int32)) }
func (h *readyHeap) Pop() any {
	old := *h
	x := old[len(old)-1]
	*h = old[:len(old)-1]
	return x
}

// arrange puts all lines of a book into their order: once by time and by what is stated, which tells what came last before
// a line in need, and then by the needs as well.
func arrange(b *book) *sequence {
	first := newSorter(b, nil)
	first.run()
	s := newSorter(b, needs(first))
	s.stated = first.stated
	s.run()
	s.number()
	q := &sequence{steps: s.order, doubts: s.doubts, rings: s.rings, carries: map[int32][]carry{}, begins: s.stated.begins(b)}
	findConflicts(s, q)
	return q
}

// run takes line by line until none is left.
func (s *sorter) run() {
	total := 0
	for i := range s.b.sessions {
		total += len(s.b.sessions[i].lines)
	}
	s.order = make([]step, 0, total)
	s.wake()
	for len(s.order) < total {
		if s.ready.Len() == 0 {
			s.breakRing()
			continue
		}
		session := heap.Pop(&s.ready).(int32)
		s.queued[session] = false
		s.emit(session)
	}
}

// number notes where each line stands in the order, and how late sessions begin up to there.
func (s *sorter) number() {
	s.numbers = make([][]int32, len(s.b.sessions))
	for i := range s.b.sessions {
		s.numbers[i] = make([]int32, len(s.b.sessions[i].lines))
	}
	latest := int64(openPast)
	for i, t := range s.order {
		s.numbers[t.session][t.index] = int32(i)
		latest = max(latest, s.b.sessions[t.session].span.from)
		s.latest = append(s.latest, latest)
	}
}

func newSorter(b *book, needs []edge) *sorter {
	n := len(b.sessions)
	s := &sorter{b: b, in: make([][]edge, n), out: make([][]edge, n), followers: make([][]int32, n), ends: make([]int32, n),
		waitsFor: make([]int32, n), next: make([]int32, n), afterLeft: make([]int32, n), needLeft: make([]map[int32]int32, n), queued: make([]bool, n), rings: map[int32][]int{}}
	for i := range n {
		s.ends[i] = int32(i)
		s.afterLeft[i] = int32(len(b.sessions[i].after))
		for _, a := range b.sessions[i].after {
			s.followers[a] = append(s.followers[a], int32(i))
		}
	}
	slices.SortStableFunc(s.ends, func(x, y int32) int { return compareInt(b.sessions[x].span.to, b.sessions[y].span.to) })
	for i := range n {
		from := b.sessions[i].span.from
		s.waitsFor[i] = int32(sort.Search(n, func(k int) bool { return b.sessions[s.ends[k]].span.to > from }))
	}
	for _, e := range needs {
		s.out[e.other] = append(s.out[e.other], e)
		s.in[e.session] = append(s.in[e.session], e)
		if s.needLeft[e.session] == nil {
			s.needLeft[e.session] = map[int32]int32{}
		}
		s.needLeft[e.session][e.line]++
	}
	return s
}

func compareInt(x, y int64) int {
	switch {
	case x < y:
		return -1
	case x > y:
		return 1
	}
	return 0
}

// wake lets sessions begin for which the time has come.
func (s *sorter) wake() {
	for s.done < len(s.ends) && s.finished(s.ends[s.done]) {
		s.done++
	}
	for s.cursor < len(s.waitsFor) && int(s.waitsFor[s.cursor]) <= s.done {
		s.cursor++
		s.offer(int32(s.cursor - 1))
	}
}

func (s *sorter) finished(session int32) bool {
	return int(s.next[session]) == len(s.b.sessions[session].lines)
}

// offer queues a session if its next line waits for nothing more.
func (s *sorter) offer(session int32) {
	if s.queued[session] || s.finished(session) {
		return
	}
	line := s.next[session]
	if line == 0 && (int(session) >= s.cursor || s.afterLeft[session] > 0) || s.needLeft[session][line] > 0 {
		return
	}
	s.queued[session] = true
	heap.Push(&s.ready, session)
}

// emit takes the next line of a session and frees what waited for it.
func (s *sorter) emit(session int32) {
	line := s.next[session]
	s.order = append(s.order, s.b.sessions[session].lines[line])
	s.next[session]++
	for _, e := range s.out[session] {
		if e.otherLine == line {
			s.needLeft[e.session][e.line]--
			s.offer(e.session)
		}
	}
	if s.finished(session) {
		for _, f := range s.followers[session] {
			s.afterLeft[f]--
			s.offer(f)
		}
		s.wake()
	}
	s.offer(session)
}

// breakRing is called when every line left waits for another. It walks back from the first of them, each time to the first
// it waits for, until it comes round; names the sessions of that ring; and takes its first line all the same.
func (s *sorter) breakRing() {
	first := int32(0)
	for s.finished(first) {
		first++
	}
	walk := []node{{first, s.next[first]}}
	at := map[node]int{walk[0]: 0}
	for {
		n := s.waitedFor(walk[len(walk)-1])
		if from, round := at[n]; round {
			walk = walk[from:]
			break
		}
		at[n] = len(walk)
		walk = append(walk, n)
	}
	least := walk[0]
	sessions := []int32{}
	for _, n := range walk {
		if n.less(least) {
			least = n
		}
		if !slices.Contains(sessions, n.session) {
			sessions = append(sessions, n.session)
		}
	}
	slices.Sort(sessions)
	s.rings[least.session] = append(s.rings[least.session], len(s.doubts))
	s.doubts = append(s.doubts, s.b.impossible(sessions))
	s.emit(least.session)
}
